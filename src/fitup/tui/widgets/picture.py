"""The drawing of a graph on the screen: one box is the chosen one, arrow keys walk along the edges.

Laid out once a frame, when it is painted, however many keys came before; a choice that moves inside the drawing paints
its two boxes only. There is no widget per box, and every cell has a style.
"""

from __future__ import annotations

from collections.abc import Set
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

ROLES = ("mark", "label", "tail", "frame", "line", "faint", "sign", "word", "note", "fresh")
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
            self.refresh()
        if chosen != self.chosen:
            self._choose(chosen, told=False)

    def set_active(self, active: bool) -> None:
        """Show the chosen box as the one that keys act on, or as merely remembered."""
        if active != self.active:
            self.active = active
            self._paint_box(self.chosen)

    # -- walking -----------------------------------------------------------------------------

    def walk(self, way: Direction) -> bool:
        """Go along an edge, or to the next box of the level; return whether there is anything that way.

        Around a task, a box reached along an edge comes into the middle where not all its neighbours are drawn.
        """
        seen = self._drawing or self._before
        there = seen is not None and self.chosen in seen.box_of
        target = step(seen, self.chosen, way, self._came) if seen is not None and there else None
        upright = way in ("up", "down")
        if target is None and upright and self._kind == "around":
            target = self._follow(way)
        if target is None:
            return False
        if upright:
            self._came = self.chosen
        self._choose(target)
        box = self._box(target)
        if upright and self._kind == "around" and (box is None or box.hidden_above or box.hidden_below):
            self._centre_on(target)
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
                self.refresh()
            else:
                self._paint_box(former)
                self._paint_box(node)
        if told:
            self.post_message(self.Chosen(self, node))

    def _box(self, node: str) -> Box | None:
        return self._drawing.box_of.get(node) if self._drawing is not None else None

    # -- laying out --------------------------------------------------------------------------

    def _lose(self) -> None:
        """Have the drawing laid out anew when it is next painted."""
        self._before = self._drawing or self._before
        self._drawing = None
        self.refresh()

    def _lay(self) -> Drawing:
        """Return the drawing, laid out where it has to be. While keys act elsewhere its size is left alone."""
        size = (self.size.width, self.size.height)
        resized = self._kind != "whole" and self.active and size != self._laid
        if self._drawing is not None and not resized:
            return self._drawing
        self.layouts += 1
        before = self._drawing or self._before
        if self._kind == "fitted":
            drawing = overview(self._graph, self.size.width)
        elif self._kind == "whole" or self._centre not in self._graph.number:
            drawing = whole(self._graph, before, EFFORT)
        else:
            drawing = around(self._graph, self._centre, *size, before)
            if self.chosen not in drawing.box_of and self.chosen in self._graph.number:
                self._centre = self.chosen
                drawing = around(self._graph, self._centre, *size, before)
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
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Choose the box under the mouse, where a mouse is in use."""
        row, column = event.y + self._top, event.x + self._left
        for box in self._drawing.boxes if self._drawing else ():
            if box.row <= row < box.row + box.height and box.column <= column < box.column + box.width:
                self._choose(box.node)

    # -- painting ----------------------------------------------------------------------------

    def _paint_box(self, node: str) -> None:
        box = self._box(node)
        if box is None:
            return
        for row in range(box.row, box.row + box.height):
            self._strips.pop(row, None)
        view = Region(0, 0, self.size.width, self.size.height)
        region = Region(box.column - self._left, box.row - self._top, box.width, box.height).intersection(view)
        if region:
            self.refresh(region)

    def render_line(self, y: int) -> Strip:
        """Draw one line of the view."""
        drawing = self._lay()
        row, wide = y + self._top, self.size.width
        base = self.rich_style
        if not 0 <= row < drawing.height:
            return Strip.blank(wide, base)
        strip = self._strips.get(row)
        if strip is None:
            strip = self._strips[row] = Strip([Segment(run.text, self._style(run, base)) for run in self._rows[row]])
        if self._left < 0:
            strip = Strip([Segment(" " * -self._left, base), *strip])
        left = max(0, self._left)
        return strip.crop_extend(left, left + wide, base)

    def _style(self, run: Run, base: Style) -> Style:
        if run.role in ("blank", "fill") and run.node is None:
            return base
        name = run.role if run.role in ROLES else "label"
        if run.node is not None and run.node == self.chosen:
            return base + self.get_component_rich_style(
                "picture--cursor" if self.active else "picture--rest", partial=True
            )
        if run.node is not None and run.node in self._fresh:
            name = "fresh"
        return self.get_component_rich_style(f"picture--{name}")

    def notify_style_update(self) -> None:
        """Paint everything anew after a change of theme."""
        super().notify_style_update()
        self._strips.clear()


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
