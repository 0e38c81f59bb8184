"""The one list widget: rows drawn line by line, only the lines that changed painted again.

Rows are asked for when they come into view, so a plan of two thousand tasks costs no more than a
screenful. There is no widget per row, no scrollbar and no animation.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.css.styles import RenderStyles
from textual.dom import DOMNode
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip

from fitup.tui.rows import BLANK, ROLES, Row, plain
from fitup.tui.widgets.bare import Bare

BLANK_CELL = (" ", "")
_OUTLINED = frozenset({"tab-on", "field", "caret"})
"""Roles in which a blank is seen."""

_DRAWN = frozenset({*(f"lines--{role}" for role in ROLES), "lines--cursor", "lines--rest"})
"""Names of the component classes in the style sheet."""


class Lines(Bare, can_focus=False, inherit_bindings=False):
    """A block of rows; with `choosing` one of the keyed rows is the chosen one."""

    class Chosen(Message):
        """Another row was chosen."""

    def __init__(self, *, id: str, ascii_only: bool, choosing: bool = False, edge: str = "") -> None:
        """Make an empty block; `edge` is drawn down its left side."""
        super().__init__(id=id)
        self.choosing = choosing
        self.edge = edge
        self.active = True
        self._ascii = ascii_only
        self._keys: Sequence[str] = ()
        self._draw: Callable[[int], Row] = lambda index: BLANK
        self._top = 0
        self._cursor = -1
        self._drawn: dict[int, Row] = {}
        self._painted: dict[int, tuple[Row, bool, str]] = {}
        self._looks: dict[str, Style] = {}

    # -- content -----------------------------------------------------------------------------

    def show(self, keys: Sequence[str], draw: Callable[[int], Row], chosen: str | None = None) -> None:
        """Show rows drawn by index; `keys` names them, "" for rows that cannot be chosen.

        The chosen row stays chosen where its key is still there, else the one in its place.
        """
        wanted = chosen if chosen is not None else self.chosen
        self._keys, self._draw = keys, draw
        self._drawn.clear()
        self._cursor = self._place(wanted) if self.choosing else -1
        self._settle()
        self._repaint()

    def show_rows(self, rows: Sequence[Row], chosen: str | None = None) -> None:
        """Show rows that are already made."""
        self.show([row.key for row in rows], lambda index: rows[index], chosen)

    def _place(self, wanted: str | None) -> int:
        if wanted and wanted in self._keys:
            return list(self._keys).index(wanted)
        return self._nearest(max(0, self._cursor))

    def _nearest(self, index: int) -> int:
        """Return the keyed row at or after `index`, else the last before it, else -1."""
        for place in range(index, len(self._keys)):
            if self._keys[place]:
                return place
        for place in range(min(index, len(self._keys)) - 1, -1, -1):
            if self._keys[place]:
                return place
        return -1

    @property
    def chosen(self) -> str:
        """Key of the chosen row, "" for none."""
        return self._keys[self._cursor] if 0 <= self._cursor < len(self._keys) else ""

    @property
    def count(self) -> int:
        """How many rows there are."""
        return len(self._keys)

    @property
    def top(self) -> int:
        """Index of the uppermost row in view."""
        return self._top

    def set_active(self, active: bool) -> None:
        """Show the chosen row as the one that keys act on, or as merely remembered."""
        if active != self.active:
            self.active = active
            self._repaint()

    # -- moving ------------------------------------------------------------------------------

    def move(self, steps: int) -> None:
        """Choose the row `steps` keyed rows further; with nothing to choose, scroll by rows."""
        if not self.choosing or self._cursor < 0:
            self.scroll_by(steps)
            return
        place, way = self._cursor, 1 if steps > 0 else -1
        for _ in range(abs(steps)):
            following = place + way
            while 0 <= following < len(self._keys) and not self._keys[following]:
                following += way
            if not 0 <= following < len(self._keys):
                if way < 0:
                    self._top = 0
                break
            place = following
        self._choose(place)

    def scroll_by(self, rows: int) -> None:
        """Move the view by rows."""
        self._top = max(0, min(self._top + rows, len(self._keys) - self.size.height))
        self._repaint()

    def page(self, pages: int) -> None:
        """Move by screenfuls."""
        self.move(pages * max(1, self.size.height - 1))

    def to_end(self, last: bool) -> None:
        """Choose the first or the last row."""
        self.move(len(self._keys) if last else -len(self._keys))

    def _choose(self, place: int) -> None:
        if place == self._cursor:
            self._repaint()
            return
        self._cursor = place
        self._settle()
        self._repaint()
        self.post_message(self.Chosen())

    def _settle(self) -> None:
        """Bring the chosen row into view; the head of the list comes along with its first row."""
        height = self.size.height
        if height <= 0:
            return
        if self._cursor >= 0:
            if self._cursor < self._top:
                self._top = self._cursor
            elif self._cursor >= self._top + height:
                self._top = self._cursor - height + 1
            if self._nearest(0) == self._cursor and self._cursor < height:
                self._top = 0
        self._top = max(0, min(self._top, len(self._keys) - height))

    def on_resize(self, event: events.Resize) -> None:
        """Keep the chosen row in view when the window changes; its lines may be painted already."""
        self._settle()
        self._repaint()

    def on_click(self, event: events.Click) -> None:
        """Choose the row under the mouse, where a mouse is in use."""
        index = self._top + event.y
        if self.choosing and 0 <= index < len(self._keys) and self._keys[index]:
            self._choose(index)

    # -- drawing -----------------------------------------------------------------------------

    def _row(self, index: int) -> Row:
        """Return a row, drawn once for each showing."""
        row = self._drawn.get(index)
        if row is None:
            row = self._drawn[index] = self._draw(index)
        return row

    def _state(self, y: int, height: int) -> tuple[Row, bool, str]:
        index = self._top + y
        row = self._row(index) if 0 <= index < len(self._keys) else BLANK
        more = ""
        if y == 0 and self._top > 0:
            more = "↑"
        elif index + 1 < len(self._keys) and y == height - 1:
            more = "↓"
        return row, index == self._cursor and self._cursor >= 0, more + ("" if self.active else " ")

    def _repaint(self) -> None:
        """Ask for a new painting of the stretches that differ from what is on the screen."""
        width, height = self.size
        changes: list[Region] = []
        for y in range(height):
            former, state = self._painted.get(y), self._state(y, height)
            if former != state:
                first, end = self._stretch(former, state, width)
                changes.append(Region(first, y, end - first, 1))
        if changes:
            self.refresh(*changes)

    def _stretch(
        self, former: tuple[Row, bool, str] | None, state: tuple[Row, bool, str], width: int
    ) -> tuple[int, int]:
        """Return between which cells a line differs: what is the same around them need not be sent."""
        if former is None or former[1:] != state[1:]:
            return 0, width
        old, new = _cells(former[0]), _cells(state[0])
        longer = max(len(old), len(new))
        old += [BLANK_CELL] * (longer - len(old))
        new += [BLANK_CELL] * (longer - len(new))
        differing = [at for at in range(longer) if old[at] != new[at]]
        edge = cell_len(self.edge) + self.choosing
        if not differing:
            return 0, min(width, 1)
        return min(width - 1, edge + differing[0]), min(width, edge + differing[-1] + 1)

    def render_line(self, y: int) -> Strip:
        """Draw one line; every cell has a style."""
        width, height = self.size
        state = self._painted[y] = self._state(y, height)
        row, chosen, more = state
        base = self._look("")
        if chosen:
            base = self._look("cursor" if self.active else "rest")
        runs: list[tuple[str, Style]] = []
        if self.edge:
            runs.append((self.edge, self._look("dim")))
        if self.choosing:
            runs.append((">" if chosen else " ", base))
        for run in row.runs:
            style = self._look(run.role) if run.role else base
            runs.append((run.text, base + Style(bold=style.bold) if chosen and run.role else style))
        segments = _sparing([Segment(plain(text) if self._ascii else text, style) for text, style in runs if text])
        end = segments[-1].style if segments else None
        strip = Strip(segments).crop_extend(0, width, end if end and _unseen(end, base) else base).simplify()
        sign = more.strip()
        if sign and width > 4:
            dim = self._look("dim")
            shown = plain(sign) if self._ascii else sign
            strip = Strip([*strip.crop(0, width - cell_len(shown)), Segment(shown, dim)], width)
        return strip

    def get_component_styles(self, *names: str) -> RenderStyles:
        """Work out the styles of the roles that are really drawn; eighteen for every block would slow each start."""
        # Textual has no public way to style one component: declared as COMPONENT_CLASSES, all are worked out at once.
        for name in names:
            if name in _DRAWN and name not in self._component_styles:
                node = DOMNode(classes=name)
                node._attach(self)
                self.app.stylesheet.apply(node, animate=False)
                self._component_styles[name] = node.styles
        return super().get_component_styles(*names)

    def _look(self, role: str) -> Style:
        """Return the style of a role, kept until the theme changes."""
        style = self._looks.get(role)
        if style is None:
            style = self.rich_style
            if role in ("cursor", "rest"):
                style += self.get_component_rich_style(f"lines--{role}", partial=True)
            elif role:
                style = self.get_component_rich_style(f"lines--{role}")
            self._looks[role] = style
        return style

    def notify_style_update(self) -> None:
        """Paint all lines anew after a change of theme."""
        super().notify_style_update()
        self._component_styles.clear()
        self._looks.clear()

    def _forget(self) -> None:
        super()._forget()
        self._painted.clear()


def _cells(row: Row) -> list[tuple[str, str]]:
    """Return each cell of a row with its role; a wide character takes two."""
    cells: list[tuple[str, str]] = []
    for run in row.runs:
        blank = (" ", run.role if run.role in _OUTLINED else "")
        if cell_len(run.text) == len(run.text):
            cells += [blank if char == " " else (char, run.role) for char in run.text]
        else:
            cells += [(run.text, run.role)] * cell_len(run.text)
    return cells


def _unseen(style: Style, other: Style) -> bool:
    """Whether a blank looks the same in both styles."""
    return style.bgcolor == other.bgcolor and not (style.reverse or other.reverse or style.underline or other.underline)


def _sparing(segments: list[Segment]) -> list[Segment]:
    """Return the segments with blank ones in the style of a neighbour, where that can't be seen: fewer bytes."""
    for at, (text, style, _) in enumerate(segments):
        beside = segments[at - 1] if at else segments[1] if len(segments) > 1 else None
        if beside and beside.style and style and text.isspace() and _unseen(style, beside.style):
            segments[at] = Segment(text, beside.style)
    return segments
