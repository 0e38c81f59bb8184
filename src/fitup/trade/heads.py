"""Shop heads: the window a driven rivet's head must lie in, and what to aim for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fitup.model.progress import VerdictWord
from fitup.trade.exact import inches, inches_of_size
from fitup.trade.measures import judge
from fitup.trade.mistake import Mistake
from fitup.trade.tables import Tables, tables


@dataclass(frozen=True, slots=True)
class HeadWindow:
    """Limits of a driven head in inches; `max_height` None where no source gives one.

    `aim_width` and `aim_height` are 1.5 D and 0.5 D. A tail of 1.5 D driven to 0.5 D comes out
    wider than 1.5 D, so the two cannot both be met exactly: the window decides.
    """

    size: Fraction
    min_width: Fraction
    min_height: Fraction
    max_height: Fraction | None
    aim_width: Fraction
    aim_height: Fraction
    source: str


def shop_head_window(size: str, source: str = "", *, own: Tables | None = None) -> HeadWindow | None:
    """Return the window for a rivet diameter, None where no source gives one.

    `source` picks by part of a source's name. Source: MIL-R-47196A table III.
    """
    diameter = inches_of_size(size)
    for row in (own or tables()).matching("shop-heads", "shop-head", source):
        if inches_of_size(row.text("size")) == diameter:
            return HeadWindow(
                diameter,
                row.figure("min-width"),
                row.figure("min-height"),
                row.maybe("max-height"),
                diameter * Fraction(3, 2),
                diameter / 2,
                row.cited,
            )
    return None


def judge_shop_head(
    window: HeadWindow,
    *,
    width: float | None = None,
    height: float | None = None,
    unit: str = "in",
    uncertainty: float = 0,
) -> VerdictWord:
    """Judge a driven head by width, height or both (in `unit`), with a guard band of `uncertainty`.

    Raises `Mistake` where nothing was measured.
    """
    if width is None and height is None:
        raise Mistake("measure the head's width, its height, or both")
    band = float(inches(uncertainty, unit, "uncertainty"))
    words: list[VerdictWord] = []
    if width is not None:
        words.append(judge(inches(width, unit, "width"), low=float(window.min_width), uncertainty=band))
    if height is not None:
        most = None if window.max_height is None else float(window.max_height)
        words.append(judge(inches(height, unit, "height"), low=float(window.min_height), high=most, uncertainty=band))
    ordered: tuple[VerdictWord, ...] = ("fail", "too close to call", "pass")
    return next(word for word in ordered if word in words)
