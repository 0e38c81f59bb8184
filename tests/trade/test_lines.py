"""Line fits against reference data: NIST StRD Norris, and Pearson's ten points of 1901."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.lines import Point, least_squares, minimum_zone, peak_to_valley_about_least_squares
from fitup.trade.mistake import Mistake

# NIST Statistical Reference Datasets, linear regression, Norris: 36 points, certified to 15 digits.
NORRIS_X = (
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5,
    11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1,
    448.9, 0.5,
)  # fmt: skip
NORRIS_Y = (
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9,
    10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4,
    449.2, 0.2,
)  # fmt: skip
# K. Pearson, On lines and planes of closest fit, 1901; the data York's papers also use.
PEARSON = (
    (0.0, 5.9), (0.9, 5.4), (1.8, 4.4), (2.6, 4.6), (3.3, 3.5),
    (4.4, 3.7), (5.2, 2.8), (6.1, 2.8), (6.5, 2.4), (7.4, 1.5),
)  # fmt: skip

positions = st.lists(st.integers(0, 400).map(lambda n: n / 4), min_size=3, max_size=12, unique=True).filter(
    lambda xs: max(xs) - min(xs) >= 4
)


@st.composite
def profiles(draw: st.DrawFn) -> list[Point]:
    return [(x, draw(st.integers(-100, 100)) / 100) for x in draw(positions)]


def test_norris_agrees_with_the_certified_line_to_twelve_digits() -> None:
    fit = least_squares(list(zip(NORRIS_X, NORRIS_Y, strict=True)))
    assert fit.intercept == pytest.approx(-0.262323073774029, rel=1e-12)
    assert fit.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert fit.residual_sd == pytest.approx(0.884796396144373, rel=1e-12)


def test_pearsons_points_give_the_published_least_squares_line() -> None:
    """York quotes 5.76118519259 and -0.53957727555; exact sums differ in the tenth digit."""
    fit = least_squares(PEARSON)
    assert fit.intercept == pytest.approx(5.76118519259, rel=5e-9)
    assert fit.slope == pytest.approx(-0.53957727555, rel=5e-9)


def test_pearsons_points_lie_in_a_zone_of_three_tenths_root_five() -> None:
    """Computed: the hull edge through the first and sixth point is narrowest, slope exactly -1/2."""
    zone = minimum_zone(PEARSON)
    assert zone.width == pytest.approx(0.3 * math.sqrt(5), rel=1e-15)
    assert zone.width == pytest.approx(0.6708203932, abs=5e-11)
    assert zone.slope == -0.5


def test_peak_to_valley_about_pearsons_closest_line() -> None:
    """Computed from Pearson's orthogonal line, slope -0.5455611975: 0.7264886528."""
    assert peak_to_valley_about_least_squares(PEARSON) == pytest.approx(0.7264886528, abs=5e-11)


def test_points_on_a_line_have_no_width() -> None:
    zone = minimum_zone([(0, 1.1), (1, 1.3), (2, 1.5), (3, 1.7)])
    assert (zone.width, zone.slope, zone.intercept) == (0.0, 0.2, 1.1)


def test_two_points_make_a_line_without_residuals() -> None:
    assert least_squares([(0, 5.9), (0.9, 5.4)]).residual_sd is None
    assert minimum_zone([(0, 5.9), (0.9, 5.4)]).width == 0


@pytest.mark.parametrize("points", [[], [(0.0, 1.0)], [(1.0, 1.0), (1.0, 2.0)]])
def test_one_position_is_refused(points: list[Point]) -> None:
    with pytest.raises(Mistake, match="two positions"):
        minimum_zone(points)


def test_a_reading_that_is_no_number_is_refused() -> None:
    with pytest.raises(Mistake, match="not a number"):
        minimum_zone([(0, math.nan), (1, 2), (2, 3)])


@settings(deadline=None, max_examples=100)
@given(profiles())
def test_no_turned_line_beats_the_minimum_zone(points: list[Point]) -> None:
    width = minimum_zone(points).width
    for step in range(-300, 301):
        slope = step / 100
        heights = [y - slope * x for x, y in points]
        assert width <= (max(heights) - min(heights)) / math.hypot(1, slope) + 1e-12


@settings(deadline=None, max_examples=100)
@given(profiles())
def test_all_points_lie_inside_the_zone_and_least_squares_is_never_narrower(points: list[Point]) -> None:
    zone = minimum_zone(points)
    for x, y in points:
        assert abs(y - zone.intercept - zone.slope * x) / math.hypot(1, zone.slope) <= zone.width / 2 + 1e-9
    assert zone.width <= peak_to_valley_about_least_squares(points) + 1e-9


@settings(deadline=None, max_examples=100)
@given(profiles(), st.integers(-50, 50), st.integers(-3, 3))
def test_lifting_and_tilting_by_least_squares_moves_only_the_line(points: list[Point], up: int, tilt: int) -> None:
    before = least_squares(points)
    after = least_squares([(x, float(Fraction(repr(y)) + up + tilt * Fraction(repr(x)))) for x, y in points])
    assert after.slope == pytest.approx(before.slope + tilt, abs=1e-9)
    assert after.intercept == pytest.approx(before.intercept + up, abs=1e-7)
