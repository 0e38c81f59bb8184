"""Straight lines through measured points: minimum zone and least squares.

Positions and readings are in the same unit. All sums are exact fractions of the figures as
written; only the result is rounded to a float.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from fitup.model.frozen import dataclass
from fitup.trade.exact import exact
from fitup.trade.mistake import Mistake

Point = tuple[float, float]
_Exact = tuple[Fraction, Fraction]

SOURCE_MINIMUM_ZONE = "ISO 12780-1:2011 and ISO 1101, minimum zone line: two parallel lines, least separation"
SOURCE_LEAST_SQUARES = "ordinary least squares, vertical residuals, as the NIST StRD Norris reference"


@dataclass(frozen=True, slots=True)
class Zone:
    """The two parallel lines of least separation that hold all points.

    `width` is measured perpendicular to them; the line halfway between is
    reading = intercept + slope x position.
    """

    width: float
    slope: float
    intercept: float


@dataclass(frozen=True, slots=True)
class Fit:
    """The least-squares line reading = intercept + slope x position.

    `residual_sd` is the standard deviation of the vertical residuals with n - 2 degrees of
    freedom; None for two points, which leave none.
    """

    slope: float
    intercept: float
    residual_sd: float | None


def minimum_zone(points: Sequence[Point]) -> Zone:
    """Return the minimum zone of the points, exact over their convex hull.

    The least width of a set of points always lies along an edge of its hull. Edges straight
    across the line of positions are left out: a profile runs along its positions.
    Raises `Mistake` for fewer than two positions. Source: ISO 12780-1:2011.
    """
    hull = _hull(_profile(points))
    if len(hull) == 2:
        (x1, y1), (x2, y2) = hull
        slope = (y2 - y1) / (x2 - x1)
        return Zone(0.0, float(slope), float(y1 - slope * x1))
    best: tuple[Fraction, Fraction, Fraction] | None = None
    for place, (x1, y1) in enumerate(hull):
        x2, y2 = hull[(place + 1) % len(hull)]
        if x1 == x2:
            continue
        slope = (y2 - y1) / (x2 - x1)
        heights = [y - slope * x for x, y in hull]
        low, high = min(heights), max(heights)
        squared = (high - low) ** 2 / (1 + slope**2)
        if best is None or squared < best[0]:
            best = (squared, slope, (low + high) / 2)
    if best is None:
        raise Mistake("straightness needs readings at two positions at least")
    squared, slope, intercept = best
    return Zone(math.sqrt(squared), float(slope), float(intercept))


def least_squares(points: Sequence[Point]) -> Fit:
    """Return the least-squares line with vertical residuals.

    Raises `Mistake` for fewer than two positions. Reference: NIST StRD Norris.
    """
    profile = _profile(points)
    mean_x, mean_y, along, across, _ = _moments(profile)
    slope = across / along
    intercept = mean_y - slope * mean_x
    freedom = len(profile) - 2
    if freedom < 1:
        return Fit(float(slope), float(intercept), None)
    squares = sum(((y - intercept - slope * x) ** 2 for x, y in profile), Fraction(0))
    return Fit(float(slope), float(intercept), math.sqrt(squares / freedom))


def peak_to_valley_about_least_squares(points: Sequence[Point]) -> float:
    """Return the distance from the highest to the lowest point about the least-squares reference line.

    That line has the least sum of squared distances normal to it (ISO 12780-1:2011, local
    straightness deviation), so it is not the line of `least_squares`. Never less than the width
    of the minimum zone, as long as the readings differ less than the positions.
    """
    profile = _profile(points)
    mean_x, mean_y, along, across, up = _moments(profile)
    turned = math.atan2(2 * across, along - up) / 2
    distances = [float(y - mean_y) * math.cos(turned) - float(x - mean_x) * math.sin(turned) for x, y in profile]
    return max(distances) - min(distances)


def _profile(points: Sequence[Point]) -> list[_Exact]:
    profile = [(exact(x, "position"), exact(y, "reading")) for x, y in points]
    if len({x for x, _ in profile}) < 2:
        raise Mistake("straightness needs readings at two positions at least")
    return profile


def _moments(profile: Sequence[_Exact]) -> tuple[Fraction, Fraction, Fraction, Fraction, Fraction]:
    """Return mean position, mean reading and the sums of squares xx, xy, yy about them."""
    mean_x = sum((x for x, _ in profile), Fraction(0)) / len(profile)
    mean_y = sum((y for _, y in profile), Fraction(0)) / len(profile)
    along = sum(((x - mean_x) ** 2 for x, _ in profile), Fraction(0))
    across = sum(((x - mean_x) * (y - mean_y) for x, y in profile), Fraction(0))
    up = sum(((y - mean_y) ** 2 for _, y in profile), Fraction(0))
    return mean_x, mean_y, along, across, up


def _hull(points: Sequence[_Exact]) -> list[_Exact]:
    """Return the corners of the convex hull, counter-clockwise from the leftmost (monotone chain)."""
    ordered = sorted(set(points))
    lower, upper = _chain(ordered), _chain(ordered[::-1])
    return lower[:-1] + upper[:-1]


def _chain(ordered: Sequence[_Exact]) -> list[_Exact]:
    chain: list[_Exact] = []
    for point in ordered:
        while len(chain) >= 2 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: _Exact, b: _Exact, c: _Exact) -> Fraction:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
