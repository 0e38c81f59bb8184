"""Temporary sheet fasteners: how many, which colour, how many at once.

Two sizes are black: the size stamped on the body decides, never the colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from fitup.trade.exact import inches_of_size
from fitup.trade.tables import Tables, tables


def cleco_count(holes: int, *, own: Tables | None = None) -> tuple[int, str]:
    """Return how many fasteners hold a row of holes, from the first hole on and the last one always, and the source.

    One in every two holes: common practice, no source was found.
    """
    row = (own or tables()).first("temporary-fasteners", "every")
    return math.ceil((holes - 1) / row.figure("every")) + 1 if holes > 1 else max(0, holes), row.cited


def colour(size: str, *, own: Tables | None = None) -> str:
    """Return the published colour word of a size, "" where there is none.

    Source: NAVEDTRA 14018 page 13-4, NAVEDTRA 14315 page 122.
    """
    if size == "clamp":
        return ""
    wanted = inches_of_size(size)
    rows = (own or tables()).matching("temporary-fasteners", "colour")
    return next((row.text("colour") for row in rows if inches_of_size(row.text("size")) == wanted), "")


def described(size: str, *, own: Tables | None = None) -> str:
    """Return the size with its colour, and a warning where another size has the same one."""
    word = colour(size, own=own)
    if not word:
        return size
    rows = (own or tables()).matching("temporary-fasteners", "colour", colour=word)
    same = {row.text("size") for row in rows if inches_of_size(row.text("size")) != inches_of_size(size)}
    alike = f", like {' and '.join(sorted(same))}: read the size stamped on it" if same else ""
    return f"{size} ({word}{alike})"


def peaks(changes: Iterable[tuple[str, int]], out: Iterable[tuple[str, int]] = ()) -> dict[str, int]:
    """Return the most fasteners of each size in use at once.

    `out` are those lent before; `changes` follow in order of work, lent as a plus, given back as
    a minus. Giving back more than is out leaves none out.
    """
    now: dict[str, int] = {}
    for size, count in out:
        now[size] = now.get(size, 0) + count
    peak = dict(now)
    for size, count in changes:
        now[size] = max(0, now.get(size, 0) + count)
        peak[size] = max(peak.get(size, 0), now[size])
    return peak
