"""Figures as a person wrote them, for sums that must not be off by a bit at a limit.

A reading of 402.6 is 4026/10 here, not the binary number nearest to it: a spread of exactly 1 mm
then meets a limit of exactly 1 mm.
"""

from __future__ import annotations

import math
from fractions import Fraction

from fitup.trade.mistake import Mistake

MM_PER_INCH = Fraction(254, 10)


def exact(value: float | Fraction, what: str = "value") -> Fraction:
    """Return the decimal figure that was written, as a fraction.

    Raises `Mistake` where the value is not a finite number.
    """
    if isinstance(value, Fraction):
        return value
    try:
        figure = float(value)
    except OverflowError:
        figure = math.inf
    if not math.isfinite(figure):
        raise Mistake(f"{what} {figure} is not a number that can be measured")
    return Fraction(repr(figure))


def inches(length: float | Fraction, unit: str, what: str = "length") -> Fraction:
    """Return a length given in "mm" or "in" as inches, exactly (1 in = 25.4 mm)."""
    figure = exact(length, what)
    if unit == "in":
        return figure
    if unit == "mm":
        return figure / MM_PER_INCH
    raise Mistake(f"{what} has the unit {unit!r}; write mm or in")


def inches_of_text(text: str, unit: str = "in", what: str = "length") -> Fraction:
    """Read a length such as "0.125in", "1.32 mm" or "3/32" and return inches; `unit` where it names none.

    Raises `Mistake` where the text is no length.
    """
    figure = text.strip().strip('"').strip()
    for ending in ("mm", "in"):
        if figure.endswith(ending):
            figure, unit = figure.removesuffix(ending).strip(), ending
            break
    sentence = f"{what} {text[:40]!r} is not a length; write it like 3/32, 0.125in or 3.2 mm"
    # an exponent could ask for a number with a billion digits
    if len(figure) > 20 or "e" in figure.lower() or "_" in figure or not figure.isascii():
        raise Mistake(sentence)
    try:
        value = Fraction(figure)
    except (ValueError, ZeroDivisionError):
        raise Mistake(sentence) from None
    return inches(value, unit, what)


def inches_of_size(size: str) -> Fraction:
    """Read a diameter such as "3/32", "0.125", "1/8 in" or "3.2 mm" and return inches.

    Raises `Mistake` where the text is no diameter between 0 and 1 inch.
    """
    figure = inches_of_text(size, what="diameter")
    if not 0 < figure <= 1:
        raise Mistake(f"size {size[:40]!r} is not a diameter between 0 and 1 inch")
    return figure
