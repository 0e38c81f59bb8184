"""How the rows of the window are shared out among the blocks, from 5 rows up."""

from __future__ import annotations

from dataclasses import dataclass

WIDE = 120
"""Columns from which the detail stands beside the list."""


CAUTIONED = 16
"""Rows from which the line of caution on opening does not crowd out the work."""


@dataclass(frozen=True, slots=True)
class Shares:
    """Rows of each block; together they are the window's height."""

    tabs: int
    head: int
    list: int
    strip: int
    message: int
    panel: int
    status: int
    keys: int


def side_width(width: int) -> int:
    """Return the columns of the detail beside the list."""
    return min(64, width * 3 // 8)


def share(height: int, head: int, strip: int, message: int, panel: int, wide: bool, reading: bool) -> Shares:
    """Share out `height` rows; the other figures are the rows that each block would like.

    The panel gets what it needs before the list does; the list is never less than a row.
    """
    keys = 1 if height >= 3 else 0
    tabs = 1 if height >= 5 else 0
    status = 1 if height >= 9 else 0
    rest = max(1, height - keys - tabs - status)
    panel = min(panel, max(1, rest - 1))
    rest -= panel
    message = max(0, min(message, rest - 3 if rest >= 4 else min(1, rest - 1)))
    body = rest - message
    if reading and not wide:
        shown = min(4, body, max(1, body // 3))
        return Shares(tabs, 0, shown, body - shown, message, panel, status, keys)
    head = min(head, body // 2)
    below = body - head
    strip = 0 if wide or panel or below < 9 else min(strip, below - 6)
    return Shares(tabs, head, below - strip, strip, message, panel, status, keys)
