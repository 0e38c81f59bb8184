"""What is to be drawn, on which levels, and the texts of its boxes cut to the room there is."""

from collections.abc import Sequence
from dataclasses import dataclass

from fitup.drawing import cells
from fitup.drawing.order import Chains, arrange, chains
from fitup.drawing.place import BESIDE, BETWEEN
from fitup.drawing.values import Graph


@dataclass(frozen=True, slots=True)
class Face:
    """The texts of a box as they will be drawn, and its size."""

    mark: str
    label: str
    tail: str
    lines: tuple[str, ...]
    width: int
    height: int


def face(graph: Graph, index: int, most: int, with_tail: bool, ports: int) -> Face:
    """The box of node `index` with its label in at most `most` cells, wide enough for `ports` ends on one side."""
    node = graph.nodes[index]
    mark, tail = cells.clean(node.mark), cells.clean(node.tail) if with_tail else ""
    label = cells.cut(cells.clean(node.label) or "?", most)
    lines = tuple(cells.clean(line) for line in node.lines)
    wide = cells.width(label) + (cells.width(mark) + 1 if mark else 0) + (cells.width(tail) + 2 if tail else 0)
    if lines:
        wide = max(wide, *map(cells.width, lines)) + 4
    return Face(mark, label, tail, lines, max(wide, 2 * ports - 1), 3 + len(lines) if lines else 1)


@dataclass(frozen=True, slots=True)
class Plan:
    """What is to be drawn: members (node numbers), their levels, and the edges among them by index.

    `ends` are positions in `members`; `upward` tells the edges that were turned round.
    """

    graph: Graph
    members: Sequence[int]
    level: Sequence[int]
    edges: Sequence[int]
    ends: Sequence[tuple[int, int]]
    upward: Sequence[bool]

    def ports(self) -> list[int]:
        """The larger number of ends on one side of each member."""
        up, down = [0] * len(self.members), [0] * len(self.members)
        for above, below in self.ends:
            down[above] += 1
            up[below] += 1
        return list(map(max, up, down))


def row_width(net: Chains, row: Sequence[int], width: Sequence[int]) -> int:
    """The least cells that the items of a level take side by side."""
    total, before = 0, None
    for item in row:
        node = item < net.count
        if before is not None:
            total += BETWEEN if node and before else BESIDE
        total += width[item] if node else 1
        before = node
    return total


Faces = dict[tuple[int, int, bool, int], Face]
"""Boxes made so far, by the arguments of `face`."""


def faces_to_fit(plan: Plan, net: Chains, room: int | None, made: Faces | None = None) -> list[Face] | None:
    """Boxes for all members, labels cut level by level so that each level fits into `room`; None when it can't be."""
    ports = plan.ports()
    known: Faces = {} if made is None else made

    def box(item: int, most: int, tail: bool) -> Face:
        key = (plan.members[item], most, tail, ports[item])
        if key not in known:
            known[key] = face(plan.graph, *key)
        return known[key]

    whole = [box(item, 10_000, True) for item in range(len(plan.members))]
    if room is None:
        return whole
    for row in net.rows:
        nodes = [item for item in row if item < net.count]
        if row_width(net, row, [one.width for one in whole]) <= room:
            continue
        widest = max(cells.width(whole[item].label) for item in nodes)
        for tail in (True, False):
            low, high, found = cells.LEAST_LABEL, widest, False
            while low <= high:
                most = (low + high) // 2
                for item in nodes:
                    whole[item] = box(item, most, tail)
                if row_width(net, row, [one.width for one in whole]) <= room:
                    low, found, fits = most + 1, True, most
                else:
                    high = most - 1
            if found:
                for item in nodes:
                    whole[item] = box(item, fits, tail)
                break
        else:
            return None
    return whole


def ordered(plan: Plan, effort: int, before: Sequence[Sequence[int]] | None = None) -> tuple[Chains, int]:
    """The levels in order, and the number of crossings. `before`: members on each level as they stood."""
    net = chains(plan.level, plan.ends)
    count = arrange(net, effort, before)
    return net, count
