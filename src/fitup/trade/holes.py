"""Drills and holes: what a drill measures, which one finishes a hole, and the steps up to it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from fitup.trade.exact import inches, inches_of_size
from fitup.trade.mistake import Mistake
from fitup.trade.tables import Row, Tables, tables

_NUMBER = re.compile(r"^(?:#|no\.?\s*)(\d{1,2})$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill by name ("#30", "F", "1/8", "3.3 mm") with its diameter in inches."""

    name: str
    inches: Fraction


@dataclass(frozen=True, slots=True)
class FinalDrill:
    """The drill that finishes a hole; hole limits in inches where the source gives them."""

    drill: Drill
    min_hole: Fraction | None
    max_hole: Fraction | None
    source: str


def drill(name: str, *, own: Tables | None = None) -> Drill:
    """Return a drill by its number ("#30", "no 30"), letter, fraction ("1/8") or "3.3 mm".

    Raises `Mistake` where there is no such drill.
    """
    wanted = name.strip()
    numbered = _NUMBER.match(wanted)
    key = f"#{int(numbered[1])}" if numbered else wanted.upper()
    for row in (own or tables()).matching("drills", "drills"):
        sizes = row.figures("inches")
        if key in sizes:
            return Drill(key, sizes[key])
    if not any(character.isdigit() for character in wanted) or numbered:
        raise Mistake(f"there is no drill {name[:20]!r}; write #30, F, 1/8 or 3.3 mm")
    return Drill(wanted.strip('"'), inches_of_size(wanted))


def final_drills(
    size: str, fastener: str = "solid", source: str = "", *, own: Tables | None = None
) -> tuple[FinalDrill, ...]:
    """Return every published final drill for a rivet diameter, the usual one first; `fastener` is "solid" or "blind".

    `source` picks by part of a source's name where published sources differ.
    """
    book = own or tables()
    diameter = inches_of_size(size)
    return tuple(
        _final(row, book)
        for row in book.matching("holes", "final-drill", source, fastener=fastener)
        if inches_of_size(row.text("size")) == diameter
    )


def hole_limits(size: str, *, own: Tables | None = None) -> tuple[Fraction, Fraction, str] | None:
    """Return least and greatest finished hole of a solid rivet in inches and the source, None if unknown.

    Source: MIL-R-47196A table I (second-hand, one row found).
    """
    diameter = inches_of_size(size)
    for row in (own or tables()).matching("holes", "hole-limits"):
        if inches_of_size(row.text("size")) == diameter:
            return row.figure("min-hole"), row.figure("max-hole"), row.cited
    return None


def all_drills(*, own: Tables | None = None) -> tuple[Drill, ...]:
    """Return number, letter and 64ths drills up to 1/2 in, smallest first."""
    book = own or tables()
    named = [
        Drill(name, size) for row in book.matching("drills", "drills") for name, size in row.figures("inches").items()
    ]
    fractions = [Drill(str(Fraction(n, 64)), Fraction(n, 64)) for n in range(1, 33)]
    return tuple(sorted(named + fractions, key=lambda one: one.inches))


def nearest_drills(
    diameter: float | Fraction, unit: str, *, own: Tables | None = None
) -> tuple[Drill | None, Drill | None]:
    """Return the largest drill not above a diameter and the smallest not below it."""
    wanted = inches(diameter, unit, "diameter")
    drills = all_drills(own=own)
    below = [one for one in drills if one.inches <= wanted]
    above = [one for one in drills if one.inches >= wanted]
    return (below[-1] if below else None), (above[0] if above else None)


def pilot_steps(pilot: str, final: str, steps: int, *, own: Tables | None = None) -> tuple[Drill, ...]:
    """Return `steps` drills from above the pilot hole up to the final one, evenly spaced in diameter.

    Each step before the last is the largest drill not above its even share. Common practice, no source.
    """
    begin, end = drill(pilot, own=own), drill(final, own=own)
    if not 1 <= steps <= 20:
        raise Mistake(f"{steps} steps make no sense; ask for 1 to 20")
    if begin.inches >= end.inches:
        raise Mistake(f"the pilot {begin.name} is not smaller than the final drill {end.name}")
    even = [begin.inches + (end.inches - begin.inches) * step / steps for step in range(1, steps)]
    between = (nearest_drills(size, "in", own=own)[0] for size in even)
    kept = [one for one in dict.fromkeys(between) if one is not None and begin.inches < one.inches < end.inches]
    return (*kept, end)


def deepest_deburr(thickness: float | Fraction, unit: str, *, own: Tables | None = None) -> tuple[Fraction, str]:
    """Return the deepest chamfer deburring may leave, in inches, and the source.

    A tenth of the sheet, at most 0.032 in. Source: MIL-R-47196A (second-hand).
    """
    row = (own or tables()).first("holes", "deburr")
    return min(row.figure("share") * inches(thickness, unit, "thickness"), row.figure("most")), row.cited


def _final(row: Row, book: Tables) -> FinalDrill:
    return FinalDrill(drill(row.text("drill"), own=book), row.maybe("min-hole"), row.maybe("max-hole"), row.cited)
