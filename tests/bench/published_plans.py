"""Whole plans against published best answers: `python -m tests.bench.published_plans j30 FOLDER [SECONDS]`.

Sets are `j30` (PSPLIB, 480 files .sm, optima all known), `ubo10` (RCPSP/max, 90 files .sch) and `bl`
(consumption and production, 39 files .rcp). FOLDER holds the files and, there or one folder below, a
table `optimum.csv` whose first column is the file and whose last the optimum, or `unsat`.
"""

from __future__ import annotations

import csv
import sys
from collections import Counter
from pathlib import Path
from time import perf_counter

from tests.session.published import read_rcp, read_sch, read_sm

from fitup.session.whole_plan import shortest

READERS = {"j30": (read_sm, "*.sm"), "ubo10": (read_sch, "*.sch"), "bl": (read_rcp, "*.rcp")}


def main(name: str, folder: Path, limit: float) -> None:
    """Solve every file of a set, print what differs or stays unproven, and the figures of the whole."""
    read, pattern = READERS[name]
    table = next(iter(sorted(folder.rglob("optimum.csv"))))
    known = {row[0]: row[-1] or "unsat" for row in csv.reader(table.read_text("utf-8").splitlines())}
    found: Counter[str] = Counter()
    seconds: list[float] = []
    for path in sorted(folder.glob(pattern)):
        begun = perf_counter()
        schedule = shortest(read(path.read_text("utf-8")), limit)
        seconds.append(perf_counter() - begun)
        answer = "unsat" if schedule.status == "impossible" else str(schedule.minutes)
        closed = schedule.status in ("proven", "impossible")
        equal = answer == known[path.name]
        found["files"] += 1
        found["proven"] += closed
        found["proven and equal"] += closed and equal
        found["proven and different"] += closed and not equal
        found["equal, not proven"] += equal and not closed
        if not (closed and equal):
            print(f"{path.name}: {schedule.status} {answer} >= {schedule.bound}, published {known[path.name]}")
    seconds.sort()
    middle, high = seconds[len(seconds) // 2], seconds[int(len(seconds) * 0.95)]
    print(f"{name}: {dict(found)}, p50 {middle:.3f} s, p95 {high:.2f} s, longest {seconds[-1]:.1f} s")


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), float(sys.argv[3]) if len(sys.argv) > 3 else 20.0)
