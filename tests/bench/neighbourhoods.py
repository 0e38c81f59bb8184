"""Time and reach of neighbourhood drawings: `python -m tests.bench.neighbourhoods` (prints, asserts nothing)."""

import random
import time
from collections.abc import Sequence

from tests.bench.plans import plan

from fitup.drawing import Edge, Graph, Node, around


def main() -> None:
    """Draw 300 tasks of large plans, each in its window."""
    for density in (1.3, 1.6, 2.0):
        total, edges = plan(2_000, density, 1)
        graph = Graph(
            tuple(Node(str(at), f"Match-drill the top skin, row {at}", "o", "45 min") for at in range(total)),
            tuple(Edge(str(a), str(b), "after", "?", (a + b) % 3 > 0) for a, b in edges),
        )
        for window in ((80, 22), (200, 48)):
            times, whole, crossings, boxes = [], 0, [], []
            for task in random.Random(5).sample(range(total), 300):
                began = time.process_time()
                drawing = around(graph, str(task), *window)
                times.append(1000 * (time.process_time() - began))
                whole += drawing.neighbours_cut == 0
                crossings.append(drawing.crossings)
                boxes.append(len(drawing.boxes))
            print(
                f"{density} edges a task, {window[0]}x{window[1]}: ms p50 {_part(times, 50):.1f} p95 "
                f"{_part(times, 95):.1f}; all neighbours {whole / 300:.3f}; crossings p50 {_part(crossings, 50)} "
                f"p95 {_part(crossings, 95)}; boxes p5 {_part(boxes, 5)} p50 {_part(boxes, 50)}"
            )


def _part(values: Sequence[float], percent: int) -> float:
    return sorted(values)[len(values) * percent // 100]


if __name__ == "__main__":
    main()
