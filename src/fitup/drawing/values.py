"""What goes into a drawing and what comes out of it.

The drawing knows nothing of tasks: it is given boxes with text and edges with a word, and answers with cells. That
keeps it usable for tasks, for whole assemblies and for anything else that is ordered by "this before that".
All lengths are terminal cells, all rows count from 0 at the top, all columns from 0 at the left.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True, slots=True)
class Node:
    """One box. `mark` stands before the label, `tail` after it; `lines` under it turn the box into a framed one."""

    id: str
    label: str
    mark: str = ""
    tail: str = ""
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Edge:
    """A line from `above` down to `below`. `mark` is one cell wide and must not be a line glyph; `word` is short."""

    above: str
    below: str
    word: str = ""
    mark: str = ""
    strong: bool = True


@dataclass(frozen=True)
class Graph:
    """Boxes and edges. Several edges between the same two boxes are kept apart; a circle is allowed.

    Raises ValueError on two nodes with one id, an edge to an unknown node, or an edge from a node to itself.
    """

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]

    def __post_init__(self) -> None:
        known = {node.id for node in self.nodes}
        if len(known) != len(self.nodes):
            raise ValueError("two nodes have the same id")
        for edge in self.edges:
            if edge.above == edge.below:
                raise ValueError(f"the edge at {edge.above!r} leads back to itself")
            if edge.above not in known or edge.below not in known:
                raise ValueError(f"the edge {edge.above!r} -> {edge.below!r} has an unknown end")

    @cached_property
    def number(self) -> Mapping[str, int]:
        """Index of each node id in `nodes`."""
        return {node.id: index for index, node in enumerate(self.nodes)}

    @cached_property
    def ends(self) -> tuple[tuple[int, int], ...]:
        """Each edge as (number of the upper node, number of the lower node)."""
        number = self.number
        return tuple((number[edge.above], number[edge.below]) for edge in self.edges)

    @cached_property
    def into(self) -> tuple[tuple[int, ...], ...]:
        """For each node the indices of the edges that come into it from above."""
        lists: list[list[int]] = [[] for _ in self.nodes]
        for index, (_, below) in enumerate(self.ends):
            lists[below].append(index)
        return tuple(map(tuple, lists))

    @cached_property
    def out_of(self) -> tuple[tuple[int, ...], ...]:
        """For each node the indices of the edges that leave it downwards."""
        lists: list[list[int]] = [[] for _ in self.nodes]
        for index, (above, _) in enumerate(self.ends):
            lists[above].append(index)
        return tuple(map(tuple, lists))


@dataclass(frozen=True, slots=True)
class Box:
    """A node in its place. `hidden_above` and `hidden_below` count its edges that lead out of the drawing."""

    node: str
    level: int
    row: int
    column: int
    width: int
    height: int
    mark: str
    label: str
    tail: str
    lines: tuple[str, ...] = ()
    hidden_above: int = 0
    hidden_below: int = 0


@dataclass(frozen=True, slots=True)
class Line:
    """An edge in its place: the corner points (row, column) from under the upper box to over the lower box.

    `edge` is the index in the graph's edges. `upward` is true when the edge leads from the lower box to the upper one
    (that happens only in a circle). `sign` is the cell of the mark, `word_column` where the word starts in that row.
    """

    edge: int
    upper: str
    lower: str
    points: tuple[tuple[int, int], ...]
    strong: bool
    upward: bool = False
    mark: str = ""
    word: str = ""
    sign: tuple[int, int] | None = None
    word_column: int | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """A piece of text in the drawing that belongs to no box: "3 more above"."""

    row: int
    column: int
    text: str


@dataclass(frozen=True)
class Drawing:
    """A finished layout, not yet in characters: see `paint.rows` and `paint.text`.

    `boxes` are in reading order (top to bottom, left to right). `cut_above` and `cut_below` count the nodes that the
    centre waits for, or that wait for it, however far away, and that are not drawn. `neighbours_cut` counts the direct
    neighbours among them.
    """

    width: int
    height: int
    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    notes: tuple[Note, ...] = ()
    centre: str | None = None
    cut_above: int = 0
    cut_below: int = 0
    neighbours_cut: int = 0
    crossings: int = 0

    @cached_property
    def box_of(self) -> Mapping[str, Box]:
        """The box of each node id that is drawn."""
        return {box.node: box for box in self.boxes}
