"""Rivets: part number, length and how far the tail stands out.

The kit's callout wins over every sum. Without it, length = grip + 1.5 D, rounded up to the next
sixteenth of an inch (or half sixteenth); sums are exact fractions.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

from fitup.model.amounts import clean, number
from fitup.model.frozen import dataclass
from fitup.trade.blind import blind_rivet
from fitup.trade.exact import inches, inches_of_size
from fitup.trade.mistake import Mistake
from fitup.trade.tables import Row, Tables, tables

_CALLOUT = re.compile(
    r"^(?P<number>(?:MS|AN|NAS)\d+)[- ]?(?P<alloy>[A-Z]{0,2})(?P<size>\d{1,2})-(?P<length>\d{1,2}(?:\.5)?)$"
)


@dataclass(frozen=True, slots=True)
class Rivet:
    """A solid rivet for a joint.

    `part_number` is a description where the head or alloy has no part number here. `length` is in
    inches; None where a callout does not tell it. `protrusion_d` is how far the tail stands out
    before driving, in diameters; None without a grip or a length. `warnings` are sentences.
    """

    part_number: str
    size: Fraction | None
    length: Fraction | None
    protrusion_d: float | None
    source: str
    warnings: tuple[str, ...] = ()


def parse_size(size: str) -> Fraction:
    """Read a diameter such as "3/32" and return inches; raises `Mistake` where it is none."""
    return inches_of_size(size)


def grip_inches(grip: float | Fraction, unit: str) -> Fraction:
    """Return a grip (total thickness joined) in inches; raises `Mistake` unless it is above 0."""
    figure = inches(grip, unit, "grip")
    if figure <= 0:
        raise Mistake(f"grip {number(float(grip))} {unit} is not above 0; write the total thickness of the sheets")
    return figure


def needed_length(size: str, grip: float | Fraction, unit: str, *, own: Tables | None = None) -> Fraction:
    """Return grip + 1.5 D in inches, before rounding up to a length that is sold.

    Source: FAA-H-8083-31 chapter 4; NAVEDTRA 14018 rivet rule 8.
    """
    allowance = (own or tables()).first("rivet-codes", "length").figure("allowance")
    return grip_inches(grip, unit) + allowance * parse_size(size)


def sold_length(needed: Fraction, *, half: bool = False) -> Fraction:
    """Round a length in inches up to the next sixteenth, or with `half` to the next half sixteenth.

    An exact sixteenth stays. Source: TM 10-7360-208-13&P par 5-3; half sizes FAA AC 43.13-1B page 4-16.
    """
    step = Fraction(1, 32) if half else Fraction(1, 16)
    return math.ceil(needed / step) * step


def protrusion_d(size: str, grip: float | Fraction, unit: str, length: Fraction) -> float:
    """Return how far a rivet of `length` inches stands out of the grip, in diameters."""
    return float((length - grip_inches(grip, unit)) / parse_size(size))


def part_number(
    head: str,
    material: str,
    size: str,
    grip: float | Fraction | None,
    unit: str,
    callout: str = "",
    half: bool = False,
    *,
    own: Tables | None = None,
) -> str:
    """Return the part number of a solid rivet, or a description where there is none to compute.

    `grip` in `unit` ("mm" or "in"). Examples: MS20470AD4-5, MS20426AD3-3.5.
    """
    return solid_rivet(head, material, size, grip, unit, callout, half, own=own).part_number


def solid_rivet(
    head: str,
    material: str,
    size: str,
    grip: float | Fraction | None,
    unit: str,
    callout: str = "",
    half: bool = False,
    *,
    own: Tables | None = None,
) -> Rivet:
    """Work out the rivet for a joint; a `callout` of the kit wins and is only looked at for its length.

    Raises `Mistake` for a size or grip that is none; unknown heads and alloys give a description.
    A head that begins with "blind" gives a description with the code of its grip range.
    """
    book = own or tables()
    if callout.strip():
        return _called_out(clean(callout.strip()), size, grip, unit, book)
    diameter = parse_size(size)
    plain = _description(head, material, size)
    if grip is None:
        return Rivet(plain, diameter, None, None, "", ("No grip is given, so no length can be worked out.",))
    if head.strip().lower().startswith("blind"):
        return _blind(head, plain, size, grip, unit, book)
    length = sold_length(needed_length(size, grip, unit, own=book), half=half)
    stands_out = protrusion_d(size, grip, unit, length)
    rule = book.first("rivet-codes", "length")
    base = _base_number(head, material, diameter, book)
    shown = f"{base}-{dash(length)}" if base else f"{plain} x {_fraction(length)} in"
    return Rivet(shown, diameter, length, stands_out, rule.cited, _warnings(stands_out, half, book))


def dash(length: Fraction) -> str:
    """Write a length in inches as a dash number, in sixteenths: 5, 3.5."""
    return number(float(length * 16))


def alloy_of(material: str, *, own: Tables | None = None) -> Row | None:
    """Return the row of an alloy by its letter code or its number ("AD", "2117-T4"), None if unknown."""
    wanted = material.strip().upper()
    for row in (own or tables()).matching("rivet-codes", "alloy"):
        alloy = row.text("alloy").upper()
        if wanted in (row.text("code"), alloy, alloy.split("-")[0]):
            return row
    return None


def _called_out(callout: str, size: str, grip: float | Fraction | None, unit: str, book: Tables) -> Rivet:
    read = _CALLOUT.match(callout.upper())
    told = "the kit's callout"
    if read is None:
        return Rivet(callout, None, None, None, told)
    diameter = Fraction(int(read["size"]), 32)
    length = Fraction(read["length"]) / 16
    warnings: tuple[str, ...] = ()
    if size and parse_size(size) != diameter:
        warnings = (f"The callout {callout} is a {_fraction(diameter)} rivet, the task says {clean(size)}.",)
    if grip is None or not diameter:
        return Rivet(callout, diameter, length, None, told, warnings)
    stands_out = float((length - grip_inches(grip, unit)) / diameter)
    return Rivet(callout, diameter, length, stands_out, told, warnings + _warnings(stands_out, True, book))


def _blind(head: str, plain: str, size: str, grip: float | Fraction, unit: str, book: Tables) -> Rivet:
    """Describe a pull-type rivet by its code; flush ones add the height of the head, which no source gives."""
    thickness = grip_inches(grip, unit)
    found = None if "flush" in head.lower() else blind_rivet(size, thickness, "in", own=book)
    diameter = parse_size(size)
    if found is None:
        says = f"No source gives a blind rivet for {clean(head.strip())} {size} and this grip; take it from the kit."
        return Rivet(plain, diameter, None, None, "", (says,))
    return Rivet(f"{plain}, code {found.code}", diameter, found.length, None, found.source)


def _warnings(stands_out: float, half: bool, book: Tables) -> tuple[str, ...]:
    window = book.first("rivet-codes", "protrusion")
    low, high = float(window.figure("low")), float(window.figure("high"))
    # the window itself is known to a tenth only
    if low <= round(stands_out, 1) <= high:
        return ()
    after = "too little for a full head" if stands_out < low else "a long tail bends over"
    mend = "" if half or stands_out < low else "; try a half length"
    return (f"The tail stands out {stands_out:.1f} D, outside {low:g} to {high:g} D: {after}{mend} ({window.cited}).",)


def _base_number(head: str, material: str, diameter: Fraction, book: Tables) -> str:
    """Return a part number up to its length, "" where head, alloy or diameter has none here."""
    alloy = alloy_of(material, own=book)
    word = head.strip().lower()
    thirty_seconds = diameter * 32
    if alloy is None or thirty_seconds.denominator != 1:
        return ""
    for row in book.matching("rivet-codes", "head"):
        if word in (row.text("word"), *row.texts("also")) and alloy.text("code") in row.texts("alloys"):
            return f"{row.text('number')}{alloy.text('code')}{thirty_seconds}"
    return ""


def _description(head: str, material: str, size: str) -> str:
    words = " ".join(clean(word.strip()) for word in (head, material) if word.strip())
    return f"{words} rivet {clean(size.strip())}".strip()


def _fraction(length: Fraction) -> str:
    return f"{length.numerator}/{length.denominator}" if length.denominator > 1 else str(length.numerator)
