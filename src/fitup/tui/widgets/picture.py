"""The drawing of a graph on the screen: one box is the chosen one, arrow keys walk along the edges.

Laid out once a frame, when it is painted, however many keys came before; a choice that moves inside the drawing paints
its two boxes only. There is no widget per box, and every cell has a style.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Set
from typing import Literal

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from fitup.desk_graphs import overview
from fitup.drawing import Box, Direction, Drawing, Glyphs, Graph, Run, around, rows, step, whole

Kind = Literal["around", "fitted", "whole"]

ROLES = ("frame", "line", "faint", "note", "fresh")
EFFORT = 12_000
"""Bounds the search for few crossings in a whole drawing, so that it opens in a blink."""
_FAR = 5
"""Steps that page up and page down make."""
_KEPT = 200
"""Steps that can be gone back."""


class Picture(Widget, can_focus=True, inherit_bindings=False):
    """A drawn graph with a chosen box: around it, the whole fitted to the width, or the whole scrolled to it."""

    COMPONENT_CLASSES = {*(f"picture--{role}" for role in ROLES), "picture--cursor", "picture--rest"}  # noqa: RUF012

    class Chosen(Message):
        """Another box was chosen."""

        def __init__(self, picture: Picture, key: str) -> None:
            """Tell which drawing and the node's id."""
            super().__init__()
            self.picture = picture
            self.key = key

    def __init__(self, *, id: str, glyphs: Glyphs) -> None:
        """Make an empty picture; `glyphs` are what the terminal can show."""
        super().__init__(id=id)
        self.active = True
        self.chosen = ""
        self.layouts = 0
        self._glyphs = glyphs
        self._graph = Graph((), ())
        self._kind: Kind = "around"
        self._centre = ""
        self._came = ""
        self._trail: list[str] = []
        self._fresh: Set[str] = frozenset()
        self._drawing: Drawing | None = None
        self._before: Drawing | None = None
        self._laid = (0, 0)
        self._rows: tuple[tuple[Run, ...], ...] = ()
        self._strips: dict[int, Strip] = {}
        self._painted: dict[int, Strip] = {}
        self._looks: dict[str, Style] = {}
        self._moved = False
        self._top = 0
        self._left = 0

    # -- content -----------------------------------------------------------------------------

    def show(self, graph: Graph, kind: Kind, chosen: str, fresh: Set[str] = frozenset()) -> None:
        """Show a graph with a chosen node; an unknown one leaves the choice, or takes the first node.

        `fresh` are nodes to set off: those that just became free. What is shown already isn't laid out anew.
        """
        if chosen not in graph.number:
            chosen = self.chosen if self.chosen in graph.number else graph.nodes[0].id if graph.nodes else ""
        if kind != self._kind or (graph is not self._graph and graph != self._graph):
            if kind != self._kind or not any(node in self._graph.number for node in graph.number):
                self._before, self._trail, self._came = None, [], ""
            self._graph, self._kind = graph, kind
            if self._centre not in graph.number:
                self._centre = chosen
            self._trail = [node for node in self._trail if node in graph.number]
            self._lose()
        if set(fresh) != set(self._fresh):
            self._fresh = fresh
            self._strips.clear()
            self._repaint_changes()
        if chosen != self.chosen:
            self._choose(chosen, told=False)

    def set_active(self, active: bool) -> None:
        """Show the chosen box as the one that keys act on, or as merely remembered."""
        if active != self.active:
            self.active = active
            self._paint_boxes(self.chosen)

    # -- walking -----------------------------------------------------------------------------

    def walk(self, way: Direction) -> bool:
        """Go along an edge, or to the next box of the level; return whether there is anything that way.

        Around a task, a box with neighbours that way which are not drawn first comes into the middle, except on the
        way back.
        """
        seen = self._drawing or self._before
        here = seen.box_of.get(self.chosen) if seen is not None else None
        target = step(seen, self.chosen, way, self._came) if seen is not None and here is not None else None
        if way in ("up", "down"):
            if self._kind == "around":
                target = target or self._follow(way)
                cut = here is None or (here.hidden_above if way == "up" else here.hidden_below) > 0
                if target is not None and cut and target != self._came:
                    self._centre_on(self.chosen)
            if target is not None:
                self._came = self.chosen
        if target is None:
            return False
        self._choose(target)
        return True

    def _follow(self, way: Direction) -> str | None:
        """Return the node at the other end of an edge of the graph, one that came here or holds before others."""
        graph, number = self._graph, self._graph.number.get(self.chosen)
        if number is None:
            return None
        edges = [graph.edges[at] for at in (graph.into if way == "up" else graph.out_of)[number]]
        ends = [(not edge.strong, edge.above if way == "up" else edge.below) for edge in edges]
        if any(end == self._came for _, end in ends):
            return self._came
        return min(ends, key=lambda pair: pair[0])[1] if ends else None

    def far(self, way: Direction) -> None:
        """Walk several steps."""
        for _ in range(_FAR):
            if not self.walk(way):
                break

    def to_end(self, last: bool) -> None:
        """Choose the first or the last box of the drawing."""
        if self._drawing is not None and self._drawing.boxes:
            self._choose(self._drawing.boxes[-1 if last else 0].node)

    def back(self) -> bool:
        """Return to the box chosen before; return whether there was one."""
        while self._trail:
            earlier = self._trail.pop()
            if earlier in self._graph.number and earlier != self.chosen:
                self._came = self.chosen
                self._choose(earlier, kept=False)
                return True
        return False

    def centre(self) -> None:
        """Lay the drawing out around the chosen box."""
        if self._kind == "around":
            self._centre_on(self.chosen)

    def _centre_on(self, node: str) -> None:
        if node != self._centre or self._drawing is None or node not in self._drawing.box_of:
            self._centre = node
            self._lose()

    def _choose(self, node: str, *, told: bool = True, kept: bool = True) -> None:
        former, self.chosen = self.chosen, node
        if node == former:
            return
        if kept and former:
            self._trail = [*self._trail[-_KEPT:], former]
        if self._drawing is not None:
            if self._box(node) is None:
                self._centre_on(node)
            elif self._settle():
                self._repaint_changes()
            else:
                self._paint_boxes(former, node)
        if told:
            self.post_message(self.Chosen(self, node))

    def _box(self, node: str) -> Box | None:
        return self._drawing.box_of.get(node) if self._drawing is not None else None

    # -- laying out --------------------------------------------------------------------------

    def _lose(self) -> None:
        """Have the drawing laid out anew when it is next painted."""
        self._before = self._drawing or self._before
        self._drawing = None
        self._repaint_changes()

    def _repaint_changes(self) -> None:
        """Ask for a painting of what will differ from the screen, found out when the frame is painted."""
        self._moved = True
        self.refresh()

    def _exchange_repaint_regions(self) -> Collection[Region]:
        """Return the regions to paint: after a new layout only the stretches that differ from the screen.

        Textual asks once a frame. Without this hook everything would be painted: correct, but many more bytes.
        """
        regions = super()._exchange_repaint_regions()
        if not self._moved or set(self._painted) != set(range(self.size.height)):
            return regions
        self._moved = False
        drawing = self._lay()
        stretches = ((y, _change(self._painted[y], self._line(drawing, y))) for y in range(self.size.height))
        return [Region(change[0], y, change[1] - change[0], 1) for y, change in stretches if change is not None]

    def _lay(self) -> Drawing:
        """Return the drawing, laid out where it has to be. While keys act elsewhere its size is left alone."""
        size = (self.size.width, self.size.height)
        resized = self._kind != "whole" and self.active and size != self._laid
        if self._drawing is not None and not resized:
            return self._drawing
        self.layouts += 1
        before = self._drawing or self._before
        room = (max(1, size[0] - 1), size[1])
        if self._kind == "fitted":
            drawing = overview(self._graph, room[0])
        elif self._kind == "whole" or self._centre not in self._graph.number:
            drawing = whole(self._graph, before, EFFORT)
        else:
            drawing = around(self._graph, self._centre, *room, before)
            if self.chosen not in drawing.box_of and self.chosen in self._graph.number:
                self._centre = self.chosen
                drawing = around(self._graph, self._centre, *room, before)
        self._drawing, self._laid = drawing, size
        self._rows = rows(drawing, self._glyphs)
        self._strips.clear()
        self._settle()
        return drawing

    def _settle(self) -> bool:
        """Bring the chosen box into view; return whether the view moved."""
        drawing, box, former = self._drawing, self._box(self.chosen), (self._top, self._left)
        if drawing is None:
            return False
        rows_, columns = ((box.row, box.height), (box.column, box.width)) if box else (None, None)
        self._top = _shift(self._top, self.size.height, drawing.height, rows_, False)
        self._left = _shift(self._left, self.size.width, drawing.width, columns, True)
        return (self._top, self._left) != former

    def on_resize(self, event: events.Resize) -> None:
        """Keep the chosen box in view when the window changes."""
        self._settle()
        self._painted.clear()
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Choose the box under the mouse, where a mouse is in use."""
        row, column = event.y + self._top, event.x + self._left
        for box in self._drawing.boxes if self._drawing else ():
            if box.row <= row < box.row + box.height and box.column <= column < box.column + box.width:
                self._choose(box.node)

    # -- painting ----------------------------------------------------------------------------

    def _paint_boxes(self, *nodes: str) -> None:
        """Paint the boxes of some nodes; those in one row together, since a line is sent from its begin."""
        rows_: dict[int, Region] = {}
        boxes = [box for box in map(self._box, nodes) if box is not None]
        for box in boxes:
            for row in range(box.row, box.row + box.height):
                cells = Region(box.column - self._left, row - self._top, box.width, 1)
                rows_[row] = rows_[row].union(cells) if row in rows_ else cells
        view = Region(0, 0, self.size.width, self.size.height)
        for row, region in rows_.items():
            self._strips.pop(row, None)
            if shown := region.intersection(view):
                self.refresh(shown)

    def render_line(self, y: int) -> Strip:
        """Draw one line of the view."""
        self._moved = False
        strip = self._painted[y] = self._line(self._lay(), y)
        return strip

    def _line(self, drawing: Drawing, y: int) -> Strip:
        row, wide = y + self._top, self.size.width
        base = self._look("base")
        if not 0 <= row < drawing.height:
            return Strip.blank(wide, base)
        strip = self._strips.get(row)
        if strip is None:
            strip = self._strips[row] = self._strip(self._rows[row], base)
        if self._left < 0:
            strip = Strip([Segment(" " * -self._left, base), *strip])
        left = max(0, self._left)
        return strip.crop_extend(left, left + wide, base)

    def _strip(self, runs: Iterable[Run], base: Style) -> Strip:
        """Return a row's runs as cells. A blank takes the style before it, where that can't be seen: fewer bytes."""
        segments: list[Segment] = []
        special = (self._look("cursor"), self._look("rest"))
        last = base
        for run in runs:
            style = last if run.role == "blank" else self._style(run, base)
            segments.append(Segment(run.text, style))
            last = base if style in special else style
        return Strip(segments).simplify()

    def _style(self, run: Run, base: Style) -> Style:
        if run.node is not None and run.node == self.chosen:
            return self._look("cursor" if self.active else "rest")
        if run.node is not None and run.node in self._fresh:
            return self._look("fresh")
        if run.edge is not None:
            return self._look("line" if self._graph.edges[run.edge].strong else "faint")
        return self._look(run.role) if run.role in ROLES else base

    def _look(self, name: str) -> Style:
        """Return the style of a role, kept until the theme changes: a key is to cost no more than a few cells."""
        style = self._looks.get(name)
        if style is None:
            part = name in ("base", "cursor", "rest")
            style = self.rich_style if part else self.get_component_rich_style(f"picture--{name}")
            if part and name != "base":
                style += self.get_component_rich_style(f"picture--{name}", partial=True)
            self._looks[name] = style
        return style

    def notify_style_update(self) -> None:
        """Paint everything anew after a change of theme."""
        super().notify_style_update()
        self._strips.clear()
        self._painted.clear()
        self._looks.clear()


def _shift(now: int, room: int, size: int, box: tuple[int, int] | None, middle: bool) -> int:
    """Return the first row or column in view: what fits is set in the middle, else the box is kept in view."""
    if size <= room:
        return -((room - size) // 2) if middle else 0
    now = max(0, min(now, size - room))
    if box is None:
        return now
    start, length = box
    if now <= start and start + length <= now + room:
        return now
    return max(0, min(start - (room - length) // 2, start, size - room))


def _change(before: Strip, after: Strip) -> tuple[int, int] | None:
    """Return the first column that differs and the one behind the last; None for lines that look the same."""
    if before == after:
        return None
    old, new = _cells(before), _cells(after)
    if len(old) != len(new) or len(new) != after.cell_length:
        return 0, max(before.cell_length, after.cell_length)
    differing = [column for column, pair in enumerate(zip(old, new, strict=True)) if pair[0] != pair[1]]
    return (differing[0], differing[-1] + 1) if differing else None


def _cells(strip: Strip) -> list[tuple[str, Style | None]]:
    """Return each cell with its style; of a blank only what can be seen of it."""
    return [
        (char, segment.style and Style(bgcolor=segment.style.bgcolor, reverse=segment.style.reverse))
        if char == " "
        else (char, segment.style)
        for segment in strip
        for char in segment.text
    ]
