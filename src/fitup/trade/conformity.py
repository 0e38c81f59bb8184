"""How likely it is that a measured figure really lies inside its limits.

The figure is taken as normal about what was read, as JCGM 106:2012 does. And the sum that tells
twist from an angle.
"""

from __future__ import annotations

import math

from fitup.trade.mistake import Mistake

SOURCE = "JCGM 106:2012 (OIML G 1-106), normal distribution about the reading"


def chance_inside(
    figure: float, standard_uncertainty: float, *, low: float | None = None, high: float | None = None
) -> float:
    """Return the chance that the true value lies between `low` and `high`; either may be left out."""
    if not standard_uncertainty > 0:
        raise Mistake("the standard uncertainty must be above 0; without one the figure itself decides")
    above = 1.0 if high is None else _normal((high - figure) / standard_uncertainty)
    below = 0.0 if low is None else _normal((low - figure) / standard_uncertainty)
    return max(0.0, above - below)


def tip_offset(chord: float, degrees: float) -> float:
    """Return by how much a chord's end is out when two stations differ by so many degrees of twist."""
    return chord * math.tan(math.radians(degrees))


def _normal(z: float) -> float:
    return math.erfc(-z / math.sqrt(2)) / 2
