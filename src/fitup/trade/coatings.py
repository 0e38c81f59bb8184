"""Primer and sealant clocks that are published: recoat windows, induction, application times.

What no source gives (tack-free and cure times by sealant class) is taken from the product's own
sheet and stands in the plan. Times are hours at the temperature the source names.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from fitup.model.frozen import dataclass
from fitup.trade.exact import exact
from fitup.trade.mistake import Mistake
from fitup.trade.tables import Row, Tables, tables

Stage = Literal["not ready", "ready", "reactivate", "scuff"]
_SAYS: dict[Stage, str] = {
    "not ready": "too fresh to coat",
    "ready": "coat it now, no preparation",
    "reactivate": "wipe with solvent to reactivate it, or scuff it, then coat",
    "scuff": "scuff sanding is a must before the next coat; a solvent wipe alone is not enough",
}


@dataclass(frozen=True, slots=True)
class Recoat:
    """What a coat of primer needs before the next one, at its age."""

    stage: Stage
    says: str
    source: str


def recoat(age_hours: float, product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> Recoat:
    """Return what a coat needs at an age in hours, at 75 F.

    MIL-PRF-23377: dry after 5 h, coat by 8 h, reactivate or scuff until 24 h, then scuff.
    Source: USAF coatings manual TO 1-1-8 par 5.6.
    """
    row = _row("recoat", product, own)
    age = exact(age_hours, "age")
    stage: Stage = "scuff"
    if age < row.figure("dry"):
        stage = "not ready"
    elif age <= row.figure("free"):
        stage = "ready"
    elif age <= row.figure("reactivate"):
        stage = "reactivate"
    return Recoat(stage, _SAYS[stage], row.cited)


def tiecoat(age_hours: float, product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> bool:
    """Say whether a tie coat may go on at this age: 2 to 8 h. Source: USAF TO 1-1-8 par 5.6."""
    row = _row("tiecoat", product, own)
    return row.figure("low") <= exact(age_hours, "age") <= row.figure("high")


def induction(product: str, fahrenheit: float | None = None, *, own: Tables | None = None) -> tuple[Fraction, Fraction]:
    """Return how long a mixed primer stands before use, least and most, in hours.

    `fahrenheit` where it depends on the temperature. Sources: TO 1-1-8 par 6.12.6.3; MO-124.
    Raises `Mistake` where no source gives it.
    """
    for row in (own or tables()).matching("clocks", "induction", product=product):
        if row.maybe("from-fahrenheit") is None or _holds_at(row, fahrenheit):
            return row.figure("low"), row.figure("high")
    where = "" if fahrenheit is None else f" at {fahrenheit:g} F"
    raise Mistake(f"no source gives an induction time of {product}{where}; take it from the product's sheet")


def application_hours(sealant_class: str, *, own: Tables | None = None) -> tuple[Fraction, Fraction | None]:
    """Return application time and, for faying classes, assembly time, in hours at 77 F and 50 % humidity.

    The dash number of a class is its application time: B-2 is 2 h. Source: NAVEDTRA 14315 page 209.
    Raises `Mistake` for an unknown class.
    """
    row = (own or tables()).first("clocks", "sealant", **{"class": sealant_class.strip().upper()})
    return row.figure("application"), row.maybe("assembly")


def prime_within_hours(product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> Fraction:
    """Return within how many hours of scuffing or conversion coating to prime: 48. Source: TO 1-1-8 par 5.6."""
    return _row("prime-after-scuff", product, own).figure("hours")


def film(coats: int, product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> tuple[Fraction, Fraction]:
    """Return least and greatest dry film thickness in inches. Source: USAF TO 1-1-8 table 5-2."""
    for row in (own or tables()).matching("clocks", "film", product=product):
        if row.figure("coats") == coats:
            return row.figure("low"), row.figure("high")
    raise Mistake(f"no source gives a film thickness for {coats} coats of {product}")


def _holds_at(row: Row, fahrenheit: float | None) -> bool:
    if fahrenheit is None:
        return False
    to = row.maybe("to-fahrenheit")
    return row.figure("from-fahrenheit") <= exact(fahrenheit) and (to is None or exact(fahrenheit) <= to)


def _row(group: str, product: str, own: Tables | None) -> Row:
    return (own or tables()).first("clocks", group, product=product)
