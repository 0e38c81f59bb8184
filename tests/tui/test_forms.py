"""Fields take typing as people do it, and forms read times, figures and days or refuse with a sentence."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.shop_floor import NINE

from fitup.model.amounts import clean, local_iso
from fitup.model.refusal import Refused
from fitup.tui import forms
from fitup.tui.forms import Field


def typed(field: Field, *keys: str) -> str:
    for key in keys:
        if not field.key(key):
            field.type(key)
    return field.text


def test_the_first_typing_replaces_the_given_answer() -> None:
    assert typed(Field("count", "count", "44"), "1", "2") == "12"


def test_moving_the_caret_first_keeps_the_given_answer() -> None:
    assert typed(Field("count", "count", "44"), "end", "1") == "441"
    assert typed(Field("count", "count", "44"), "left", "1") == "414"
    assert typed(Field("count", "count", "44"), "home", "delete") == "4"


def test_backspace_takes_the_given_answer_away_whole_and_then_letters() -> None:
    assert typed(Field("count", "count", "44"), "backspace") == ""
    assert typed(Field("why", "why"), "a", "b", "c", "left", "backspace") == "ac"


def test_choices_turn_with_the_arrows_and_by_their_first_letter() -> None:
    field = Field("state", "state", choices=(("", "any"), ("ready", "ready"), ("done", "done")))
    assert typed(field, "right") == "ready"
    assert typed(field, "left", "left") == "done"
    assert typed(field, "r") == "ready"


@given(st.lists(st.sampled_from(["left", "right", "home", "end", "backspace", "delete"]) | st.text(max_size=5)))
@settings(deadline=None)
def test_any_typing_leaves_the_caret_in_the_text_and_no_control_characters(keys: list[str]) -> None:
    field = Field("why", "why", "given")
    typed(field, *keys)
    assert 0 <= field.caret <= len(field.text) <= forms.LONGEST
    assert field.text == clean(field.text)


def test_a_pasted_book_is_cut() -> None:
    assert len(typed(Field("why", "why"), "x" * 10_000)) == forms.LONGEST


@pytest.mark.parametrize(
    ("text", "celsius"), [("18", 18), ("18C", 18), (" 64.4 F", 18), ("64.4°F", 18), ("-3,5", -3.5), ("", None)]
)
def test_temperatures_are_read_in_both_scales(text: str, celsius: float | None) -> None:
    assert forms.read_celsius(text) == celsius


@pytest.mark.parametrize(("text", "chance"), [("80", 0.8), ("80 %", 0.8), ("0.8", 0.8), ("0.5%", 0.005), ("", None)])
def test_a_chance_is_read_in_percent_or_as_a_fraction(text: str, chance: float | None) -> None:
    assert forms.read_chance(text, "sure") == (None if chance is None else pytest.approx(chance))


@pytest.mark.parametrize("text", ["0", "100", "-5", "often"])
def test_what_is_no_chance_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        forms.read_chance(text, "sure")


@pytest.mark.parametrize("text", ["warm", "nan", "inf", "1e99", "18K"])
def test_what_is_no_temperature_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        forms.read_celsius(text)


def test_a_count_is_a_whole_number() -> None:
    assert forms.read_count("44", "count") == 44
    with pytest.raises(Refused, match="whole number"):
        forms.read_count("4.5", "count")


@pytest.mark.parametrize(
    ("text", "read"),
    [("08:40", "2026-11-28T08:40"), ("22:15", "2026-11-27T22:15"), ("2026-11-20T10:00", "2026-11-20T10:00")],
)
def test_when_something_was_finished_lies_in_the_past(text: str, read: str) -> None:
    found = forms.read_past(text, NINE)
    assert found is not None
    assert local_iso(found) == read


def test_a_slip_in_the_clock_time_does_not_become_yesterday() -> None:
    with pytest.raises(Refused, match="10:14 is still to come"):
        forms.read_past("10:14", NINE)


def test_now_is_left_to_the_desk() -> None:
    assert forms.read_past("now", NINE) is None
    assert forms.read_start("", NINE) is None


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("10:00", "2026-11-28T10:00"),
        ("08:30", "2026-11-28T08:30"),
        ("05:00", "2026-11-29T05:00"),
        ("tue 19:00", "2026-12-01T19:00"),
        ("sat 09:00", "2026-11-28T09:00"),
        ("sat 05:00", "2026-12-05T05:00"),
        ("2026-12-24T09:00", "2026-12-24T09:00"),
    ],
)
def test_when_a_session_starts_is_read_as_it_is_said(text: str, read: str) -> None:
    found = forms.read_start(text, NINE)
    assert found is not None
    assert local_iso(found) == read


@pytest.mark.parametrize("text", ["25:00", "9:75", "soon", "sat soon", "2026-02-30T09:00"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        forms.read_start(text, NINE)


def test_a_day_that_does_not_exist_is_refused() -> None:
    assert forms.read_day("") is None
    with pytest.raises(Refused, match="2027-03-01"):
        forms.read_day("2027-02-30")
