"""Measures keys on the Graph page in a real terminal: time to the last byte and bytes, against the smallest answer.

The smallest answer is an app that changes one line for each key. Bars, on a plan of 2,000 tasks: a choice in view
p50 <= 2 x and p95 <= 3 x the smallest answer and <= 1,000 bytes at 80x24; drawing anew <= 12 x and <= 3 KB at 80x24,
<= 25 x and <= 14 KB at 200x50; 30 keys at once no more than 1.5 frames' bytes. Run by hand on a machine that is
otherwise quiet; where it isn't, the time of computing (of the program's first thread) says more than the time to the
last byte: `python -m tests.bench.graph_page`
"""

from __future__ import annotations

import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from fcntl import ioctl
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.plans import plan

SMALLEST = """
from textual.app import App
from textual.widgets import Static
class Smallest(App):
    def compose(self):
        yield Static("ready", id="line")
    def on_key(self, event):
        self.count = getattr(self, "count", 0) + 1
        self.query_one(Static).update(f"key {self.count}", layout=False)
Smallest().run()
"""
KEYS = {"up": b"\x1b[A", "down": b"\x1b[B", "right": b"\x1b[C", "left": b"\x1b[D", "enter": b"\r"}
Cost = tuple[float, int, float]
"""Milliseconds to the last byte, bytes, milliseconds of computing."""
QUIET = 0.12
"""Seconds without output after which a frame counts as finished."""


class Terminal:
    """A program in a terminal of so many rows and columns."""

    def __init__(self, words: list[str], rows: int, columns: int, quiet: float = 3.0) -> None:
        """Start the program and wait until it has been `quiet` for so many seconds."""
        self.child, self.end = pty.fork()
        if self.child == 0:
            os.environ.update(TERM="xterm-256color", LANG="C.UTF-8")
            os.execv(words[0], words)
        ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.answer(quiet, 60.0)

    def answer(self, quiet: float = QUIET, patience: float = 1.0) -> tuple[float, int]:
        """Return milliseconds to the last byte and bytes of what comes until it is quiet.

        `patience` is how long the first byte is waited for.
        """
        begin = last = time.perf_counter()
        size = 0
        while select.select([self.end], [], [], quiet if size else patience)[0]:
            size += len(os.read(self.end, 65536))
            last = time.perf_counter()
        return (last - begin) * 1000, size

    def press(self, *names: str) -> Cost:
        """Send keys at once and return what the answer cost."""
        before = self._busy()
        os.write(self.end, b"".join(KEYS.get(name, name.encode()) for name in names))
        return (*self.answer(), (self._busy() - before) / 1e6)

    def _busy(self) -> int:
        """Return nanoseconds that the program's first thread has computed."""
        return int(Path(f"/proc/{self.child}/schedstat").read_text().split()[0])

    def settle(self) -> None:
        """Wait until nothing is worked at behind the screens any more, such as the proof of a run sheet."""
        idle, used = 0, -1
        while idle < 3:
            self.answer(1.0)
            before, used = used, self._used()
            idle = idle + 1 if used - before <= 3 else 0

    def _used(self) -> int:
        """Return processor time of the program and what it started, in clock ticks."""
        mine = Path(f"/proc/{self.child}/task/{self.child}/children").read_text().split()
        fields = [Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split() for number in (self.child, *mine)]
        return sum(int(field[11]) + int(field[12]) for field in fields)

    def close(self) -> None:
        """End the program."""
        os.kill(self.child, signal.SIGKILL)
        os.waitpid(self.child, 0)


def write_plan(path: Path) -> str:
    """Write a plan of about 2,000 tasks; return the id of one that waits for several and that several wait for."""
    total, edges = plan(2000, 1.4, 1)
    above: dict[int, list[str]] = {}
    below: dict[int, int] = {}
    for one, other in edges:
        above.setdefault(other, []).append(f'"t{one}"')
        below[one] = below.get(one, 0) + 1
    lines = ["fitup = 1", 'title = "Bench"', "[[assembly]]", 'id = "a"', 'title = "A"']
    for task in range(total):
        lines += ["[[task]]", f'id = "t{task}"', f'title = "Fit the stiffener of rib {task}"', 'assembly = "a"']
        lines += ['work = "fit"', f"after = [{', '.join(above.get(task, []))}]"]
    path.write_text("\n".join(lines), encoding="utf-8")
    return next(f"t{task}" for task in range(900, total) if len(above.get(task, [])) > 1 and below.get(task, 0) > 1)


def report(name: str, answers: list[Cost]) -> None:
    """Print the middle and the 95th of a hundred of the answers that sent anything."""
    seen = [answer for answer in answers if answer[1]]
    if not seen:
        print(f"{name:24} nothing was sent")
        return
    times, sizes, busy = (sorted(values) for values in zip(*seen, strict=True))
    middle, late = len(seen) // 2, int(len(seen) * 0.95)
    print(
        f"{name:24} p50 {times[middle]:6.1f} ms  p95 {times[late]:6.1f} ms  {sizes[middle]:5d} bytes  "
        f"p95 {sizes[late]:5d}  computing p50 {busy[middle]:5.1f} ms  p95 {busy[late]:5.1f} ms"
    )


def make_project(folder: Path) -> tuple[list[str], str]:
    """Make a project of 2,000 tasks; return the command that opens it, and a task in its middle."""
    source, project = folder / "bench.toml", folder / "bench.fitup"
    centre = write_plan(source)
    fitup = [sys.executable, "-m", "fitup"]
    subprocess.run([*fitup, "new", str(source), str(project), "--by", "bench"], check=True, capture_output=True)
    return [*fitup, str(project), "--by", "bench"], centre


def main() -> None:
    """Print the figures."""
    with TemporaryDirectory() as folder:
        command, centre = make_project(Path(folder))
        for rows, columns in ((24, 80), (50, 200)):
            print(f"{columns}x{rows}")
            small = Terminal([sys.executable, "-c", SMALLEST], rows, columns)
            report("smallest answer", [small.press("x") for _ in range(60)])
            small.close()
            page = Terminal(command, rows, columns)
            measure(page, centre)
            page.close()


def measure(page: Terminal, centre: str) -> None:
    """Walk about on the Graph page and print what the answers cost."""
    page.settle()
    page.press("2")
    page.press("f")
    page.press(*centre)
    page.press("enter")
    page.answer(1.0)
    page.press("up")
    report("choice in view", [page.press(("right", "left")[at % 2]) for at in range(60)])
    report("drawn anew", [page.press("h") for _ in range(40)])
    report("30 keys at once", [page.press(*[("down", "up")[at % 2]] * 30) for at in range(6)])


if __name__ == "__main__":
    main()
