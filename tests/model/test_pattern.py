"""The usual sessions of a week: written, read, and found again in local clock time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.model.pattern import DAYS, Pattern, Stretch, parse_pattern
from fitup.model.refusal import Refused

USUAL = parse_pattern("tue 19:00-21:30, sat 09:00-13:00")


def local(text: str) -> datetime:
    """Return a local clock time as an instant."""
    return datetime.fromisoformat(text).astimezone(UTC)


def test_pattern_is_kept_from_monday_on() -> None:
    assert parse_pattern(" Saturday 09:00-13:00,TUE 19:00 - 21:30") == USUAL
    assert USUAL.stretches == (Stretch(1, 19 * 60, 150), Stretch(5, 9 * 60, 240))
    assert USUAL.longest_minutes == 240


def test_no_text_is_no_pattern() -> None:
    empty = parse_pattern("  ")
    assert empty == Pattern()
    assert empty.longest_minutes == 0
    assert empty.next_start(local("2026-11-28T09:00")) is None
    assert empty.running(local("2026-11-28T09:00")) is None


def test_next_session_begins_at_or_after_the_instant() -> None:
    # 28 November 2026 is a Saturday
    assert USUAL.next_start(local("2026-11-28T09:00")) == local("2026-11-28T09:00")
    assert USUAL.next_start(local("2026-11-28T09:01")) == local("2026-12-01T19:00")
    assert USUAL.next_start(local("2026-12-01T21:00")) == local("2026-12-05T09:00")
    only_saturday = parse_pattern("sat 09:00-13:00")
    assert only_saturday.next_start(local("2026-11-28T09:01")) == local("2026-12-05T09:00")


def test_running_session_has_its_begin_and_end() -> None:
    session = local("2026-11-28T09:00"), local("2026-11-28T13:00")
    assert USUAL.running(session[0]) == session
    assert USUAL.running(session[1] - timedelta(minutes=1)) == session
    assert USUAL.running(session[1]) is None


def test_session_may_run_over_midnight_and_over_the_week() -> None:
    late = parse_pattern("sun 22:00-01:00")
    session = local("2026-11-29T22:00"), local("2026-11-30T01:00")
    assert late.running(local("2026-11-30T00:30")) == session
    assert parse_pattern("fri 20:00-24:00").longest_minutes == 240


def test_sessions_may_follow_each_other_without_a_break() -> None:
    joined = parse_pattern("sat 09:00-12:00, sat 12:00-13:00")
    assert joined.running(local("2026-11-28T12:00")) == (local("2026-11-28T12:00"), local("2026-11-28T13:00"))


def test_clock_keeps_its_hours_when_summer_time_begins() -> None:
    # Central Europe goes from UTC+1 to UTC+2 on 29 March 2026
    sundays = parse_pattern("sun 09:00-13:00")
    assert sundays.next_start(local("2026-03-23T00:00")) == datetime(2026, 3, 29, 7, tzinfo=UTC)
    assert sundays.next_start(local("2026-03-16T00:00")) == datetime(2026, 3, 22, 8, tzinfo=UTC)


def test_ends_of_the_calendar_have_no_session() -> None:
    assert USUAL.next_start(datetime.max.replace(tzinfo=UTC) - timedelta(days=1)) is None
    assert USUAL.running(datetime.min.replace(tzinfo=UTC) + timedelta(days=1)) is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("tuesdays 19:00-21:00", "'tuesdays 19:00-21:00' is not a weekday"),
        ("tue 19-21", "'tue 19-21' is not a weekday"),
        ("tue 19:00-21:30,", "'' is not a weekday"),
        ("tue 19:00-25:00", "not on the clock"),
        ("tue 24:00-01:00", "not on the clock"),
        ("tue 19:60-21:00", "not on the clock"),
        ("tue 19:00-19:00", "begins and ends at the same time"),
        ("tue 19:00-21:00, tue 20:00-22:00", "overlap on tue at 20:00"),
        ("sun 22:00-09:00, mon 08:00-12:00", "overlap on mon at 08:00"),
        ("tue\x1b[2J 19:00-21:00", "is not a weekday"),
    ],
)
def test_what_is_no_pattern_is_refused_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_pattern(text)
    assert says in str(refusal.value)
    assert "\x1b" not in str(refusal.value)


@settings(deadline=None, max_examples=100)
@given(
    st.integers(0, 6),
    st.integers(0, 1439),
    st.integers(1, 1439),
    st.datetimes(datetime(2025, 1, 1), datetime(2028, 1, 1), timezones=st.just(UTC)),
)
def test_next_session_runs_from_its_start(day: int, begin: int, minutes: int, after: datetime) -> None:
    end = (begin + minutes) % 1440
    pattern = parse_pattern(f"{DAYS[day]} {begin // 60:02d}:{begin % 60:02d}-{end // 60:02d}:{end % 60:02d}")
    start = pattern.next_start(after)
    assert start is not None
    # a clock put back or forward may shift a start by an hour
    assert after <= start <= after + timedelta(days=7, hours=1)
    assert start.astimezone().weekday() == day or start.astimezone().hour in (0, 3)
    running = pattern.running(start)
    assert running is None or running[0] == start
