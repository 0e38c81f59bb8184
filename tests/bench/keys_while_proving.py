"""Measures keys while a run sheet is being proven and while better sheets are taken in, on a plan of 2,000 tasks.

Bar: 95 of a hundred keys begin to be answered within 30 ms. Keys are sent without a break until the proof
has ended; the program tells when it took a better sheet in, so that the wait in that moment is told too,
or that there was no such moment. Run by hand on a machine that is otherwise quiet:
`python -m tests.bench.keys_while_proving`
"""

from __future__ import annotations

import os
import select
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.graph_page import KEYS, Terminal, make_project

SECONDS = 12.0
"""How long keys are sent: longer than a proof may take."""


TELLING = """
import sys, time
from pathlib import Path
from fitup.tui.board import Board
take = Board.take_found
def telling(board, found):
    begin, taken = time.perf_counter(), take(board, found)
    if taken and found.sheet.lines != found.before.lines:
        with Path(sys.argv[1]).open("a") as told:
            print(begin, file=told)
    return taken
Board.take_found = telling
from fitup.__main__ import _screens
from fitup.cli.main import run
sys.exit(run(sys.argv[2:], _screens))
"""
"""The program, that also writes down when it took a better sheet in: seconds of the clock that all processes share."""

Wait = tuple[float, float]
"""When a key was pressed, in seconds, and the milliseconds until its answer began."""


def first_byte(page: Terminal, key: str) -> float:
    """Press a key and return milliseconds until the answer begins, at most a second's; what follows it is read."""
    begin = time.perf_counter()
    os.write(page.end, KEYS[key])
    select.select([page.end], [], [], 1.0)
    waited = (time.perf_counter() - begin) * 1000
    page.answer(0.03, 0.0)
    return waited


def arrivals(taken: list[float], waits: list[Wait], begun: float) -> str:
    """Say when better sheets were taken in while keys were sent, and how long the key pressed by then waited."""
    met = [at for at in taken if at >= begun]
    if not met:
        return f"no better sheet arrived in {SECONDS:.0f} s: nothing is measured of that moment"
    told = []
    for at in met:
        around = [wait for pressed, wait in waits if pressed - 0.05 <= at <= pressed + max(wait / 1000, 0.05)]
        told.append(
            f"at {at - begun:.1f} s, longest wait by then {max(around):.1f} ms" if around else f"{at - begun:.1f} s"
        )
    return f"better sheets taken in: {len(met)} ({'; '.join(told)})"


def main() -> None:
    """Print the figures."""
    with TemporaryDirectory() as folder:
        command, centre = make_project(Path(folder))
        told = Path(folder) / "told"
        told.touch()
        command = [command[0], "-c", TELLING, str(told), *command[3:]]
        # the better sheet comes soon after the first one: keys have to be there before it
        page = Terminal(command, 24, 80, 0.1)
        page.press("2")
        page.press("f")
        page.press(*centre)
        page.press("enter")
        page.press("up")
        waits: list[Wait] = []
        begun = time.perf_counter()
        while time.perf_counter() < begun + SECONDS:
            waits.append((time.perf_counter(), first_byte(page, ("right", "left")[len(waits) % 2])))
        page.close()
        seen = sorted(wait for _, wait in waits if wait < 1000)
        print(
            f"{len(waits)} keys, {len(seen)} answered  p50 {seen[len(seen) // 2]:.1f} ms  "
            f"p95 {seen[int(len(seen) * 0.95)]:.1f} ms  longest {seen[-1]:.1f} ms"
        )
        print(arrivals([float(line) for line in told.read_text().split()], waits, begun))


if __name__ == "__main__":
    main()
