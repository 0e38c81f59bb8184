"""What a person may ask for, one frozen class each, as commands, screens and journals give it.

An ask names as little as a person would type; `resolve.py` works out the rest (begin of the work,
verdict, stock drawn) and refuses what makes no sense now. `at` None means now.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal, TypeAlias

from fitup.model.frozen import dataclass
from fitup.model.progress import Readings


@dataclass(frozen=True, slots=True)
class AskTick:
    """Done: wholly (`count` None) or `count` more units; `minutes` timed; finished `at`."""

    task: str
    count: int | None = None
    minutes: float | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class AskMeasure:
    """Judge these readings; `decide` calls a figure that is too close to call."""

    task: str
    readings: Readings
    decide: Literal["pass", "fail"] | None = None
    why: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class AskReopen:
    """Done work is no longer done, wholly or `count` units of it."""

    task: str
    why: str
    count: int | None = None


@dataclass(frozen=True, slots=True)
class AskAgain:
    """Start a mix afresh."""

    task: str


@dataclass(frozen=True, slots=True)
class AskLift:
    """Lift a stop, or say that a witness sample is cured."""

    task: str
    kind: str
    why: str
    until: str | None = None


@dataclass(frozen=True, slots=True)
class AskWaive:
    """Set a hold or a time window aside."""

    task: str
    kind: str
    why: str
    until: str | None = None
    second: str = ""
    sure_to_close: bool = False


@dataclass(frozen=True, slots=True)
class AskStop:
    """Stop one task, or every task whose drawing reference is `ref`."""

    why: str
    task: str | None = None
    ref: str | None = None


@dataclass(frozen=True, slots=True)
class AskSign:
    """Sign a task's sign-off in a role."""

    task: str
    role: str
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class AskCure:
    """Correct the hours of a cure."""

    task: str
    until: str
    hours: float
    why: str


@dataclass(frozen=True, slots=True)
class AskPhoto:
    """Put a photo on file; `must_exist` is false only when an old journal is replayed."""

    task: str
    file: str
    must_exist: bool = True


@dataclass(frozen=True, slots=True)
class AskNote:
    """Note something on a task; `next_time` shows it first next morning."""

    task: str
    text: str
    next_time: bool = False


@dataclass(frozen=True, slots=True)
class AskTemperature:
    """Record the shop's temperature, Celsius, and its lowest since the last reading."""

    celsius: float
    low: float | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class AskClock:
    """Start or stop the clock, on a task or (None) on the session."""

    start: bool
    task: str | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class AskStock:
    """Stock of an item: `change` up or down, or `total` as counted."""

    item: str
    change: float | None = None
    total: float | None = None
    expires: date | None = None


@dataclass(frozen=True, slots=True)
class AskArrived:
    """What was on order is there."""

    item: str
    expires: date | None = None


@dataclass(frozen=True, slots=True)
class AskLayOut:
    """Tick a line of the bench list as laid out, or put it back."""

    line: str
    out: bool = True


@dataclass(frozen=True, slots=True)
class AskUndo:
    """Take back the latest entry."""


@dataclass(frozen=True, slots=True)
class AskRedo:
    """Make the entry taken back last again."""


Ask: TypeAlias = (
    AskTick
    | AskMeasure
    | AskReopen
    | AskAgain
    | AskLift
    | AskWaive
    | AskStop
    | AskSign
    | AskCure
    | AskPhoto
    | AskNote
    | AskTemperature
    | AskClock
    | AskStock
    | AskArrived
    | AskLayOut
    | AskUndo
    | AskRedo
)
