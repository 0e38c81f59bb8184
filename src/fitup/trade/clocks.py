"""How long it cures and how long it may be worked, at the shop's temperature.

Nominal hours are hours at 25 C (77 F), as data sheets state them. A law that turns temperature
into time is applied only where the plan says so: none is proven for every product. Warmth may
shorten a time only under such a law, and cold never lengthens an application life. Nothing here
advises anyone to warm a sealant.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta

from fitup.model.amounts import number
from fitup.model.plan import Law
from fitup.model.progress import ShopTemperature
from fitup.trade.mistake import Mistake

NOMINAL_CELSIUS = 25.0
LAW_SOURCES: dict[Law, str] = {
    "none": "hours as the product's own sheet states them; no temperature law applied",
    "double-18F": "epoxy makers' support pages: twice as long per 18 F (10 C) colder than 77 F (25 C)",
}
LONGEST = timedelta(days=3650)
"""A cure that would take longer than ten years is shown as ten years: it will not cure like this."""
_LATEST = datetime(9999, 12, 30, tzinfo=UTC)


Record = Iterable[ShopTemperature | tuple[datetime, float, float | None]]
"""Shop temperatures as (at, Celsius, low): each holds until the next reading. `low` is the lowest
since the reading before; that whole stretch then counts at `low`. Any order will do."""


def fahrenheit_of(celsius: float) -> float:
    """Convert degrees Celsius to Fahrenheit."""
    return celsius * 9 / 5 + 32


def factor(celsius: float, law: Law = "none") -> float:
    """Return by how much a nominal hour is stretched at this temperature; 1 under law "none".

    "double-18F": 2 to the power of (77 F - T) / 18 F. Source: epoxy makers' support pages.
    """
    if law == "none":
        return 1.0
    if law == "double-18F":
        # 18 F are 10 C; the bound keeps a mistyped temperature from overflowing
        return float(2.0 ** max(-60.0, min(60.0, (NOMINAL_CELSIUS - celsius) / 10)))
    raise Mistake(f"there is no cure law {law!r}; write none or double-18F")


def cured_hours(begin: datetime, end: datetime, record: Record, law: Law = "none") -> float:
    """Return the nominal hours of cure gathered from `begin` to `end`.

    Before the first reading the shop counts as 25 C. Elapsed hours under law "none".
    """
    if end <= begin:
        return 0.0
    return sum(_hours(till - since) / factor(warmth, law) for since, till, warmth in _stretches(begin, end, record))


def cured_at(begin: datetime, hours: float, record: Record, law: Law = "none") -> datetime:
    """Return when `hours` nominal hours of cure will have been gathered, the last reading holding on.

    At most ten years after `begin`.
    """
    latest = _after(begin, LONGEST)
    left = max(0.0, hours)
    for since, till, warmth in _stretches(begin, latest, record):
        stretched = factor(warmth, law)
        if left * stretched <= _hours(till - since):
            return since + timedelta(hours=left * stretched)
        left -= _hours(till - since) / stretched
    return latest


def life_hours(hours: float, celsius: float = NOMINAL_CELSIUS, law: Law = "none") -> float:
    """Return the application life of a mix at this temperature, in hours.

    Under a law warmth shortens it; cold never lengthens it.
    """
    return hours * min(1.0, factor(celsius, law))


def outside(limits: tuple[float, float] | None, celsius: float) -> str | None:
    """Say why this temperature is outside the range in which something may be applied, or None.

    Example: "too cold to apply: 6 C, wanted 21 to 32 C".
    """
    return _outside(limits, celsius, "too cold to apply", "too warm to apply", "C")


def outside_humidity(limits: tuple[float, float] | None, percent: float) -> str | None:
    """Say why this relative humidity is outside the range in which something may be applied, or None."""
    return _outside(limits, percent, "too dry to apply", "too damp to apply", "% humidity")


def _outside(limits: tuple[float, float] | None, value: float, under: str, over: str, unit: str) -> str | None:
    if limits is None or limits[0] <= value <= limits[1]:
        return None
    word = under if value < limits[0] else over
    return f"{word}: {number(value)} {unit}, wanted {number(limits[0])} to {number(limits[1])} {unit}"


def _after(begin: datetime, span: timedelta) -> datetime:
    return begin + span if begin < _LATEST - span else max(begin, _LATEST)


def _hours(span: timedelta) -> float:
    return span / timedelta(hours=1)


def _stretches(begin: datetime, end: datetime, record: Record) -> Iterator[tuple[datetime, datetime, float]]:
    """Yield (since, till, Celsius) from `begin` to `end` without gaps."""
    since, warmth = begin, NOMINAL_CELSIUS
    for at, celsius, low in _in_order(record):
        till = min(at, end)
        if till > since:
            yield since, till, warmth if low is None else low
            since = till
        warmth = celsius
    if since < end:
        yield since, end, warmth


def _in_order(record: Record) -> Sequence[tuple[datetime, float, float | None]]:
    plain = [(taken.at, taken.celsius, taken.low) if isinstance(taken, ShopTemperature) else taken for taken in record]
    return sorted(plain, key=lambda taken: taken[0])
