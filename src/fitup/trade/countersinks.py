"""Countersink or dimple: the thinnest sheet that may be machine countersunk, by source.

Published minima conflict. Unless one source is chosen, the strictest warns and the others are
named beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fitup.trade.exact import inches, inches_of_size
from fitup.trade.remark import Remark, in_unit
from fitup.trade.tables import Row, Tables, preferred, tables


@dataclass(frozen=True, slots=True)
class Minimum:
    """A thickness of sheet in inches that one source names as a limit."""

    sheet: Fraction
    source: str


@dataclass(frozen=True, slots=True)
class Strength:
    """What a flush rivet holds at the most, in lb, in a dimpled and in a countersunk sheet."""

    dimpled: Fraction
    countersunk: Fraction
    note: str
    source: str


def countersink_minima(size: str, source: str = "", *, own: Tables | None = None) -> tuple[Minimum, ...]:
    """Return what each source asks for a rivet diameter, the thinnest sheet first.

    Sources: TM 9-2320-387-24-2 table 33-4, NAVEDTRA 14315, a wartime service manual.
    """
    diameter = inches_of_size(size)
    rows = [row for row in (own or tables()).matching("countersinks", "minimum", source) if _holds_for(row, diameter)]
    return tuple(
        sorted((Minimum(row.figure("sheet"), row.cited) for row in preferred(rows)), key=lambda one: one.sheet)
    )


def countersink_remarks(
    size: str, sheet: float, unit: str, source: str = "", *, own: Tables | None = None
) -> tuple[Remark, ...]:
    """Say whether a sheet is too thin for a machine countersink.

    A warning where every source (or the one chosen) says so, a note where only some do.
    """
    thickness = inches(sheet, unit, "sheet")
    minima = countersink_minima(size, source, own=own)
    broken = [one for one in minima if thickness < one.sheet]
    if not broken:
        return ()
    agreed = len(broken) == len(minima)
    # by all: how thin the mildest still allows; by some: what those ask that object
    least = broken[0] if agreed else broken[-1]
    says = (
        f"a sheet of {in_unit(thickness, unit)} is too thin to countersink for {size};"
        f" {'every source' if agreed else 'the strictest source'} wants at least {in_unit(least.sheet, unit)}:"
        " dimple it"
    )
    return (Remark("warning" if agreed else "note", "sheet", says, "; ".join(one.source for one in broken)),)


def countersink_window(size: str, *, own: Tables | None = None) -> tuple[Fraction, Fraction, str] | None:
    """Return least and greatest diameter of the countersink in inches and the source, None if unknown.

    Source: TM 9-2320-387-24-2 table 33-3, blind rivets of 100 degrees.
    """
    diameter = inches_of_size(size)
    for row in (own or tables()).matching("countersinks", "diameter"):
        if _holds_for(row, diameter):
            return row.figure("low"), row.figure("high"), row.cited
    return None


def strength(size: str, sheet: float | Fraction, unit: str, *, own: Tables | None = None) -> Strength | None:
    """Return what a flush rivet holds in this sheet, None where no source tells it.

    Source: MIL-HDBK-5F (second-hand), 3/32 MS20426AD in 2024-T3.
    """
    diameter, thickness = inches_of_size(size), inches(sheet, unit, "sheet")
    for row in (own or tables()).matching("countersinks", "strength"):
        if inches_of_size(row.text("size")) == diameter and row.figure("sheet") == thickness:
            return Strength(row.figure("dimpled"), row.figure("countersunk"), row.text("note"), row.cited)
    return None


def flush_angle(*, own: Tables | None = None) -> tuple[Fraction, str]:
    """Return the usual angle of flush heads in degrees, 100, and the source: FAA AC 43.13-1B page 4-16."""
    row = (own or tables()).first("countersinks", "angle")
    return row.figure("degrees"), row.cited


def dimples_best(*, own: Tables | None = None) -> Minimum:
    """Return the thickest sheet that dimpling works best in, in inches. Source: AC 65-15A (second-hand)."""
    row = (own or tables()).first("countersinks", "dimple")
    return Minimum(row.figure("sheet"), row.cited)


def _holds_for(row: Row, diameter: Fraction) -> bool:
    """A row without a size holds for every diameter."""
    return not row.text("size") or inches_of_size(row.text("size")) == diameter
