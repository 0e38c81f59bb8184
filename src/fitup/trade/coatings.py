"""Primer and sealant clocks that are published: recoat windows, induction, application times.

What no source gives (tack-free and cure times by sealant class) is taken from the product's own
sheet and stands in the plan. Times are hours at the temperature the source names. What no source
tells of a product is None here, never a guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from fitup.model.amounts import clean
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
    """What a coat of primer needs before the next one, at its age; and until when what is enough, in hours."""

    stage: Stage
    says: str
    dry: Fraction
    free: Fraction
    reactivate: Fraction
    source: str


@dataclass(frozen=True, slots=True)
class Span:
    """A published least and greatest figure, in the unit that the function names."""

    low: Fraction
    high: Fraction
    source: str


@dataclass(frozen=True, slots=True)
class Sealant:
    """A class of sealant: application time and, for faying classes, assembly time, hours at 77 F and 50 % humidity."""

    name: str
    application: Fraction
    assembly: Fraction | None
    source: str


def recoat(age_hours: float, product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> Recoat | None:
    """Return what a coat needs at an age in hours, at 75 F.

    MIL-PRF-23377: dry after 5 h, coat by 8 h, reactivate or scuff until 24 h, then scuff.
    Source: USAF coatings manual TO 1-1-8 par 5.6.
    """
    row = _row("recoat", product, own)
    if row is None:
        return None
    age = exact(age_hours, "age")
    dry, free, reactivate = row.figure("dry"), row.figure("free"), row.figure("reactivate")
    stage: Stage = "scuff"
    if age < dry:
        stage = "not ready"
    elif age <= free:
        stage = "ready"
    elif age <= reactivate:
        stage = "reactivate"
    return Recoat(stage, _SAYS[stage], dry, free, reactivate, row.cited)


def tiecoat(product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> Span | None:
    """Return at what age, in hours, a tie coat may go on: 2 to 8 h. Source: USAF TO 1-1-8 par 5.6."""
    return _span(_row("tiecoat", product, own))


def induction(product: str, fahrenheit: float | None = None, *, own: Tables | None = None) -> Span | None:
    """Return how long a mixed primer stands before use, in hours.

    `fahrenheit` where it depends on the temperature. Sources: TO 1-1-8 par 6.12.6.3; MO-124.
    """
    rows = (own or tables()).matching("clocks", "induction", product=product)
    return _span(next((row for row in rows if _holds_at(row, fahrenheit)), None))


def most_mixed(product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> tuple[Fraction, str] | None:
    """Return for how many hours of work primer may be mixed at once: 4. Source: TO 1-1-8 par 6.12.6.3."""
    return _hours(_row("most-mixed", product, own))


def prime_within(product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> tuple[Fraction, str] | None:
    """Return within how many hours of scuffing or conversion coating to prime: 48. Source: TO 1-1-8 par 5.6."""
    return _hours(_row("prime-after-scuff", product, own))


def film(coats: int, product: str = "MIL-PRF-23377", *, own: Tables | None = None) -> Span | None:
    """Return the dry film thickness of so many coats, in inches. Source: USAF TO 1-1-8 table 5-2."""
    rows = (own or tables()).matching("clocks", "film", product=product)
    return _span(next((row for row in rows if row.figure("coats") == coats), None))


def primers(*, own: Tables | None = None) -> tuple[str, ...]:
    """Return the primers that a source tells anything of."""
    groups = ("recoat", "induction", "film", "tiecoat", "most-mixed", "prime-after-scuff")
    rows = (row for group in groups for row in (own or tables()).matching("clocks", group))
    return tuple(dict.fromkeys(row.text("product") for row in rows))


def sealant(sealant_class: str, *, own: Tables | None = None) -> Sealant:
    """Return the times of a sealant class; the dash number is its application time: B-2 is 2 h.

    Source: NAVEDTRA 14315 page 209. Raises `Mistake` for an unknown class.
    """
    wanted = sealant_class.strip().upper()
    rows = (own or tables()).matching("clocks", "sealant")
    row = next((one for one in rows if one.text("class") == wanted), None)
    if row is None:
        known = ", ".join(dict.fromkeys(one.text("class") for one in rows))
        raise Mistake(f"no source tells of a sealant of class {clean(sealant_class)[:20]!r}; there are {known}")
    return Sealant(wanted, row.figure("application"), row.maybe("assembly"), row.cited)


def coldest_metal(*, own: Tables | None = None) -> tuple[Fraction, str]:
    """Return how cold metal may be at least for sealant, in F: 70. Source: NAVEDTRA 14315 page 208."""
    row = (own or tables()).first("clocks", "coldest-metal")
    return row.figure("fahrenheit"), row.cited


def full_cure(*, own: Tables | None = None) -> tuple[Fraction, str]:
    """Return after how many days at most sealant is fully cured: 7. Source: NAVAIR 01-1A-509-2 (second-hand)."""
    row = (own or tables()).first("clocks", "full-cure")
    return row.figure("days"), row.cited


def _holds_at(row: Row, fahrenheit: float | None) -> bool:
    """A row without a temperature holds at every one."""
    least, to = row.maybe("from-fahrenheit"), row.maybe("to-fahrenheit")
    if least is None:
        return True
    return fahrenheit is not None and least <= exact(fahrenheit) and (to is None or exact(fahrenheit) <= to)


def _row(group: str, product: str, own: Tables | None) -> Row | None:
    return next(iter((own or tables()).matching("clocks", group, product=product)), None)


def _span(row: Row | None) -> Span | None:
    return None if row is None else Span(row.figure("low"), row.figure("high"), row.cited)


def _hours(row: Row | None) -> tuple[Fraction, str] | None:
    return None if row is None else (row.figure("hours"), row.cited)
