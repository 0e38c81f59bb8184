"""Measures keys while a run sheet is being proven and while better sheets are taken in, on a plan of 2,000 tasks.

Bar: 95 of a hundred keys begin to be answered within 30 ms. The longest wait tells of the moment in which a better
sheet arrives, since keys are sent without a break until the proof has ended. Run by hand on a machine that is
otherwise quiet: `python -m tests.bench.keys_while_proving`
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


def first_byte(page: Terminal, key: str) -> float:
    """Press a key and return milliseconds until the answer begins, at most a second's; what follows it is read."""
    begin = time.perf_counter()
    os.write(page.end, KEYS[key])
    select.select([page.end], [], [], 1.0)
    waited = (time.perf_counter() - begin) * 1000
    page.answer(0.03, 0.0)
    return waited


def main() -> None:
    """Print the figures."""
    with TemporaryDirectory() as folder:
        command, centre = make_project(Path(folder))
        page = Terminal(command, 24, 80)
        page.press("2")
        page.press("f")
        page.press(*centre)
        page.press("enter")
        page.press("up")
        waits: list[float] = []
        end = time.perf_counter() + SECONDS
        while time.perf_counter() < end:
            waits.append(first_byte(page, ("right", "left")[len(waits) % 2]))
        page.close()
        seen = sorted(wait for wait in waits if wait < 1000)
        print(
            f"{len(waits)} keys, {len(seen)} answered  p50 {seen[len(seen) // 2]:.1f} ms  "
            f"p95 {seen[int(len(seen) * 0.95)]:.1f} ms  longest {seen[-1]:.1f} ms"
        )


if __name__ == "__main__":
    main()
