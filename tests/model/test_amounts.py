"""How amounts are read and written, and that nothing from a file can steer a terminal."""

from __future__ import annotations

import unicodedata
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitup.model.amounts import (
    clean,
    counted,
    day_clock,
    degrees,
    first_named,
    local_iso,
    number,
    parse_celsius,
    parse_instant,
    plain_number,
    stretch,
)
from fitup.model.refusal import Refused


def test_local_times_are_stored_in_utc() -> None:
    # Central European Time is UTC+1 in winter and UTC+2 in summer (IANA time zone database, Europe/Berlin).
    assert parse_instant("2026-11-28T09:00") == datetime(2026, 11, 28, 8, tzinfo=UTC)
    assert parse_instant("2026-07-28T09:00") == datetime(2026, 7, 28, 7, tzinfo=UTC)
    assert local_iso(datetime(2026, 11, 28, 8, tzinfo=UTC)) == "2026-11-28T09:00"


@pytest.mark.parametrize("text", ["2026-02-30T09:00", "tomorrow", "", "2026-11-28T25:00", "9:00", "0001-01-01T00:00"])
def test_a_time_that_does_not_exist_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        parse_instant(text)


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "0 min"), (45, "45 min"), (59.6, "1 h"), (60, "1 h"), (85, "1 h 25"), (720, "12 h"), (-85, "-1 h 25")],
)
def test_stretches_read_as_people_say_them(minutes: float, said: str) -> None:
    assert stretch(minutes) == said


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (1, "hole", "1 hole"),
        (8, "piece", "8 pieces"),
        (0, "piece", "0 pieces"),
        (0.5, "cup", "0.5 cups"),
        (1.0001, "rivet", "1 rivet"),
        (44, "hole side", "44 hole sides"),
        (2, "tube of filler", "2 tubes of filler"),
        (2, "box", "2 boxes"),
        (2, "inch", "2 inches"),
        (2, "assembly", "2 assemblies"),
        (3, "foot", "3 feet"),
        (8, "pieces", "8 pieces"),
        (12, "g", "12 g"),
        (2, "mm water", "2 mm water"),
        (2, "sq ft", "2 sq ft"),
        (3, "milliohm", "3 milliohm"),
        (3, "pcs", "3 pcs"),
        (3, "Stk.", "3 Stk."),
        (3, "", "3"),
    ],
)
def test_a_quantity_reads_as_people_say_it(value: float, unit: str, said: str) -> None:
    assert counted(value, unit) == said


def test_of_many_names_the_first_are_told_and_the_rest_counted() -> None:
    assert first_named(["a", "b", "c"]) == "a, b, c"
    assert first_named(["a", "b", "c", "d", "e"]) == "a, b, c and 2 more"
    assert first_named([]) == ""


@given(st.floats(-1e9, 1e9), st.text(max_size=20))
def test_any_unit_at_all_can_be_counted(value: float, unit: str) -> None:
    assert counted(value, unit).startswith(number(value))


def test_a_clock_time_names_its_day_when_it_is_not_today() -> None:
    now = parse_instant("2026-11-28T09:00")
    assert day_clock(parse_instant("2026-11-28T14:20"), now) == "14:20"
    assert day_clock(parse_instant("2026-11-29T09:00"), now) == "Sun 09:00"
    assert day_clock(parse_instant("2026-12-12T09:00"), now) == "12 Dec 09:00"
    assert day_clock(parse_instant("2028-12-12T09:00"), now) == "2028-12-12 09:00"


@given(st.text())
def test_clean_text_has_nothing_that_steers_a_terminal_and_is_clean_already(text: str) -> None:
    cleaned = clean(text)
    assert not any(unicodedata.category(character) in ("Cc", "Cf", "Cs", "Zl", "Zp") for character in cleaned)
    assert clean(cleaned) == cleaned
    assert "\n" not in cleaned


def test_brackets_stay_what_they_are() -> None:
    assert clean("[b]bold[/] \x1b[31mred") == "[b]bold[/] [31mred"


@pytest.mark.parametrize(("text", "value"), [("1", 1), (" -2.5 ", -2.5), ("+.5", 0.5), ("1e3", 1000), ("7.", 7)])
def test_a_number_is_read_as_it_is_typed(text: str, value: float) -> None:
    assert plain_number(text) == value


@pytest.mark.parametrize("text", ["", " ", "nan", "inf", "1e999", "1_0", "0x10", "1,5", "½", "१", "1 2", "--1", "1\n2"])
def test_what_only_a_computer_takes_for_a_number_is_none(text: str) -> None:
    assert plain_number(text) is None


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("18", 18), ("18C", 18), (" 64.4 f", 18), ("64.4°F", 18), ("18 ° C", 18), ("-3,5", -3.5), ("64F", 17.78)],
)
def test_a_temperature_is_read_in_both_scales_to_a_hundredth(text: str, celsius: float) -> None:
    # (F - 32) / 1.8, by definition
    assert parse_celsius(text) == celsius


@pytest.mark.parametrize("text", ["", "warm", "nan", "1e9", "18K", "18 19", "F", "1" * 12])
def test_what_is_no_temperature_is_refused_by_its_name(text: str) -> None:
    with pytest.raises(Refused, match=r"low: .* is not a temperature"):
        parse_celsius(text, "low")


def test_a_temperature_is_told_to_a_tenth() -> None:
    assert [degrees(celsius) for celsius in (17.78, 18.0, -3.5)] == ["17.8 C", "18 C", "-3.5 C"]
