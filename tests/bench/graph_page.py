"""Measures keys on the Graph page in a real terminal: time to the last byte and bytes, against the smallest answer.

The smallest answer is an app that changes one line for each key. Bars, at 80x24 on a plan of 2,000 tasks: a choice in
view p50 <= 2 x and p95 <= 3 x the smallest answer and <= 1,000 bytes; drawing anew <= 12 x and <= 3 KB; 30 keys at once
no more than 1.5 frames' bytes. Run by hand on a machine that is otherwise quiet:
`python -m tests.bench.graph_page`
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
QUIET = 0.12
"""Seconds without output after which a frame counts as finished."""


class Terminal:
    """A program in a terminal of 80 by 24."""

    def __init__(self, words: list[str]) -> None:
        self.child, self.end = pty.fork()
        if self.child == 0:
            os.environ.update(TERM="xterm-256color", LANG="C.UTF-8")
            os.execv(words[0], words)
        ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.answer(4.0)

    def answer(self, quiet: float = QUIET) -> tuple[float, int]:
        """Return milliseconds to the last byte and bytes of what comes until it is quiet."""
        begin = last = time.perf_counter()
        size = 0
        while select.select([self.end], [], [], quiet)[0]:
            size += len(os.read(self.end, 65536))
            last = time.perf_counter()
        return (last - begin) * 1000, size

    def press(self, *names: str) -> tuple[float, int]:
        """Send keys at once and return what the answer cost."""
        os.write(self.end, b"".join(KEYS.get(name, name.encode()) for name in names))
        return self.answer()

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


def report(name: str, answers: list[tuple[float, int]]) -> None:
    times, sizes = sorted(ms for ms, size in answers if size), sorted(size for _, size in answers if size)
    late = int(len(times) * 0.95)
    print(f"{name:24} p50 {times[len(times) // 2]:6.1f} ms  p95 {times[late]:6.1f} ms  "
          f"{sizes[len(sizes) // 2]:5d} bytes  p95 {sizes[late]:5d}")  # fmt: skip


def main() -> None:
    """Print the figures."""
    with TemporaryDirectory() as folder:
        small = Terminal([sys.executable, "-c", SMALLEST])
        report("smallest answer", [small.press("x") for _ in range(60)])
        small.close()
        source, project = Path(folder) / "bench.toml", Path(folder) / "bench.fitup"
        centre = write_plan(source)
        fitup = [sys.executable, "-m", "fitup"]
        subprocess.run([*fitup, "new", str(source), str(project), "--by", "bench"], check=True, capture_output=True)
        page = Terminal([*fitup, str(project), "--by", "bench"])
        page.press("f")
        page.press(*centre)
        page.press("enter")
        page.press("up")
        report("choice in view", [page.press(("right", "left")[at % 2]) for at in range(60)])
        report("drawn anew", [page.press("h") for _ in range(40)])
        report("30 keys at once", [page.press(*[("down", "up")[at % 2]] * 30) for at in range(6)])
        page.close()


if __name__ == "__main__":
    main()
