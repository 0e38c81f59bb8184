"""A session's question: helper stretches and the quiet hour, also over midnight and when clocks change."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import datetime

import pytest

from fitup.acts.asking import make_question
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.model.sheet import Question, Wishes


@pytest.fixture(autouse=True)
def berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def ask(start: str, minutes: int = 300, *helper: str, quiet: str = "21:00") -> Question:
    begin = datetime.fromisoformat(start).astimezone()
    wishes = Wishes(start=begin, minutes=minutes, helper=helper, quiet_from=quiet)
    return make_question(Project(), begin, wishes)


def test_the_quiet_hour_holds_till_morning() -> None:
    assert ask("2026-11-28T09:00").quiet_from is None
    assert ask("2026-11-28T19:00").quiet_from == 120
    assert ask("2026-11-28T23:00").quiet_from == 0
    assert ask("2026-11-28T01:00").quiet_from == 0
    assert ask("2026-11-28T01:00", quiet="none").quiet_from is None


def test_a_quiet_hour_after_midnight_is_of_the_night_that_follows() -> None:
    assert ask("2026-11-28T23:00", quiet="02:00").quiet_from == 180
    assert ask("2026-11-28T01:00", quiet="02:00").quiet_from == 60
    assert ask("2026-11-28T09:00", quiet="02:00").quiet_from is None


@pytest.mark.parametrize(
    ("start", "stretch", "minutes"),
    [
        ("2026-11-28T09:00", "09:00-10:30", (0, 90)),
        ("2026-11-28T23:00", "23:30-02:30", (30, 210)),
        ("2026-11-28T23:00", "01:00-02:00", (120, 180)),
        # Clocks go back at 03:00 and forward at 02:00: EU directive 2000/84/EC.
        ("2026-10-24T23:00", "23:30-03:00", (30, 300)),
        ("2026-10-25T01:00", "01:30-03:30", (30, 210)),
        ("2027-03-27T23:00", "23:30-03:00", (30, 180)),
        ("2027-03-28T01:00", "01:30-03:30", (30, 90)),
    ],
)
def test_a_helpers_stretch_is_read_by_the_clock_on_the_wall(start: str, stretch: str, minutes: tuple[int, int]) -> None:
    assert ask(start, 300, stretch).helper == (minutes,)


def test_a_helper_time_that_is_no_stretch_is_refused() -> None:
    with pytest.raises(Refused, match="is not a stretch"):
        ask("2026-11-28T09:00", 300, "nine to ten")
