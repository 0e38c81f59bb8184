"""What stands on the one screen and how it is painted: blocks of rows, laid out anew when anything changed.

What is shown is worded elsewhere. Nothing is painted while nothing happens.
"""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import App, ComposeResult
from textual.containers import Horizontal, Vertical
from textual.events import Resize, ScreenResume
from textual.geometry import Size
from textual.screen import Screen

from fitup.tui import pages, room
from fitup.tui.board import Board
from fitup.tui.commands import PAGES, Here, key_words, look, tab_of
from fitup.tui.rows import Row, row, say, wrapped
from fitup.tui.stage import Stage, make_picture
from fitup.tui.widgets.lines import Lines
from fitup.tui.widgets.panel import Panel
from fitup.tui.wording.status import key_row, status_row, tabs_row

if TYPE_CHECKING:
    from fitup.tui.widgets.picture import Picture


TOLD = 9
"""Rows that are said above the status line at most: an act, what it warns of, and what it started."""


class Desktop(Screen[None], inherit_bindings=False):
    """The one screen; its keys are the app's."""

    BLANK = True

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Take the styles as they are: no other screen was ever before this one, and they have just been worked out."""
        event.refresh_styles = False


class Across(Horizontal):
    """Blocks side by side; nothing is seen of it itself."""

    BLANK = True


class Down(Vertical):
    """Blocks one below the other; nothing is seen of it itself."""

    BLANK = True


class Showing(App[None], inherit_bindings=False):
    """The blocks of the screen: which page is looked at, and which row is chosen."""

    CSS_PATH = "fitup.tcss"
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None

    def __init__(self, board: Board) -> None:
        """Make the blocks for a board."""
        no_color = "NO_COLOR" in os.environ
        super().__init__(ansi_color=True if no_color else None)
        self.animation_level = "none"
        if no_color:
            self.theme = "ansi-dark"
        ascii_only = board.ascii_only
        self.board = board
        self.page = PAGES[0][1]
        self.reading = False
        self.said: list[Row] = []
        self.window = Size(0, 0)
        edge = "| " if ascii_only else "│ "
        self.tabs = Lines(id="tabs", ascii_only=ascii_only)
        self.head = Lines(id="head", ascii_only=ascii_only)
        self.list = Lines(id="list", choosing=True, ascii_only=ascii_only)
        self.stage = Stage(board, self.list, self._draw)
        self.strip = Lines(id="strip", ascii_only=ascii_only)
        self.body = Across(id="body")
        self.left = Down(id="left")
        self.side = Lines(id="side", edge=edge, ascii_only=ascii_only)
        self.message = Lines(id="message", ascii_only=ascii_only)
        self.panel = Panel(id="panel", ascii_only=ascii_only)
        self.status = Lines(id="status", ascii_only=ascii_only)
        self.keys = Lines(id="keys", ascii_only=ascii_only)

    def get_default_screen(self) -> Screen[None]:
        """Return the one screen."""
        return Desktop(id="desktop")

    def compose(self) -> ComposeResult:
        """Stack the blocks."""
        yield self.tabs
        yield self.head
        with self.body, self.left:
            yield self.list
        yield self.message
        yield self.status
        yield self.keys

    def _put(self, block: Lines) -> None:
        """Put a block on the screen that the first painting did without."""
        if block is self.strip:
            self.left.mount(block)
        elif block is self.side:
            self.body.mount(block)
        else:
            self.screen.mount(block, after=self.message)

    @property
    def drawing(self) -> Picture:
        """The drawing of the Graph page, made when it is first looked at."""
        if self.stage.drawing is None:
            self.stage.drawing = self._draw()
        return self.stage.drawing

    def _draw(self) -> Picture:
        picture = make_picture(self.board.ascii_only, os.environ.get("TERM", ""))
        self.left.mount(picture, after=self.list)
        return picture

    def on_resize(self, event: Resize) -> None:
        """Lay everything out for a new size, which the app's own `size` does not know yet; it may be told twice."""
        if event.size != self.window:
            self.window = event.size
            self.paint()

    def here(self) -> Here:
        """Return where the builder is."""
        return replace(look(self.board, self.page, self.stage.chosen), reading=self.reading)

    def tell(self, text: str, role: str = "") -> None:
        """Say a sentence above the status line."""
        self.said = [row(say(text, role))] if text else []
        self.paint()

    def paint(self) -> None:
        """Show everything as it is now; only lines that differ are drawn."""
        width, height = self.window
        if not width or not height:
            return
        panel_rows = self.panel.make(width)
        wide = width >= room.WIDE and self.page != "Help"
        said = self._said_rows(width)
        head = pages.head(self.board, self.page, width)
        below = 0 if self.board.waiting else pages.STRIP.get(self.page, 0)
        plan = room.share(height, len(head), below, len(said), panel_rows, wide, self.reading)
        side = room.side_width(width) if wide else 0
        for block, rows in (
            (self.tabs, plan.tabs), (self.head, plan.head), (self.strip, plan.strip), (self.message, plan.message),
            (self.panel, plan.panel), (self.status, plan.status), (self.keys, plan.keys),
        ):  # fmt: skip
            block.styles.height = rows
            block.display = rows > 0
            if rows and not block.is_attached:
                self._put(block)
        if wide and not self.side.is_attached:
            self._put(self.side)
        self.side.display = wide
        self.side.styles.width = side
        self.body.styles.height = plan.list + plan.strip
        self.side.styles.height = plan.list + plan.strip
        self.head.show_rows(head)
        self.message.show_rows(said)
        self.stage.show(self.page, width - side - 1, plan.list, not self.reading and self.panel.form is None)
        project = self.board.project.plan.title or self.board.desk.path.name
        self.tabs.show_rows([tabs_row(PAGES, tab_of(self.page), project, width)])
        self.status.show_rows([status_row(self.board, width)])
        self.panel.place(plan.panel)
        self.paint_chosen()

    def paint_chosen(self) -> None:
        """Show what depends on the chosen row: detail and keys."""
        width = self.window.width
        key = self.stage.chosen
        wide = self.side.display
        block = self.side if wide else self.strip
        inner = (room.side_width(width) - 3) if wide else width - 2
        if block.display:
            brief = not wide and not self.reading
            rows = [] if self.board.waiting else pages.detail(self.board, self.page, key, inner, brief)
            block.show_rows(rows if wide else [Row((say(" "), *line.runs)) for line in rows])
        self.keys.show_rows([self._key_row(width)])

    def _key_row(self, width: int) -> Row:
        if self.panel.form is None:
            return key_row(*key_words(self.here()), width)
        return key_row(self.panel.key_words(), [], width)

    def _said_rows(self, width: int) -> list[Row]:
        rows = [line for said in self.said for line in wrapped(said.text, width - 2, said.runs[0].role, " ")]
        return rows[:TOLD]
