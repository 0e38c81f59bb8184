"""How amounts are written and read: clock times, stretches of time, quantities.

Instants are aware UTC datetimes inside and local clock time, to the minute and without a zone,
wherever a person reads or writes them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from datetime import UTC, date, datetime
from math import isfinite

from fitup.model.refusal import Refused

_FIRST_YEAR, _LAST_YEAR = 1900, 2999
"""Years that may be typed: sums with hours and sessions stay well inside what a calendar can hold."""


def parse_instant(text: str, what: str = "time") -> datetime:
    """Read a local ISO time such as 2026-11-28T09:00 and return it in UTC.

    Raises `Refused` when the text is not a time or its date does not exist.
    """
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        raise Refused(f"{what} {clean(text)!r} is not a time; write it as 2026-11-28T09:00") from None
    if not _FIRST_YEAR <= moment.year <= _LAST_YEAR:
        raise Refused(f"{what} {clean(text)!r} is no time of a build; give a year from {_FIRST_YEAR} to {_LAST_YEAR}")
    try:
        return (moment if moment.tzinfo else moment.astimezone()).astimezone(UTC)
    except (OverflowError, ValueError, OSError):
        raise Refused(f"{what} {clean(text)!r} is out of the calendar's range") from None


def local_iso(instant: datetime) -> str:
    """Write an instant as local ISO time to the minute, without a zone."""
    return instant.astimezone().strftime("%Y-%m-%dT%H:%M")


def clock(instant: datetime) -> str:
    """Write the local clock time of an instant: 09:05."""
    return instant.astimezone().strftime("%H:%M")


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day_clock(instant: datetime, now: datetime) -> str:
    """Write an instant as a person would say it at `now`: 14:20, Sun 09:00, or 12 Dec 09:00."""
    there = instant.astimezone()
    days = (there.date() - now.astimezone().date()).days
    if days == 0:
        return f"{there:%H:%M}"
    if 0 < days < 7:
        return f"{_DAYS[there.weekday()]} {there:%H:%M}"
    return f"{there.day} {there:%b %H:%M}" if abs(days) < 300 else f"{there:%Y-%m-%d %H:%M}"


def local_day(instant: datetime) -> date:
    """Return the local calendar day of an instant."""
    return instant.astimezone().date()


def stretch(minutes: float) -> str:
    """Write minutes as a person reads them: 45 min, 1 h 25, 12 h."""
    whole = round(minutes)
    if abs(whole) < 60:
        return f"{whole} min"
    hours, rest = divmod(abs(whole), 60)
    sign = "-" if whole < 0 else ""
    return f"{sign}{hours} h {rest:02d}" if rest else f"{sign}{hours} h"


_PLAIN = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)(e[+-]?[0-9]{1,3})?", re.IGNORECASE)


def plain_number(text: str) -> float | None:
    """Read a finite number in plain digits; None for all else, also for 1_0, nan and other scripts' digits."""
    if _PLAIN.fullmatch(text.strip()) is None:
        return None
    value = float(text)
    return value if isfinite(value) else None


_CELSIUS = re.compile(r"([-+]?[0-9]{1,9}(?:[.,][0-9]+)?)\s*°?\s*([CF]?)\s*°?", re.IGNORECASE)


def parse_celsius(text: str, what: str = "temperature") -> float:
    """Read a temperature such as 18, 18C, 64F or 64.4 °F and return degrees Celsius, to two decimals.

    Raises `Refused` for anything else; `what` names it in the sentence.
    """
    found = _CELSIUS.fullmatch(text.strip())
    if found is None:
        raise Refused(f"{what}: {clean(text)!r} is not a temperature; write it as 18C or 64F")
    degrees = float(found[1].replace(",", "."))
    return round((degrees - 32) / 1.8 if found[2].upper() == "F" else degrees, 2)


def number(value: float) -> str:
    """Write a quantity without needless decimals: 45, 1.5, 0.35."""
    return f"{round(value, 3):.12g}"


def degrees(celsius: float) -> str:
    """Write a shop's temperature as a thermometer tells it, to a tenth: 17.8 C."""
    return f"{number(round(celsius, 1))} C"


_SYMBOL_WORDS = (
    "mg g kg t oz lb lbs ml cl l fl pt qt gal mm cm dm m km in ft yd mil um min h s ms deg rad C F K % "
    "N kN Nm ohm ohms milliohm kohm V mV A mA W bar mbar psi Pa kPa hPa cc sq cu pc pcs ea each"
)
_SYMBOLS = frozenset(_SYMBOL_WORDS.split())
"""Units of measure and abbreviations, which have no plural of their own."""

_ODD_PLURALS = {"foot": "feet", "knife": "knives", "half": "halves", "leaf": "leaves", "shelf": "shelves"}


def counted(value: float, unit: str) -> str:
    """Write a quantity with its unit as a person says it: 1 hole, 8 pieces, 2 tubes of filler, 12 g, 3.

    The unit is written as for one of it; a unit of measure such as "g" or "mm water" stays as it is.
    """
    amount = number(value)
    unit = unit.strip()
    if not unit:
        return amount
    return f"{amount} {unit if amount in ('1', '-1') else _plural(unit)}"


def _plural(unit: str) -> str:
    """Return the plural of an English unit; what is a symbol, an abbreviation or a plural already stays."""
    head, of, rest = unit.partition(" of ")
    *before, word = head.split(" ")
    if any(part in _SYMBOLS for part in (*before, word)) or len(word) < 3 or not (word.isascii() and word.isalpha()):
        return unit
    return " ".join((*before, _ODD_PLURALS.get(word) or _regular(word))) + of + rest


def _regular(word: str) -> str:
    if word.endswith(("ss", "x", "ch", "sh", "z")):
        return word + "es"
    if word.endswith("s"):
        return word
    if word.endswith("y") and word[-2] not in "aeiou":
        return word[:-1] + "ies"
    return word + "s"


def first_named(names: Sequence[str], most: int = 3) -> str:
    """Return the first `most` names as one list, the rest of them counted: "a, b, c and 2 more"."""
    rest = len(names) - most
    return ", ".join(names[:most]) + (f" and {rest} more" if rest > 0 else "")


def blank(text: str) -> bool:
    """Return whether a text has nothing in it that can be seen."""
    return not clean(text).strip()


_BREAKS = "\n\r\t\u2028\u2029"


def clean(text: str) -> str:
    """Return text fit for a terminal: no control, format or lone surrogate characters, one line.

    Everything that comes from a file passes through here before it is shown.
    """
    if text.isprintable():
        return text
    return "".join(
        " " if character in _BREAKS else character
        for character in text
        if character in _BREAKS or unicodedata.category(character) not in ("Cc", "Cf", "Cs", "Co", "Cn")
    )
