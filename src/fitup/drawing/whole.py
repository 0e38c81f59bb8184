"""A whole graph as one drawing, as large as it needs to be: an assembly's tasks, or the assemblies of a plan."""

from collections.abc import Sequence
from dataclasses import replace

from fitup.drawing.draft import Draft
from fitup.drawing.layout import Plan, faces_to_fit, ordered
from fitup.drawing.order import chains
from fitup.drawing.ranks import levels, without_circles
from fitup.drawing.values import Drawing, Graph


def whole(graph: Graph, before: Drawing | None = None, effort: int = 60_000) -> Drawing:
    """Everything in the graph, layered top to bottom, not bounded in size.

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
    faces = faces_to_fit(plan, net, None)
    assert faces is not None
    return replace(Draft(plan, net, faces, None).finish(), crossings=count)


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
    for items in net.chain:
        top, bottom = column.get(items[0]), column.get(items[-1])
        known = [at for at in (top, bottom) if at is not None]
        for step, item in enumerate(items):
            if item not in column and known:
                part = step / (len(items) - 1)
                column[item] = known[0] if len(known) == 1 else known[0] * (1 - part) + known[1] * part
    return [sorted(row, key=lambda item: (column.get(item, 0.0), item)) for row in net.rows]
