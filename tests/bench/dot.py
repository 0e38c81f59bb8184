"""Counts the crossings in Graphviz dot's own drawings again, and times it against ours (needs Graphviz).

Times are processor time, so that neighbours on the machine count for little: of the dot process with its start, and of
our levels and order. Bars: 300 tasks in 60 ms or twice dot's time, whichever is more; 2,000 within dot's time;
crossings as in `test_crossings`. `python -m tests.bench.dot`
"""

import resource
import subprocess
import time
from bisect import bisect_left, insort

from tests.bench.figures import DOT
from tests.bench.plans import Edges, plan

from fitup.drawing.order import arrange, chains
from fitup.drawing.ranks import levels

Point = tuple[float, float]


def drawn(total: int, edges: Edges) -> tuple[str, float]:
    """What dot draws, as its plain format, and the processor seconds it took, its start included."""
    nodes = "".join(f"{task};" for task in range(total))
    source = (
        'digraph{node[shape=box,fixedsize=true,width=1,height=0.5,label=""];'
        + nodes
        + "".join(f"{early}->{late};" for early, late in edges)
        + "}"
    )
    began = _children()
    done = subprocess.run(["dot", "-Tplain"], input=source, capture_output=True, text=True, check=True)
    return done.stdout, _children() - began


def _children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def count(plain: str) -> int:
    """Crossings between neighbouring ranks: every edge is followed to where its curve meets each rank."""
    at: dict[str, Point] = {}
    curves: list[tuple[str, str, list[Point]]] = []
    for line in plain.splitlines():
        field = line.split()
        if field[0] == "node":
            at[field[1]] = (float(field[2]), round(float(field[3]), 2))
        elif field[0] == "edge":
            numbers = [float(number) for number in field[4 : 4 + 2 * int(field[3])]]
            curves.append((field[1], field[2], list(zip(numbers[::2], numbers[1::2], strict=True))))
    heights = sorted({y for _, y in at.values()}, reverse=True)
    rank = {y: index for index, y in enumerate(heights)}
    gaps: list[list[Point]] = [[] for _ in heights]
    for early, late, points in curves:
        top, bottom = rank[at[early][1]], rank[at[late][1]]
        places = [at[early][0], *(_place(points, heights[middle]) for middle in range(top + 1, bottom)), at[late][0]]
        for step in range(bottom - top):
            gaps[top + step].append((places[step], places[step + 1]))
    return sum(map(_inversions, gaps))


def _place(points: list[Point], height: float) -> float:
    """Where a curve of cubic pieces meets a height."""
    for first in range(0, len(points) - 1, 3):
        piece = points[first : first + 4]
        if piece[3][1] <= height:
            low, high = 0.0, 1.0
            for _ in range(30):
                middle = (low + high) / 2
                low, high = (middle, high) if _bezier(piece, middle)[1] > height else (low, middle)
            return _bezier(piece, low)[0]
    return points[-1][0]


def _bezier(piece: list[Point], t: float) -> Point:
    s = 1 - t
    weights = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    return (
        sum(w * x for w, (x, _) in zip(weights, piece, strict=True)),
        sum(w * y for w, (_, y) in zip(weights, piece, strict=True)),
    )


def _inversions(gap: list[Point]) -> int:
    total = 0
    seen: list[float] = []
    waiting: list[float] = []
    last: float | None = None
    for top, bottom in sorted(gap):
        if last is None or top - last > 1e-6:
            for earlier in waiting:
                insort(seen, earlier)
            waiting, last = [], top
        total += len(seen) - bisect_left(seen, bottom + 1e-6)
        waiting.append(bottom)
    return total


def main() -> None:
    """Print crossings and times, dot's and ours."""
    for (size, density), typed in DOT.items():
        effort = 400_000 if size == 2000 else 40_000
        for seed, figure in enumerate(typed, start=1):
            total, edges = plan(size, density, seed)
            plain, seconds = drawn(total, edges)
            began = time.process_time()
            net = chains(levels(total, edges), edges)
            ours = arrange(net, effort)
            took = time.process_time() - began
            print(
                f"{size} {density} {seed}: dot {count(plain)} (typed in {figure}) in {1000 * seconds:.0f} ms; "
                f"ours {ours} in {1000 * took:.0f} ms, {took / seconds:.2f} x"
            )


if __name__ == "__main__":
    main()
