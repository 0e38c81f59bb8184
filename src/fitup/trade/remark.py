"""What a trade rule says about one figure: the sentence, how serious, and its source."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal

from fitup.model.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """One rule that a figure does not keep. `what` names the figure; `says` is a sentence without its source."""

    level: Literal["warning", "note"]
    what: str
    says: str
    source: str


def strictest(minima: Iterable[tuple[Fraction, str]]) -> tuple[Fraction, str] | None:
    """Return the greatest of several published minima with every source that asks for it, None without any."""
    asked = list(minima)
    if not asked:
        return None
    most = max(figure for figure, _ in asked)
    return most, "; ".join(dict.fromkeys(source for figure, source in asked if figure == most))


def mildest(maxima: Iterable[tuple[Fraction, str]]) -> tuple[Fraction, str] | None:
    """Return the least of several published maxima with every source that sets it, None without any."""
    turned = strictest((-figure, source) for figure, source in maxima)
    return None if turned is None else (-turned[0], turned[1])


def in_unit(length: Fraction, unit: str) -> str:
    """Write a length of so many inches in "mm" (two decimals) or "in" (three)."""
    return f"{float(length * Fraction(254, 10)):.2f} mm" if unit == "mm" else f"{float(length):.3f} in"
