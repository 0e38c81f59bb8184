"""One frozen class per thing that can happen: the entries of the journal.

An edit is a fact, complete in itself: times, verdicts and stock drawn are already worked out when
it is made (see `fitup.acts`), so that `apply.py` needs nothing but the project and the edit, and
replaying the journal gives the same project for ever. All instants are aware UTC datetimes.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal, TypeAlias

from fitup.model.frozen import dataclass
from fitup.model.plan import Plan
from fitup.model.progress import Readings, VerdictWord


@dataclass(frozen=True, slots=True)
class AdoptPlan:
    """A plan comes into the project: the first one, or an edited one (progress is kept)."""

    plan: Plan


@dataclass(frozen=True, slots=True)
class Tick:
    """`count` units done, from `begun_at` to `finished_at`; `minutes` None where nobody timed it.

    `used` is the stock drawn: (item id, quantity).
    """

    task: str
    count: int
    begun_at: datetime
    finished_at: datetime
    minutes: float | None = None
    used: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Measure:
    """Readings for a check task with their verdict; a pass ticks the task, a fail reopens it."""

    task: str
    readings: Readings
    verdict: VerdictWord
    figure: float | None
    limit: float | None
    finished_at: datetime
    decided: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True)
class Reopen:
    """`count` done units are no longer done (rivets drilled out)."""

    task: str
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class Again:
    """A mix is started afresh: nothing of the task is done, and no marks are left on others."""

    task: str


@dataclass(frozen=True, slots=True)
class LiftHold:
    """A person's word lifts a plan's stop or a witnessed cure (`until` "" for a stop)."""

    task: str
    kind: Literal["stop", "cure"]
    until: str
    why: str


@dataclass(frozen=True, slots=True)
class LiftStop:
    """A stop put on by a person is taken off again."""

    task: str
    number: int
    why: str


@dataclass(frozen=True, slots=True)
class Waive:
    """A hold, or with kind "within" a time window, is set aside with a reason."""

    task: str
    kind: str
    until: str
    why: str
    second: str = ""


@dataclass(frozen=True, slots=True)
class PutStop:
    """Tasks are stopped by a person; those already done are marked "look again"."""

    tasks: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class Sign:
    """A person in `role` signs a task's sign-off at `signed_at`."""

    task: str
    role: str
    signed_at: datetime


@dataclass(frozen=True, slots=True)
class SetCure:
    """The hours of a cure are corrected."""

    task: str
    until: str
    hours: float
    why: str


@dataclass(frozen=True, slots=True)
class AddPhoto:
    """A photo of a task goes on file."""

    task: str
    file: str
    sha256: str = ""


@dataclass(frozen=True, slots=True)
class AddNote:
    """A remark on a task."""

    task: str
    text: str
    next_time: bool = False


@dataclass(frozen=True, slots=True)
class TakeTemperature:
    """The shop's temperature at `taken_at`, and the lowest since the last reading. Celsius."""

    celsius: float
    low: float | None
    taken_at: datetime


@dataclass(frozen=True, slots=True)
class StartClock:
    """The clock runs on a task, or ("") on the session, from `began_at`."""

    task: str
    began_at: datetime


@dataclass(frozen=True, slots=True)
class StopClock:
    """A running clock stops at `ended_at`."""

    task: str
    ended_at: datetime


@dataclass(frozen=True, slots=True)
class ChangeStock:
    """Stock of an item goes up or down by `change`, or is counted: `total`; `expires` dates what comes in."""

    item: str
    change: float | None = None
    total: float | None = None
    expires: date | None = None


@dataclass(frozen=True, slots=True)
class Arrive:
    """What was on order of an item is there."""

    item: str
    expires: date | None = None


@dataclass(frozen=True, slots=True)
class LayOut:
    """A line of the bench list is laid out, or put back."""

    line: str
    out: bool = True


@dataclass(frozen=True, slots=True)
class Undo:
    """The latest edit that still holds is taken back."""


@dataclass(frozen=True, slots=True)
class Redo:
    """The edit taken back last is made again."""


Edit: TypeAlias = (
    AdoptPlan
    | Tick
    | Measure
    | Reopen
    | Again
    | LiftHold
    | LiftStop
    | Waive
    | PutStop
    | Sign
    | SetCure
    | AddPhoto
    | AddNote
    | TakeTemperature
    | StartClock
    | StopClock
    | ChangeStock
    | Arrive
    | LayOut
)
"""What changes a project by itself."""

Act: TypeAlias = Edit | Undo | Redo
"""What an entry of the journal may hold."""

EDIT_NAMES: dict[str, type] = {
    "plan": AdoptPlan,
    "tick": Tick,
    "measure": Measure,
    "reopen": Reopen,
    "again": Again,
    "lift": LiftHold,
    "lift-stop": LiftStop,
    "waive": Waive,
    "stop": PutStop,
    "sign": Sign,
    "cure": SetCure,
    "photo": AddPhoto,
    "note": AddNote,
    "temperature": TakeTemperature,
    "clock-start": StartClock,
    "clock-stop": StopClock,
    "stock": ChangeStock,
    "arrived": Arrive,
    "lay-out": LayOut,
    "undo": Undo,
    "redo": Redo,
}
"""The name of each act in the journal."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the journal: what happened, by whom, when it was written."""

    number: int
    at: datetime
    by: str
    act: Act

    @property
    def name(self) -> str:
        """The journal's name for the act."""
        return _NAMES[type(self.act)]


_NAMES = {kind: name for name, kind in EDIT_NAMES.items()}
