"""Oversize rivets in repair: the next size, how many are allowed, which alloy may stand in."""

from __future__ import annotations

from fractions import Fraction

from fitup.trade.exact import inches_of_size
from fitup.trade.mistake import Mistake
from fitup.trade.rivets import alloy_of
from fitup.trade.tables import Tables, tables


def next_larger(size: str, *, own: Tables | None = None) -> tuple[Fraction, str]:
    """Return the next larger rivet diameter for an enlarged hole, in inches, and the source.

    1/32 in more up to 1/4 in, 1/16 in more above; edge distance and spacing then count for the
    larger one. Source: MIL-R-47196A (second-hand).
    """
    diameter = inches_of_size(size)
    for row in (own or tables()).matching("repairs", "step"):
        larger = diameter + inches_of_size(row.text("by"))
        if row.figure("from") < larger <= row.figure("to"):
            return larger, row.cited
    raise Mistake(f"no source says which rivet comes after {size}")


def most_oversize(rivets: int, *, own: Tables | None = None) -> tuple[int, str]:
    """Return how many oversize holes and countersinks a pattern of so many rivets may have, and the source.

    A fifth of them or ten, whichever is less. Source: MIL-R-47196A (second-hand).
    """
    row = (own or tables()).first("repairs", "limit")
    return int(min(row.figure("share") * max(0, rivets), row.figure("most"))), row.cited


def may_replace(alloy: str, size: str, by: str, by_size: str, *, own: Tables | None = None) -> str:
    """Return the published rule that lets one rivet stand in for another, "" where none does.

    AD for D up to 3/16 or DD up to 5/32, if at least 1/32 in larger; the same alloy of at least
    the same size always. Source: FAA AC 43.13-1B par 4-57b. The kit's manual decides.
    """
    book = own or tables()
    here, there = alloy_of(alloy, own=book), alloy_of(by, own=book)
    if here is None or there is None:
        return ""
    diameter, other = inches_of_size(size), inches_of_size(by_size)
    if here.text("code") == there.text("code"):
        return book.first("repairs", "replace").cited if other >= diameter else ""
    for row in book.matching("repairs", "replace", alloy=here.text("code"), by=there.text("code")):
        if diameter <= inches_of_size(row.text("up-to")) and other >= diameter + inches_of_size(row.text("larger")):
            return row.cited
    return ""
