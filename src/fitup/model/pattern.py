"""The usual bench times of a week: "tue 19:00-21:30, sat 09:00-13:00".

The planner needs the start of the next session to judge what may be left open over night, the
review the longest session to judge what fits at all. Times are local clock times; a stretch whose
end is not after its begin runs over midnight. Instants go in and out as aware UTC datetimes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from fitup.model.amounts import clean
from fitup.model.refusal import Refused

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_FULL = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_DAY_NUMBERS = {name: number for names in (DAYS, _FULL) for number, name in enumerate(names)}
_PART = re.compile(r"([a-z]+)\s+([0-9]{1,2}):([0-9]{2})\s*-\s*([0-9]{1,2}):([0-9]{2})")
_MINUTES_A_DAY = 24 * 60
_MINUTES_A_WEEK = 7 * _MINUTES_A_DAY
_EXAMPLE = "write usual sessions as: tue 19:00-21:30, sat 09:00-13:00"


@dataclass(frozen=True, slots=True)
class Stretch:
    """One usual session: weekday (Monday = 0), minute of the day when it begins, and its length in minutes."""

    weekday: int
    begin: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Pattern:
    """The usual sessions of a week, from Monday on; empty where there are none."""

    stretches: tuple[Stretch, ...] = ()

    @property
    def longest_minutes(self) -> int:
        """Minutes of the longest usual session; 0 without any."""
        return max((stretch.minutes for stretch in self.stretches), default=0)

    def next_start(self, after: datetime) -> datetime | None:
        """Return when the next usual session begins, at `after` or later; None without a pattern."""
        return next((begin for begin, _ in self._sessions(after, 0, 8) if begin >= after), None)

    def running(self, at: datetime) -> tuple[datetime, datetime] | None:
        """Return begin and end of the usual session that runs at this instant, or None between sessions."""
        return next(((begin, end) for begin, end in self._sessions(at, -1, 1) if begin <= at < end), None)

    def _sessions(self, around: datetime, first: int, last: int) -> Iterator[tuple[datetime, datetime]]:
        """Yield the sessions that begin on the local days from `first` to `last` days after `around`."""
        today = around.astimezone().date().toordinal()
        for ordinal in range(max(2, today + first), min(date.max.toordinal() - 2, today + last) + 1):
            day = date.fromordinal(ordinal)
            for stretch in self.stretches:
                if stretch.weekday == day.weekday():
                    # the local clock says both begin and end, also on the nights when it is put forward or back
                    begin = datetime.combine(day, time()) + timedelta(minutes=stretch.begin)
                    end = begin + timedelta(minutes=stretch.minutes)
                    yield begin.astimezone().astimezone(UTC), end.astimezone().astimezone(UTC)


def parse_pattern(text: str) -> Pattern:
    """Read the usual sessions of a week; an empty text is a pattern without any.

    Raises `Refused` for a part that is no stretch of clock time, or that overlaps another.
    """
    if not text.strip():
        return Pattern()
    stretches = sorted(
        (_stretch(part) for part in text.split(",")), key=lambda stretch: (stretch.weekday, stretch.begin)
    )
    for place, stretch in enumerate(stretches):
        following = stretches[(place + 1) % len(stretches)]
        gap = _week_minute(following) - _week_minute(stretch)
        if place + 1 == len(stretches):
            gap += _MINUTES_A_WEEK
        if stretch.minutes > gap:
            raise Refused(
                f"two usual sessions overlap on {DAYS[following.weekday]} at {_clock(following.begin)}; "
                "let one end before the other begins"
            )
    return Pattern(tuple(stretches))


def _stretch(part: str) -> Stretch:
    found = _PART.fullmatch(part.strip().lower())
    shown = clean(part.strip())[:40]
    if found is None or found[1] not in _DAY_NUMBERS:
        raise Refused(f"{shown!r} is not a weekday with a stretch of time; {_EXAMPLE}")
    begin_hour, begin_minute, end_hour, end_minute = (int(figure) for figure in found.groups()[1:])
    begin, end = begin_hour * 60 + begin_minute, end_hour * 60 + end_minute
    if begin_minute > 59 or end_minute > 59 or begin >= _MINUTES_A_DAY or end > _MINUTES_A_DAY:
        raise Refused(f"{shown!r} has a time that is not on the clock; {_EXAMPLE}")
    if begin == end:
        raise Refused(f"{shown!r} begins and ends at the same time; {_EXAMPLE}")
    return Stretch(_DAY_NUMBERS[found[1]], begin, end - begin if end > begin else end - begin + _MINUTES_A_DAY)


def _week_minute(stretch: Stretch) -> int:
    return stretch.weekday * _MINUTES_A_DAY + stretch.begin


def _clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"
