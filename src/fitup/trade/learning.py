"""Learning curves: how much quicker the hundredth alike piece goes than the first.

`rate` is what is left after doubling the number: 0.85 means the 2nd takes 85 % of the 1st.
Formulas: Crawford's unit curve and Wright's cumulative average (Wright, 1936).
"""

from __future__ import annotations

import math

from fitup.trade.mistake import Mistake

SOURCE = "Crawford unit curve and Wright cumulative average, as the learningCurve documentation of AFIT gives them"


def slope(rate: float) -> float:
    """Return the exponent log(rate) / log(2); 0.8 gives -0.3219."""
    if not 0 < rate <= 1:
        raise Mistake(f"a learning rate of {rate:g} makes no sense; write one above 0 and at most 1, like 0.85")
    return math.log2(rate)


def unit_time(first: float, unit: float, rate: float, *, of: float = 1) -> float:
    """Return the time of piece `unit` by Crawford's curve, when piece `of` took `first`."""
    _check(first, unit, of)
    return float(first * (unit / of) ** slope(rate))


def total_time(first: float, begin: int, end: int, rate: float) -> float:
    """Return the time of the pieces `begin` to `end` by Crawford's curve, when the 1st took `first`."""
    _check(first, begin, end)
    exponent = slope(rate)
    return first * math.fsum(piece**exponent for piece in range(begin, end + 1))


def middle_unit(begin: int, end: int, rate: float) -> float:
    """Return the piece whose time is about the average of `begin` to `end` (Crawford)."""
    _check(1, begin, end)
    exponent = slope(rate)
    if exponent == 0:
        return (begin + end) / 2
    if exponent == -1:
        return (end - begin + 1) / math.log((end + 0.5) / (begin - 0.5))
    span = ((end + 0.5) ** (1 + exponent) - (begin - 0.5) ** (1 + exponent)) / (1 + exponent)
    return float((span / (end - begin + 1)) ** (1 / exponent))


def average_unit_time(first: float, unit: int, rate: float, *, of: int = 1) -> float:
    """Return the time of piece `unit` by Wright's cumulative average, when piece `of` took `first`."""
    _check(first, unit, of)
    return first * _wright(unit, unit, rate) / _wright(of, of, rate)


def average_block_time(first: float, begin: int, end: int, rate: float) -> float:
    """Return the time of the pieces `begin` to `end` by Wright's cumulative average."""
    _check(first, begin, end)
    return first * _wright(begin, end, rate)


def _wright(begin: int, end: int, rate: float) -> float:
    exponent = 1 + slope(rate)
    return float(end**exponent - (begin - 1) ** exponent)


def _check(first: float, unit: float, other: float) -> None:
    if not (math.isfinite(first) and first >= 0):
        raise Mistake(f"a time of {first:g} makes no sense; write the time of the first piece")
    if not (1 <= unit <= 10_000_000 and 1 <= other <= 10_000_000):
        raise Mistake("pieces are counted from 1 to ten million")
