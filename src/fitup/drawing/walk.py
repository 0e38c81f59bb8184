"""Walking through a drawing: along edges up and down, along a level left and right."""

from typing import Literal

from fitup.drawing.values import Box, Drawing

Direction = Literal["up", "down", "left", "right"]


def step(drawing: Drawing, node: str, direction: Direction, came_from: str | None = None) -> str | None:
    """The node reached from `node`, or None when there is none that way in the drawing.

    Up and down follow a drawn edge: back to `came_from` when it lies that way, else the one most nearly straight.
    Left and right go to the next box of the same level. Raises KeyError when `node` is not drawn.
    """
    here = drawing.box_of[node]
    if direction in ("left", "right"):
        return _beside(drawing, here, 1 if direction == "right" else -1)
    ways: dict[str, int] = {}
    for line in drawing.lines:
        near, far = (line.lower, line.upper) if direction == "up" else (line.upper, line.lower)
        if near == node:
            turn = abs(_middle(drawing.box_of[far]) - _middle(here))
            ways[far] = min(turn, ways.get(far, turn))
    if came_from in ways:
        return came_from
    return min(ways, key=lambda far: (ways[far], drawing.box_of[far].column), default=None)


def neighbours(drawing: Drawing, node: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The drawn nodes at the other end of the node's edges: (above, below), each from left to right."""

    def sorted_ids(ids: set[str]) -> tuple[str, ...]:
        return tuple(sorted(ids, key=lambda far: (drawing.box_of[far].column, drawing.box_of[far].row)))

    return (
        sorted_ids({line.upper for line in drawing.lines if line.lower == node}),
        sorted_ids({line.lower for line in drawing.lines if line.upper == node}),
    )


def _middle(box: Box) -> int:
    return 2 * box.column + box.width


def _beside(drawing: Drawing, here: Box, way: int) -> str | None:
    level = sorted((box for box in drawing.boxes if box.level == here.level), key=lambda box: box.column)
    at = level.index(here) + way
    return level[at].node if 0 <= at < len(level) else None
