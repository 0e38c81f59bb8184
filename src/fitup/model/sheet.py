"""The question of the morning and its answer: a session asked for, and the run sheet that fills it.

Minutes count from the session's start and are whole numbers; instants are aware UTC datetimes.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Literal

from fitup.model.frozen import dataclass

Who = Literal["builder", "helper", "both"]

QUIET_FROM = "21:00"
"""Local clock time from which loud work rests where nothing else is said. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a person says of a session; `None` and empty stand for the usual.

    `helper` holds clock stretches such as "09:00-10:30"; `quiet_from` is a clock time or "none";
    `under_way` tasks have been begun and go on, whatever else is planned.
    """

    start: datetime | None = None
    minutes: int | None = None
    helper: tuple[str, ...] = ()
    quiet_from: str = QUIET_FROM
    celsius: float | None = None
    humidity: float | None = None
    clean_up: int = 10
    sure: float | None = None
    first: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    next_start: datetime | None = None
    limit: float = 10
    under_way: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """What the planner is asked: when, how long, who, how warm, and what the builder wishes.

    `helper` are stretches (begin, end) in minutes from the start when a second pair of hands is
    there; `quiet_from` is the minute after which loud work must be over; `next_start` the minute
    (beyond the end) when the next session begins; `sure` the wanted chance of finishing; `limit`
    the seconds that a proof may take; `clean_up` minutes at the end are kept free; `under_way` are
    tasks that somebody is at when the session begins.
    """

    start: datetime
    minutes: int
    clean_up: int = 10
    helper: tuple[tuple[int, int], ...] = ()
    celsius: float | None = None
    humidity: float | None = None
    sure: float | None = None
    first: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    quiet_from: int | None = None
    next_start: int | None = None
    limit: float = 10
    under_way: tuple[str, ...] = ()

    @property
    def wanted(self) -> tuple[str, ...]:
        """What comes before all worth: the work under way, and what the builder asks to do first."""
        return tuple(dict.fromkeys((*self.under_way, *self.first)))

    @property
    def usable(self) -> int:
        """Minutes in which work may be done: the session without its clean-up."""
        return max(0, self.minutes - self.clean_up)

    def instant(self, minute: float) -> datetime:
        """Return the instant `minute` minutes after the start."""
        return self.start + timedelta(minutes=minute)

    def minute(self, instant: datetime) -> float:
        """Return the minutes from the start to `instant`; negative before it."""
        return (instant - self.start).total_seconds() / 60


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a run sheet: `count` units of a task from minute `begin` to `end`.

    `set_up` and `clean_up` minutes (getting the tools of the work out, putting them away) lie inside
    the line: work proper runs from begin + set_up to end - clean_up. `terms` are its parts of worth.
    """

    task: str
    count: int
    begin: int
    end: int
    set_up: int = 0
    clean_up: int = 0
    who: Who = "builder"
    terms: tuple[tuple[str, int], ...] = ()
    why: str = ""

    @property
    def crew(self) -> int:
        """How many people are at it."""
        return 2 if self.who == "both" else 1

    @property
    def work_minutes(self) -> int:
        """Minutes of work proper."""
        return self.end - self.begin - self.set_up - self.clean_up


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A task that could have been thought of and is not on the sheet, with the reason."""

    task: str
    why: str


@dataclass(frozen=True, slots=True)
class Waiting:
    """A task that only a clock holds, and the instant it may start."""

    task: str
    until: datetime


@dataclass(frozen=True, slots=True)
class Sheet:
    """A run sheet: the answer to a `Question`, lines ordered by begin.

    `worth` is the sum of all terms; `bound` the proved upper bound, None without a proof run;
    `chance` (0..1) that all of it is finished in time; `usable_minutes` the minutes that worth and
    bound refer to; `two_people_minutes` the minutes of its two-person work.
    """

    question: Question
    lines: tuple[Line, ...] = ()
    sheet_terms: tuple[tuple[str, int], ...] = ()
    bound: int | None = None
    proven: bool = False
    likely_minutes: float = 0
    chance: float = 1
    usable_minutes: int = 0
    left_out: tuple[LeftOut, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    two_people_minutes: int = 0

    @property
    def worth(self) -> int:
        """The sum of the lines' terms and the sheet's own."""
        of_lines = sum(value for line in self.lines for _, value in line.terms)
        return of_lines + sum(value for _, value in self.sheet_terms)
