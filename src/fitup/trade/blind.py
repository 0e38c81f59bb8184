"""Pull-type blind rivets: the code from diameter and grip range, the hole, the installed checks.

Common pull-type rivets made for other uses are not approved on certificated structure
(FAA AC 43.13-1B par 4-57f(9)); the kit's manual says which rivet it wants.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from fitup.trade.exact import inches, inches_of_size
from fitup.trade.mistake import Mistake
from fitup.trade.tables import Row, Tables, tables


@dataclass(frozen=True, slots=True)
class BlindRivet:
    """A blind rivet: code, grip range and body length in inches, drill and hole limits in inches.

    `drill` is "" and the hole limits None where no source gives them.
    """

    code: str
    min_grip: Fraction
    max_grip: Fraction
    length: Fraction
    drill: str
    min_hole: Fraction | None
    max_hole: Fraction | None
    source: str


def blind_rivet(size: str, grip: float | Fraction, unit: str, *, own: Tables | None = None) -> BlindRivet | None:
    """Return the blind rivet whose grip range holds this grip, None where none in the table does.

    Grips are rounded to a thousandth of an inch, as the ranges are printed.
    Source: TM 10-5410-221-14 table 4-3.
    """
    book = own or tables()
    diameter = inches_of_size(size)
    thousandths = Fraction(math.floor(inches(grip, unit, "grip") * 1000 + Fraction(1, 2)), 1000)
    for row in book.matching("blind-rivets", "blind"):
        fits = row.figure("min-grip") <= thousandths <= row.figure("max-grip")
        if fits and inches_of_size(row.text("size")) == diameter:
            return _with_hole(row, book)
    return None


def read_code(code: str) -> tuple[Fraction, Fraction]:
    """Return (diameter, greatest grip) in inches of a code: 42 is 1/8 and 1/8, 812 is 1/4 and 3/4.

    First figure: diameter in 1/32 in; the rest: greatest grip in 1/16 in.
    Source: TM 10-5410-221-14 table 4-3. Raises `Mistake` for what is no such code.
    """
    if not (code.isascii() and code.isdigit() and 2 <= len(code) <= 3) or "0" in (code[0], code[1]):
        raise Mistake(f"{code[:20]!r} is no blind rivet code; it is two or three digits like 42")
    return Fraction(int(code[0]), 32), Fraction(int(code[1:]), 16)


def locked_spindle_dash(
    size: str, grip: float | Fraction, unit: str, *, own: Tables | None = None
) -> tuple[str, str] | None:
    """Return the last dash number of a locked-spindle structural blind rivet and the source, None for other diameters.

    It is the greatest grip in 1/16 in. Source: a maker's process manual, CA-1015 ("-04" holds up to 1/4 in).
    """
    figure = inches(grip, unit, "grip")
    if not 0 < figure <= 2:
        raise Mistake("grip must lie above 0 and at most 2 in")
    row = (own or tables()).first("blind-rivets", "locked-spindle")
    made = {inches_of_size(one) for one in row.texts("sizes")}
    dash = f"{math.ceil(figure / inches_of_size(row.text('step'))):02d}"
    return (dash, row.cited) if inches_of_size(size) in made else None


def after_pulling(*, own: Tables | None = None) -> tuple[tuple[str, str], ...]:
    """Return what to look at on a pulled rivet, each with its source: the gap under its head, its collar."""
    book = own or tables()
    rows = (row for group in ("head-gap", "collar-flush") for row in book.matching("blind-rivets", group))
    return tuple((row.text("says"), row.cited) for row in rows)


def _with_hole(row: Row, book: Tables) -> BlindRivet:
    holes = [
        hole
        for hole in book.matching("holes", "final-drill", fastener="blind")
        if inches_of_size(hole.text("size")) == inches_of_size(row.text("size"))
    ]
    hole = holes[0] if holes else None
    return BlindRivet(
        row.text("code"),
        row.figure("min-grip"),
        row.figure("max-grip"),
        row.figure("length"),
        hole.text("drill") if hole else "",
        hole.maybe("min-hole") if hole else None,
        hole.maybe("max-hole") if hole else None,
        row.cited,
    )
