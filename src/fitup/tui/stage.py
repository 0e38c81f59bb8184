"""The block that the keys move in: the list, or on the Graph page the drawing in its place."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fitup.tui import pages
from fitup.tui.commands.base import PICTURES, TASK_VIEWS
from fitup.tui.widgets.lines import Lines

if TYPE_CHECKING:
    from fitup.drawing import Direction, Glyphs, Graph
    from fitup.tui.board import Board
    from fitup.tui.widgets.picture import Kind, Picture

_KINDS: dict[str, Kind] = {"Graph": "around", "Whole": "fitted", "Inside": "whole"}
_WAYS: dict[str, Direction] = {"up": "up", "down": "down", "left": "left", "right": "right"}


def glyphs_for(ascii_only: bool, term: str) -> Glyphs:
    """Return the lines that a terminal can show; console fonts have square corners only."""
    from fitup.drawing import ASCII, ROUND, SQUARE

    if ascii_only:
        return ASCII
    return SQUARE if term in ("linux", "vt100", "vt220") else ROUND


def make_picture(ascii_only: bool, term: str) -> Picture:
    """Make the drawing; what draws is imported only now, since the first page has none."""
    from fitup.tui.widgets.picture import Picture

    return Picture(id="drawing", glyphs=glyphs_for(ascii_only, term))


class Stage:
    """List and drawing, one of which is shown, and what was last chosen on each page.

    The views that show tasks share their choice.
    """

    def __init__(self, board: Board, list_: Lines, draw: Callable[[], Picture]) -> None:
        """Take charge of the list, and of the drawing that `draw` puts on the screen when one is first looked at."""
        self.board = board
        self.list = list_
        self.drawing: Picture | None = None
        self._draw = draw
        self.page = ""
        self._places: dict[str, str] = {}

    @property
    def shown(self) -> Lines | Picture:
        """The block that is shown on the page."""
        return self.drawing if self.drawing is not None and self.page in PICTURES else self.list

    @property
    def chosen(self) -> str:
        """Key of what is chosen in it, "" for nothing."""
        return self.shown.chosen

    def place(self, page: str) -> str:
        """Return what was last chosen on a page, "" for nothing."""
        return self._places.get(_shared(page), "")

    def set_place(self, page: str, key: str) -> None:
        """Have something chosen on a page when it is next shown."""
        self._places[_shared(page)] = key

    def show(self, page: str, width: int, height: int, active: bool) -> None:
        """Show a page's list or drawing in that many cells."""
        board = self.board
        self.page = page
        drawn = page in PICTURES
        if drawn and self.drawing is None:
            self.drawing = self._draw()
        for block, on in ((self.list, not drawn), (self.drawing, drawn)):
            if block is not None:
                block.styles.height = height
                block.display = on and height > 0
        if drawn and self.drawing is not None:
            graph = board.graph(page)
            chosen = self.place(page) or _first(board, graph)
            self.drawing.show(graph, _KINDS[page], chosen, board.freed)
        else:
            keys, draw = pages.listing(board, page, width)
            self.list.show(keys, draw, self.place(page))
        if not board.waiting:
            # What stands first before there is a run sheet was not chosen by anybody.
            self.set_place(page, self.chosen)
        self.shown.set_active(active)

    def move(self, key: str) -> None:
        """Move by an arrow key, by screenfuls, or to an end."""
        block = self.shown
        if isinstance(block, Lines):
            move_lines(block, key)
        elif key in _WAYS:
            block.walk(_WAYS[key])
        elif key in ("pageup", "pagedown"):
            block.far("up" if key == "pageup" else "down")
        else:
            block.to_end(key == "end")


def move_lines(block: Lines, key: str, scrolling: bool = False) -> None:
    """Move in a list; `scrolling` moves the view where there is nothing to choose."""
    if key in ("up", "down"):
        steps = 1 if key == "down" else -1
        block.scroll_by(steps) if scrolling else block.move(steps)
    elif key in ("pageup", "pagedown"):
        block.page(1 if key == "pagedown" else -1)
    elif key in ("home", "end"):
        block.to_end(key == "end")


def _shared(page: str) -> str:
    return "Graph" if page in TASK_VIEWS else page


def _first(board: Board, graph: Graph) -> str:
    """Return the first task that can be worked on, or the first of all."""
    states = board.readiness().states
    nodes = [node.id for node in graph.nodes]
    return next((node for node in nodes if states.get(node) in ("ready", "under way")), nodes[0] if nodes else "")
