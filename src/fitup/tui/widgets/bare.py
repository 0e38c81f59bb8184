"""A block without border, padding, tint or opacity, whose lines are handed on as they are drawn.

Each painting asks every block near the changed cells for all its lines. What a style sheet could put around a line
costs more than drawing it; here nothing can, so that a key costs the few lines it changed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Self

from textual.events import Hide
from textual.filter import LineFilter
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget


class Bare(Widget, inherit_bindings=False):
    """Draws only lines that were asked to be painted anew; `render_line` gives every cell a style."""

    def __init__(self, *, id: str) -> None:
        """Make a block with no line drawn yet."""
        super().__init__(id=id)
        self._lines: list[Strip] = []
        self._stale: set[int] = set()
        self._made_for: tuple[Size, Sequence[LineFilter]] = (Size(0, 0), ())

    def refresh(self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False) -> Self:
        """Ask for a painting of regions, or of everything."""
        if repaint and regions:
            self._stale.update(y for region in regions for y in region.line_range)
        elif repaint:
            self._lines = []
        return super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return the lines of a part of the block."""
        size, filters = self.size, self.get_line_filters()
        if not self._lines or self._made_for != (size, filters):
            self._lines, self._made_for = [Strip([])] * size.height, (size, filters)
            self._stale = set(range(size.height))
        if self._stale:
            background = self.background_colors[1]
            for y in sorted(self._stale):
                if y < size.height:
                    strip = self.render_line(y)
                    if strip.cell_length != size.width:
                        strip = strip.adjust_cell_length(size.width, self.rich_style)
                    for each in filters:
                        strip = strip.apply_filter(each, background)
                    self._lines[y] = strip
            self._stale.clear()
        lines = self._lines[crop.y : crop.bottom]
        if crop.column_span == (0, size.width):
            return lines
        return [line.crop(*crop.column_span) for line in lines]

    def on_hide(self, event: Hide) -> None:
        """Forget what was drawn: while hidden a block has no size, and nothing is compared."""
        self._forget()

    def _forget(self) -> None:
        """Have every line drawn when it is next painted."""
        self._lines = []

    def notify_style_update(self) -> None:
        """Draw everything anew after a change of theme."""
        super().notify_style_update()
        self._forget()
