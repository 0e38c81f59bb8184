"""Learning curves against AFIT's published outputs, and the chance that a figure is inside its limits."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.conformity import chance_inside, tip_offset
from fitup.trade.learning import (
    average_block_time,
    average_unit_time,
    middle_unit,
    slope,
    total_time,
    unit_time,
)
from fitup.trade.mistake import Mistake

rates = st.floats(0.55, 1)


# AFIT learningCurve documentation (seen).
@pytest.mark.parametrize(
    ("rate", "time"), [(0.80, 21.13225), (0.825, 26.18401), (0.85, 32.23647), (0.875, 39.44942), (0.90, 48.00243)]
)
def test_the_125th_piece_by_rate(rate: float, time: float) -> None:
    assert unit_time(100, 125, rate) == pytest.approx(time, abs=5e-6)


@pytest.mark.parametrize(("rate", "exponent"), [(0.80, -0.3219281), (0.85, -0.2344653), (0.90, -0.1520031)])
def test_the_slope_of_a_rate(rate: float, exponent: float) -> None:
    """AFIT learningCurve documentation (seen)."""
    assert slope(rate) == pytest.approx(exponent, abs=5e-8)


def test_published_totals_and_averages() -> None:
    """AFIT learningCurve documentation and tests (seen)."""
    assert total_time(100, 1, 125, 0.85) == pytest.approx(5201.085, abs=5e-4)
    assert average_unit_time(100, 125, 0.85) == pytest.approx(24.70136, abs=5e-6)
    assert average_unit_time(110, 2200, 0.885) == pytest.approx(23.34, abs=5e-3)
    assert average_unit_time(225, 350, 0.75, of=5) == pytest.approx(36.909, abs=5e-4)
    assert average_block_time(100, 1, 125, 0.85) == pytest.approx(4029.559, abs=5e-4)
    assert average_block_time(75, 201, 250, 0.85) == pytest.approx(806.77, abs=5e-3)
    assert average_block_time(125, 55, 165, 0.75) == pytest.approx(1188.61, abs=5e-3)
    assert middle_unit(201, 500, 0.75) == pytest.approx(334.6103, abs=5e-5)
    assert 300 * unit_time(125, middle_unit(201, 500, 0.75), 0.75, of=201) == pytest.approx(30350.48, abs=5e-3)


# Wideman's appendix (seen): at 80 % the average of 2 is 80 %, the second took 60 %, the average of 4 is 64 %.
def test_the_eighty_percent_curve_of_the_textbooks() -> None:
    assert average_block_time(100, 1, 2, 0.8) / 2 == pytest.approx(80)
    assert average_unit_time(100, 2, 0.8) == pytest.approx(60)
    assert average_block_time(100, 1, 4, 0.8) / 4 == pytest.approx(64)


# Computed from y = a n^b at 80 %, first piece 100.
@pytest.mark.parametrize(
    ("unit", "time"), [(1, 100), (2, 80), (3, 70.21), (4, 64), (5, 59.56), (8, 51.2), (10, 47.65), (100, 22.71)]
)
def test_crawfords_curve_at_eighty_percent(unit: int, time: float) -> None:
    assert unit_time(100, unit, 0.8) == pytest.approx(time, abs=5e-3)


@pytest.mark.parametrize(("count", "total"), [(2, 180), (4, 314.21), (10, 631.54), (100, 3265.08)])
def test_crawfords_totals_at_eighty_percent(count: int, total: float) -> None:
    assert total_time(100, 1, count, 0.8) == pytest.approx(total, abs=5e-3)


@pytest.mark.parametrize("rate", [0, -1, 1.01, float("nan")])
def test_an_impossible_rate_is_refused(rate: float) -> None:
    with pytest.raises(Mistake, match="learning rate"):
        slope(rate)


def test_impossible_pieces_are_refused() -> None:
    with pytest.raises(Mistake, match="counted from 1"):
        unit_time(100, 0, 0.8)
    with pytest.raises(Mistake, match="time of"):
        unit_time(-1, 1, 0.8)


def test_the_middle_piece_at_the_ends_of_the_law() -> None:
    assert middle_unit(1, 9, 1) == 5
    assert 1 < middle_unit(1, 9, 0.5) < 5


# Computed from JCGM 106:2012 for a greatest height of .070 and u = .001.
@pytest.mark.parametrize(
    ("figure", "chance"), [(0.068, 0.9772), (0.0685, 0.9332), (0.069, 0.8413), (0.070, 0.5), (0.071, 0.1587)]
)
def test_the_chance_of_being_under_a_limit(figure: float, chance: float) -> None:
    assert chance_inside(figure, 0.001, high=0.070) == pytest.approx(chance, abs=5e-5)


@pytest.mark.parametrize(("figure", "chance"), [(0.0525, 0.9938), (0.0505, 0.6915)])
def test_the_chance_of_being_between_two_limits(figure: float, chance: float) -> None:
    assert chance_inside(figure, 0.001, low=0.050, high=0.070) == pytest.approx(chance, abs=5e-5)


# ILAC-G8:09/2019 (seen): a guard band of U = 2 u leaves under 2.5 % false acceptance, simple acceptance 50 %.
@pytest.mark.parametrize(("bands", "risk"), [(0, 0.5), (0.83, 0.0485), (1, 0.02275), (1.5, 0.00135)])
def test_the_risk_at_the_edge_of_a_guard_band(bands: float, risk: float) -> None:
    assert 1 - chance_inside(-bands * 2, 1, high=0) == pytest.approx(risk, abs=5e-5)


def test_a_chance_needs_an_uncertainty() -> None:
    with pytest.raises(Mistake, match="above 0"):
        chance_inside(1, 0, high=2)


# Computed: 50 in times the tangent.
@pytest.mark.parametrize(("degrees", "offset"), [(0.1, 0.0873), (0.2, 0.1745), (0.5, 0.4363), (1, 0.8728)])
def test_twist_moves_the_end_of_a_chord(degrees: float, offset: float) -> None:
    assert tip_offset(50, degrees) == pytest.approx(offset, abs=5e-5)


@settings(deadline=None)
@given(rates, st.integers(1, 40))
def test_doubling_leaves_the_rate(rate: float, unit: int) -> None:
    assert unit_time(100, 2 * unit, rate) == pytest.approx(rate * unit_time(100, unit, rate))


@settings(deadline=None)
@given(rates, st.integers(1, 30), st.integers(0, 30))
def test_blocks_add_up(rate: float, first: int, more: int) -> None:
    whole = average_block_time(10, 1, first + more + 1, rate)
    parts = average_block_time(10, 1, first, rate) + average_block_time(10, first + 1, first + more + 1, rate)
    assert whole == pytest.approx(parts)
