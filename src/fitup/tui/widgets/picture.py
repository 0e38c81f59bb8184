"""The drawing of a graph on the screen: one box is the chosen one, arrow keys walk along the edges.

Laid out once for all the keys that came at once; only the stretches that differ from the screen are painted, for a
choice that moves inside the drawing those of its two boxes. There is no widget per box, and every cell has a style.
"""

from __future__ import annotations

from collections.abc import Iterable, Set
from typing import Literal

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip

from fitup.desk_graphs import overview
from fitup.drawing import Box, Direction, Drawing, Glyphs, Graph, Run, around, rows, step, whole
from fitup.tui.widgets.bare import Bare

Kind = Literal["around", "fitted", "whole"]

ROLES = ("frame", "line", "faint", "note", "fresh")
EFFORT = 12_000
"""Bounds the search for few crossings in a whole drawing, so that it opens in a blink."""
_FAR = 5
"""Steps that page up and page down make."""
_KEPT = 200
"""Steps that can be gone back."""


class Picture(Bare, can_focus=False, inherit_bindings=False):
    """A drawn graph with a chosen box: around it, the whole fitted to the width, or the whole scrolled to it.

    The scrolled one is fitted too where cutting labels can do it, and else has its labels whole.
    """

    COMPONENT_CLASSES = {*(f"picture--{role}" for role in ROLES), "picture--cursor", "picture--rest"}  # noqa: RUF012

    class Chosen(Message):
        """Another box was chosen with the mouse. Who walks by keys knows of it already."""

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
        self._due = False
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
                self._drawing, self._before, self._trail, self._came = None, None, [], ""
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
            self._choose(chosen)

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

    def _choose(self, node: str, *, kept: bool = True) -> None:
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

    def _box(self, node: str) -> Box | None:
        return self._drawing.box_of.get(node) if self._drawing is not None else None

    # -- laying out --------------------------------------------------------------------------

    def _lose(self) -> None:
        """Have the drawing laid out anew when it is next painted."""
        self._before = self._drawing or self._before
        self._drawing = None
        self._repaint_changes()

    def _repaint_changes(self) -> None:
        """Have painted what will differ from the screen, once the keys that came at once are all through.

        They wait in the app's queue; a layout for each of them would be thrown away.
        """
        if not self._due:
            self._due = self.app.call_later(self._paint_changes)

    def _paint_changes(self) -> None:
        """Ask for a painting of the stretches that differ from the screen, of everything where it isn't known."""
        self._due = False
        height, wanted = self.size.height, self.styles.height
        resizing = wanted is not None and wanted.value != height
        if resizing or len(self._painted) != height:
            self.refresh()
            return
        drawing = self._lay()
        wide = self.size.width
        stretches = ((y, _change(strip, self._line(drawing, y, wide))) for y, strip in self._painted.items())
        regions = [Region(change[0], y, change[1] - change[0], 1) for y, change in stretches if change is not None]
        if regions:
            self.refresh(*regions)

    def _lay(self) -> Drawing:
        """Return the drawing, laid out where it has to be. While keys act elsewhere its size is left alone."""
        size = (self.size.width, self.size.height)
        whole_kind = self._kind != "around"
        resized = self.active and (size[0] != self._laid[0] if whole_kind else size != self._laid)
        if self._drawing is not None and not resized:
            return self._drawing
        self.layouts += 1
        before = self._drawing or self._before
        room = (max(1, size[0] - 1), size[1])
        if self._kind == "fitted":
            drawing = overview(self._graph, room[0])
        elif self._kind == "whole" or self._centre not in self._graph.number:
            drawing = whole(self._graph, before, EFFORT, room[0])
            if drawing.width > room[0]:
                drawing = whole(self._graph, before, EFFORT)
        else:
            drawing = around(self._graph, self._centre, *room, before)
            if self.chosen not in drawing.box_of and self.chosen in self._graph.number:
                self._centre = self.chosen
                drawing = around(self._graph, self._centre, *room, before)
        self._drawing, self._laid = drawing, size
        self._rows = rows(drawing, self._glyphs)
        self._strips.clear()
        box = self._box(self.chosen)
        if before is None and box is not None:
            self._top = box.row - (size[1] - box.height) // 2
            self._left = box.column - (size[0] - box.width) // 2
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
        self._strips.clear()
        self._painted.clear()
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Choose the box under the mouse, where a mouse is in use."""
        row, column = event.y + self._top, event.x + self._left
        for box in self._drawing.boxes if self._drawing else ():
            if box.row <= row < box.row + box.height and box.column <= column < box.column + box.width:
                self._choose(box.node)
                self.post_message(self.Chosen(self, box.node))

    # -- painting ----------------------------------------------------------------------------

    def _paint_boxes(self, *nodes: str) -> None:
        """Paint the boxes of some nodes."""
        for box in map(self._box, nodes):
            for row in range(box.row, box.row + box.height) if box is not None else ():
                self._strips.pop(row, None)
        self._repaint_changes()

    def render_line(self, y: int) -> Strip:
        """Draw one line of the view."""
        strip = self._painted[y] = self._line(self._lay(), y, self.size.width)
        return strip

    def _line(self, drawing: Drawing, y: int, wide: int) -> Strip:
        """Return a line of the view; what is blank beside a row takes the style of the row's end."""
        row = y + self._top
        if not 0 <= row < drawing.height:
            return Strip.blank(wide, self._look("base"))
        strip = self._strips.get(row)
        if strip is None:
            strip = self._strips[row] = self._strip(self._rows[row], wide)
        left = max(0, self._left)
        if not left and strip.cell_length == wide:
            return strip
        return strip.crop_extend(left, left + wide, self._look("base"))

    def _strip(self, runs: Iterable[Run], wide: int) -> Strip:
        """Return a row's runs as cells. Blanks take the style beside them, where that can't be seen: fewer bytes."""
        base, special = self._look("base"), (self._look("cursor"), self._look("rest"))
        styled = [(run.text, None if run.role == "blank" else self._style(run, base)) for run in runs]
        styled = [(" " * -self._left, None), *styled] if self._left < 0 else styled
        styled.append((" " * (wide - sum(cell_len(text) for text, _ in styled)), None))
        last = next((style for _, style in styled if style is not None), base)
        last = base if last in special else last
        segments: list[Segment] = []
        for text, own in styled:
            style = last if own is None else own
            if text:
                segments.append(Segment(text, style))
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
        self._looks.clear()

    def _forget(self) -> None:
        super()._forget()
        self._painted.clear()


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
    if before is after or before == after:
        return None
    old, new = _cells(before), _cells(after)
    if len(old) != len(new) or len(new) != after.cell_length:
        return 0, max(before.cell_length, after.cell_length)
    differing = [column for column, pair in enumerate(zip(old, new, strict=True)) if pair[0] != pair[1]]
    return (differing[0], differing[-1] + 1) if differing else None


def _cells(strip: Strip) -> list[tuple[str, object]]:
    """Return each cell with its style; of a blank only what can be seen of it."""
    cells: list[tuple[str, object]] = []
    for text, style, _ in strip:
        blank = style and (style.bgcolor, style.reverse, style.underline)
        cells += [(char, blank if char == " " else style) for char in text]
    return cells
