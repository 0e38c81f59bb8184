"""A whole graph as one drawing, as large as it needs to be: an assembly's tasks, or the assemblies of a plan."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fitup.drawing import cells
from fitup.drawing.draft import Draft
from fitup.drawing.layout import Face, Plan, face, faces_to_fit, ordered, row_width
from fitup.drawing.order import Chains, chains
from fitup.drawing.ranks import levels, without_circles
from fitup.drawing.values import Drawing, Graph, Line


def whole(graph: Graph, before: Drawing | None = None, effort: int = 40_000, width: int | None = None) -> Drawing:
    """Everything in the graph, layered top to bottom, not bounded in height.

    It is at most `width` cells wide where cutting labels, to no fewer than 12 cells, can do it; without `width` nothing
    is cut.
    `before` is an earlier drawing of much the same graph: its order is the start, so that the picture does not jump.
    `effort` bounds the search for an order with few crossings; the same input always gives the same drawing.
    """
    if not graph.nodes:
        return Drawing(0, 0, (), ())
    ends, turned = without_circles(len(graph.nodes), graph.ends)
    level = levels(len(graph.nodes), ends)
    _scatter_loners(level, ends)
    plan = Plan(graph, range(len(graph.nodes)), level, range(len(graph.edges)), ends, turned)
    net, count = ordered(plan, effort, None if before is None else earlier_order(plan, before))
    return replace(_draft(plan, net, width).finish(), crossings=count)


def _draft(plan: Plan, net: Chains, width: int | None) -> Draft:
    """The drawing with whole labels if it fits, else with labels cut level by level, else as narrow as can be."""
    ports = plan.ports()
    draft = Draft(plan, net, [face(plan.graph, node, 10_000, True, ports[node]) for node in plan.members], None)
    if width is None or draft.width <= width:
        return draft
    faces = faces_to_fit(plan, net, width)
    if faces is not None:
        return Draft(plan, net, faces, width)
    least = [_least(plan.graph, node, ports[node]) for node in plan.members]
    need = max(row_width(net, row, [one.width for one in least]) for row in net.rows)
    return Draft(plan, net, least, max(width, need))


def _least(graph: Graph, number: int, ports: int) -> Face:
    """A box with its label cut as far as it may be, though not shorter than the lines under it leave room for."""
    node = graph.nodes[number]
    under = max((cells.width(cells.clean(line)) for line in node.lines), default=0) - cells.width(node.mark) - 1
    return face(graph, number, max(cells.LEAST_LABEL, under), True, ports)


def _scatter_loners(level: list[int], ends: Sequence[tuple[int, int]]) -> None:
    """Nodes without an edge may stand anywhere: put each on the emptiest level, or on new ones when all are alone."""
    joined = {node for pair in ends for node in pair}
    height = max(level) + 1 if joined else max(1, round((len(level) / 3) ** 0.5 * 1.5))
    crowd = [0] * height
    for node in joined:
        crowd[level[node]] += 1
    for node in range(len(level)):
        if node not in joined:
            level[node] = crowd.index(min(crowd))
            crowd[level[node]] += 1
    used = {old: new for new, old in enumerate(sorted(set(level)))}
    level[:] = [used[old] for old in level]


def earlier_order(plan: Plan, before: Drawing) -> list[list[int]]:
    """A start order from an earlier drawing: items by the column they had; new ones where their neighbours stand."""
    net = chains(plan.level, plan.ends)
    column: dict[int, float] = {}
    for item, number in enumerate(plan.members):
        box = before.box_of.get(plan.graph.nodes[number].id)
        if box is not None:
            column[item] = box.column + box.width / 2
    lines = {line.edge: line for line in before.lines}
    row_of = {box.level: box.row for box in before.boxes}
    for at, items in enumerate(net.chain):
        line = lines.get(plan.edges[at])
        for item in items[1:-1]:
            passed = None if line is None else _column_at(line, row_of.get(net.level[item], -1))
            if passed is not None:
                column[item] = passed
        known = [column[item] for item in (items[0], items[-1]) if item in column]
        for step, item in enumerate(items):
            if item not in column and known:
                part = step / (len(items) - 1)
                column[item] = known[0] * (1 - part) + known[-1] * part
    return [sorted(row, key=lambda item: (column.get(item, 0.0), item)) for row in net.rows]


def _column_at(line: Line, row: int) -> int | None:
    """The column in which a line goes down through a row, if it does."""
    for (top, column), (bottom, to) in pairwise(line.points):
        if column == to and top <= row <= bottom:
            return column
    return None
