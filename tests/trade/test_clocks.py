"""Cure clocks: the doubling law of epoxy makers' pages, and what it must never do."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.model.amounts import parse_celsius
from fitup.model.plan import Law
from fitup.model.progress import ShopTemperature
from fitup.trade.clocks import (
    LONGEST,
    cured_at,
    cured_hours,
    factor,
    fahrenheit_of,
    life_hours,
    outside,
    outside_humidity,
)
from fitup.trade.mistake import Mistake

NINE = datetime(2026, 11, 28, 9, 0, tzinfo=UTC)
LAW: Law = "double-18F"

records = st.lists(
    st.tuples(st.integers(-5_000, 20_000), st.floats(-5, 40), st.none() | st.floats(-10, 40)), max_size=6
).map(lambda rows: [ShopTemperature(NINE + timedelta(minutes=m), c, low) for m, c, low in rows])


def hours(count: float) -> timedelta:
    return timedelta(hours=count)


# f(T) = 2^((77 - T)/18), computed from "each 18 F colder doubles" (epoxy makers' support pages).
@pytest.mark.parametrize(
    ("fahrenheit", "stretched"), [(59, 2.0), (68, 1.4142), (77, 1.0), (86, 0.7071), (95, 0.5), (41, 4.0)]
)
def test_every_eighteen_degrees_colder_doubles_the_time(fahrenheit: float, stretched: float) -> None:
    assert factor(parse_celsius(f"{fahrenheit}F"), LAW) == pytest.approx(stretched, abs=5e-5)


@pytest.mark.parametrize(("fahrenheit", "takes"), [(59, 4), (77, 2), (95, 1)])
def test_two_hours_take_four_at_59_and_one_at_95(fahrenheit: float, takes: float) -> None:
    record = [(NINE - hours(1), parse_celsius(f"{fahrenheit}F"), None)]
    assert cured_at(NINE, 2, record, LAW) == NINE + hours(takes)
    assert cured_hours(NINE, NINE + hours(takes), record, LAW) == pytest.approx(2)


def test_without_a_law_hours_are_hours_in_any_weather() -> None:
    record = [(NINE, -5.0, -10.0), (NINE + hours(3), 40.0, None)]
    assert cured_at(NINE, 24, record) == NINE + hours(24)
    assert cured_hours(NINE, NINE + hours(7.5), record) == pytest.approx(7.5)
    assert factor(-5) == 1


def test_before_the_first_reading_the_shop_counts_as_nominal() -> None:
    record = [(NINE + hours(1), 15.0, None)]
    assert cured_hours(NINE, NINE + hours(3), record, LAW) == pytest.approx(1 + 2 / 2)


def test_a_low_counts_for_the_whole_stretch_before_it() -> None:
    record = [(NINE, 25.0, None), (NINE + hours(12), 25.0, 15.0)]
    assert cured_hours(NINE, NINE + hours(12), record, LAW) == pytest.approx(6)
    assert cured_hours(NINE, NINE + hours(14), record, LAW) == pytest.approx(8)


def test_a_reading_before_the_begin_holds_into_the_cure() -> None:
    record = [(NINE - hours(5), 25.0, None), (NINE - hours(1), 15.0, None)]
    assert cured_hours(NINE, NINE + hours(2), record, LAW) == pytest.approx(1)


def test_nothing_cures_before_its_begin() -> None:
    assert cured_hours(NINE, NINE - hours(2), []) == 0


def test_a_cure_that_would_never_end_is_shown_as_ten_years() -> None:
    assert cured_at(NINE, 24, [(NINE, -273.0, None)], LAW) == NINE + LONGEST
    assert cured_at(datetime(9998, 1, 1, tzinfo=UTC), 1e9, []).year == 9999


def test_an_unknown_law_is_refused() -> None:
    with pytest.raises(Mistake, match="no cure law"):
        factor(20, "guess")  # type: ignore[arg-type]


@pytest.mark.parametrize(("celsius", "law", "life"), [(15, LAW, 2), (25, LAW, 2), (35, LAW, 1), (35, "none", 2)])
def test_warmth_shortens_an_application_life_only_under_a_law_and_cold_never_lengthens_it(
    celsius: float, law: Law, life: float
) -> None:
    assert life_hours(2, celsius, law) == life


def test_below_or_above_its_range_a_mix_is_refused_with_the_reason() -> None:
    assert outside((21, 32), 6) == "too cold to apply: 6 C, wanted 21 to 32 C"
    assert outside((21, 32), 35) == "too warm to apply: 35 C, wanted 21 to 32 C"
    assert outside((21, 32), 21) is None
    assert outside(None, -40) is None
    assert outside_humidity((40, 60), 30) == "too dry to apply: 30 % humidity, wanted 40 to 60 % humidity"
    assert outside_humidity((40, 60), 61) == "too damp to apply: 61 % humidity, wanted 40 to 60 % humidity"


def test_metal_below_70_fahrenheit_is_too_cold_for_sealant() -> None:
    """NAVEDTRA 14315 page 208: not on metal colder than 70 F (21.1 C)."""
    assert outside((parse_celsius("70F"), parse_celsius("90F")), parse_celsius("69F")) is not None
    assert fahrenheit_of(parse_celsius("69F")) == pytest.approx(69, abs=0.01)


@settings(deadline=None)
@given(st.floats(-20, 45), st.floats(0.01, 200))
def test_at_constant_nominal_temperature_cure_equals_elapsed_time(celsius: float, elapsed: float) -> None:
    record = [(NINE - hours(1), celsius, None), (NINE + hours(1), celsius, None), (NINE + hours(9), celsius, celsius)]
    assert cured_hours(NINE, NINE + hours(elapsed), record, LAW) == pytest.approx(
        elapsed / factor(celsius, LAW), rel=1e-6, abs=1e-6
    )


@settings(deadline=None)
@given(records, st.floats(0, 100), st.sampled_from(["none", LAW]))
def test_when_it_is_cured_the_hours_are_there(record: list[ShopTemperature], wanted: float, law: Law) -> None:
    assert cured_hours(NINE, cured_at(NINE, wanted, record, law), record, law) == pytest.approx(wanted, abs=1e-6)


@settings(deadline=None)
@given(records, st.floats(0, 40), st.floats(0, 40))
def test_cure_adds_up_over_its_parts(record: list[ShopTemperature], first: float, second: float) -> None:
    middle = NINE + hours(first)
    whole = cured_hours(NINE, middle + hours(second), record, LAW)
    parts = cured_hours(NINE, middle, record, LAW) + cured_hours(middle, middle + hours(second), record, LAW)
    assert whole == pytest.approx(parts, abs=1e-6)
