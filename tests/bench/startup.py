"""Measures the start of the screens in a real terminal, against an app of Textual's that shows one word.

Bars, on a project of 2,000 tasks, in one run with the bare app: first painting <= 1.20 x; reading the file <= 0.12 x;
keys in the first second p95 <= 30 ms on a machine on which the bare app takes 150 ms, none lost; nothing of what only
writes and proofs need imported at the first painting. Run by hand on a machine that is otherwise quiet, with byte code
written (no PYTHONDONTWRITEBYTECODE): `python -m tests.bench.startup [ROUNDS]`
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
from statistics import median
from tempfile import TemporaryDirectory

from tests.bench.graph_page import write_plan

BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("READY")
Bare().run()
"""
READ = """
import gc, sys, time
from pathlib import Path
gc.disable()
from fitup.store.project import ProjectFile
begin = time.perf_counter()
ProjectFile.open(Path(sys.argv[1]))
print((time.perf_counter() - begin) * 1000)
"""
PAINTED, PLANNED = b"planning ...", b" sure"
DOWN, UP = b"\x1b[B", b"\x1b[A"


class Start:
    """A program just started in a terminal of 80 by 24."""

    def __init__(self, words: list[str]) -> None:
        self.begin = time.perf_counter()
        self.child, self.end = pty.fork()
        if self.child == 0:
            ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
            os.environ.update(TERM="xterm-256color", LANG="C.UTF-8")
            os.execv(words[0], words)
        self.seen = b""

    def until(self, mark: bytes) -> float:
        """Return milliseconds from the start until a text was sent."""
        while mark not in self.seen:
            if not select.select([self.end], [], [], 20)[0]:
                raise TimeoutError(f"{mark.decode()} was never shown")
            self.seen += os.read(self.end, 65536)
        return (time.perf_counter() - self.begin) * 1000

    def press(self, key: bytes) -> float | None:
        """Return milliseconds from a key to the last byte of its answer, None where nothing came within a second."""
        begin = last = time.perf_counter()
        os.write(self.end, key)
        answered = False
        while select.select([self.end], [], [], 0.015 if answered else 1)[0]:
            os.read(self.end, 65536)
            answered, last = True, time.perf_counter()
        return (last - begin) * 1000 if answered else None

    def close(self) -> None:
        """End the program."""
        os.kill(self.child, signal.SIGKILL)
        os.waitpid(self.child, 0)
        os.close(self.end)


def painted(words: list[str], mark: bytes) -> float:
    """Return milliseconds from the start of a program until it has shown a text."""
    start = Start(words)
    try:
        return start.until(mark)
    finally:
        start.close()


def first_keys(words: list[str]) -> list[float | None]:
    """Return what the keys of the first second took."""
    start = Start(words)
    start.until(PAINTED)
    shown = time.perf_counter()
    took: list[float | None] = []
    while time.perf_counter() - shown < 1:
        took.append(start.press((DOWN, UP)[len(took) % 2]))
    start.close()
    return took


def main(rounds: int) -> None:
    """Print the figures: medians, and of ratios the median of those taken within one round."""
    with TemporaryDirectory() as folder:
        source, project = Path(folder) / "bench.toml", Path(folder) / "bench.fitup"
        write_plan(source)
        fitup = [sys.executable, "-m", "fitup"]
        subprocess.run([*fitup, "new", str(source), str(project), "--by", "bench"], check=True, capture_output=True)
        screens, bare = [*fitup, str(project), "--by", "bench"], [sys.executable, "-c", BARE]
        reader = [sys.executable, "-c", READ, str(project)]
        figures: dict[str, list[float]] = {"bare app": [], "first painting": [], "reading": [], "run sheet": []}
        for turn in range(rounds + 1):
            found = (
                painted(bare, b"READY"),
                painted(screens, PAINTED),
                float(subprocess.run(reader, check=True, capture_output=True, text=True).stdout),
                painted(screens, PLANNED),
            )
            if turn:  # the first round writes byte code and fills the page cache
                for values, one in zip(figures.values(), found, strict=True):
                    values.append(one)
        for name, values in figures.items():
            ratio = median(one / other for one, other in zip(values, figures["bare app"], strict=True))
            print(f"{name:16} {median(values):7.1f} ms  {ratio:5.2f} x the bare app")
        keys = [took for _ in range(4) for took in first_keys(screens)]
        answered = sorted(took for took in keys if took is not None)
        print(f"{len(keys)} keys in the first second: p50 {median(answered):.1f} ms, "
              f"p95 {answered[int(len(answered) * 0.95)]:.1f} ms, {keys.count(None)} lost")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 11)
