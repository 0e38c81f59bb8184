"""What has happened so far, as frozen values keyed like the plan.

`Progress` is the fold of the journal. Its mappings are never changed in place: `apply.py` copies
the one it changes. All instants are aware datetimes in UTC.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date, datetime
from typing import Literal

from fitup.model.frozen import dataclass
from fitup.model.plan import Lot, OnOrder, Plan

VerdictWord = Literal["pass", "fail", "too close to call"]
Readings = tuple[tuple[str, tuple[float, ...]], ...]
"""Measured values: per station or position its figures; one entry named "" for a plain list."""


@dataclass(frozen=True, slots=True)
class TaskProgress:
    """How far one task is.

    `done` counts units; `begun_at` and `finished_at` are the begin of its first and the end of its
    last piece of work in this round, `ticked_at` the end of its latest piece; `minutes` is the
    bench time logged; `rounds` counts restarts of a mix; `before_holds` names tasks reopened after
    this one was done ("done before its hold").
    """

    done: int = 0
    begun_at: datetime | None = None
    finished_at: datetime | None = None
    ticked_at: datetime | None = None
    minutes: float = 0
    reopened: bool = False
    look_again: bool = False
    rounds: int = 0
    before_holds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Waiver:
    """A hold (or the limit "within") set aside with a reason, shown in every record afterwards."""

    task: str
    kind: str
    until: str
    why: str
    by: str
    at: datetime
    second: str = ""


@dataclass(frozen=True, slots=True)
class Lift:
    """A person's word that lifts a hold: a stop of the plan, or the witness sample of a cure."""

    task: str
    kind: str
    until: str
    why: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Stop:
    """A stop that a person has put on a task; `number` tells several on one task apart."""

    task: str
    number: int
    why: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signed a task's sign-off hold, in which role."""

    task: str
    role: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class CureHours:
    """Hours of a cure corrected by a person, in place of the plan's."""

    task: str
    until: str
    hours: float
    why: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Measurement:
    """Readings taken for a check task and the verdict on them; `decided` where a person called it."""

    task: str
    readings: Readings
    verdict: VerdictWord
    figure: float | None
    limit: float | None
    by: str
    at: datetime
    decided: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo on file for a task: the path as given, and its SHA-256 where the file was there."""

    task: str
    file: str
    sha256: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Note:
    """A remark on a task; `next_time` is shown first at the next session."""

    task: str
    text: str
    next_time: bool
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class ShopTemperature:
    """A reading of the shop's temperature; `low` is the lowest since the reading before it. Celsius."""

    at: datetime
    celsius: float
    low: float | None = None


@dataclass(frozen=True, slots=True)
class BenchTime:
    """A stretch of bench time by the clock, on one task or ("") on the session as a whole."""

    task: str
    begin: datetime
    end: datetime
    by: str


@dataclass(frozen=True, slots=True)
class Stock:
    """What is there of one item now, and what is on its way."""

    lots: tuple[Lot, ...] = ()
    on_order: OnOrder | None = None

    def in_date(self, day: date) -> float:
        """Return the quantity that may still be used on `day`."""
        return sum(lot.have for lot in self.lots if lot.expires is None or lot.expires >= day)


@dataclass(frozen=True, slots=True)
class Progress:
    """Everything that happened, by what it concerns.

    `clocks` are running clocks: task id or "" for the session, to (begin, by). `stock` holds only
    items whose stock differs from the plan's. `laid_out` are bench lines ticked as laid out.
    """

    tasks: Mapping[str, TaskProgress] = field(default_factory=dict)
    waivers: Mapping[tuple[str, str, str], Waiver] = field(default_factory=dict)
    lifts: Mapping[tuple[str, str, str], Lift] = field(default_factory=dict)
    stops: Mapping[tuple[str, int], Stop] = field(default_factory=dict)
    signatures: Mapping[tuple[str, str], Signature] = field(default_factory=dict)
    cures: Mapping[tuple[str, str], CureHours] = field(default_factory=dict)
    stock: Mapping[str, Stock] = field(default_factory=dict)
    clocks: Mapping[str, tuple[datetime, str]] = field(default_factory=dict)
    measurements: tuple[Measurement, ...] = ()
    photos: tuple[Photo, ...] = ()
    notes: tuple[Note, ...] = ()
    temperatures: tuple[ShopTemperature, ...] = ()
    bench_times: tuple[BenchTime, ...] = ()
    laid_out: frozenset[str] = frozenset()

    def of(self, task_id: str) -> TaskProgress:
        """Return the progress of one task; an untouched task has none done."""
        return self.tasks.get(task_id, _UNTOUCHED)

    def latest(self, task_id: str) -> Measurement | None:
        """Return the latest measurement of a check task, or None."""
        for measurement in reversed(self.measurements):
            if measurement.task == task_id:
                return measurement
        return None

    def photographed(self, task_id: str) -> bool:
        """Return whether a photo of the task is on file."""
        return any(photo.task == task_id for photo in self.photos)


_UNTOUCHED = TaskProgress()


@dataclass(frozen=True, slots=True)
class Project:
    """A plan and what has happened to it: the whole content of a project file."""

    plan: Plan = field(default_factory=Plan)
    progress: Progress = field(default_factory=Progress)

    def done(self, task_id: str) -> bool:
        """Return whether the task's whole count is done."""
        task = self.plan.task[task_id]
        return self.progress.of(task_id).done >= task.count

    def open_count(self, task_id: str) -> int:
        """Return how many units of the task are still to be done."""
        return max(0, self.plan.task[task_id].count - self.progress.of(task_id).done)

    def stock(self, item_id: str) -> Stock:
        """Return what is there of an item now."""
        known = self.progress.stock.get(item_id)
        if known is not None:
            return known
        item = self.plan.item[item_id]
        return Stock(item.lots, item.on_order)
