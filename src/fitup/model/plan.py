"""What is to be built: assemblies, bays, tools, items and tasks, as frozen values.

A plan is plain data in the order of its file. Everything derived from it (holds made by
themselves, who waits for whom) is in `holds.py`; everything that happened is in `progress.py`.
Lengths are in the plan's `length_unit`, times in the unit that the field's name says.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from functools import cached_property
from typing import Literal

from fitup.model.frozen import dataclass

HoldKind = Literal["after", "check", "cure", "access", "leave-off", "supply", "sign-off", "stop"]
HOLD_KINDS: tuple[HoldKind, ...] = (
    "after",
    "check",
    "cure",
    "access",
    "leave-off",
    "supply",
    "sign-off",
    "stop",
)
CheckKind = Literal["range", "spread", "straight", "sample", "yes-no"]
Law = Literal["none", "double-18F"]
ItemKind = Literal["consumable", "fastener", "part"]
LengthUnit = Literal["mm", "in"]


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """A time or rate as low, likely and high: its 10 %, middle and 90 % figures."""

    low: float
    likely: float
    high: float

    def times(self, factor: float) -> ThreePoint:
        """Return the three figures, each multiplied by `factor`."""
        return ThreePoint(self.low * factor, self.likely * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class Work:
    """One row of the work table; `seconds` are per unit of the work."""

    id: str
    title: str
    unit: str = ""
    seconds: ThreePoint = ThreePoint(0, 0, 0)
    set_up_minutes: float = 0
    clean_up_minutes: float = 0
    crew: int = 1
    split: bool = False
    loud: bool = False
    filler: bool = False
    helper_alone: bool = False
    tools: tuple[str, ...] = ()
    takes: str = ""
    hole_step: str = ""
    temperature: tuple[float, float] | None = None
    caution: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Assembly:
    """A part of the aircraft that is built as one: "Left flap"."""

    id: str
    title: str


@dataclass(frozen=True, slots=True)
class Bay:
    """A volume that some task closes off."""

    id: str
    title: str


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool, table or jig; `have` of them may be in use at once."""

    id: str
    title: str
    have: int = 1


@dataclass(frozen=True, slots=True)
class Lot:
    """A quantity of one item bought together; `expires` is its last usable day."""

    have: float
    expires: date | None = None


@dataclass(frozen=True, slots=True)
class OnOrder:
    """A quantity on its way and the day it is expected."""

    quantity: float
    expected: date | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """Something used up. `lots` are those of the plan; what is there now is progress."""

    id: str
    title: str
    kind: ItemKind = "consumable"
    unit: str = ""
    lots: tuple[Lot, ...] = ()
    on_order: OnOrder | None = None
    lead_days: int = 0
    spare: float = 0
    temperature: tuple[float, float] | None = None
    humidity: tuple[float, float] | None = None
    part_number: str = ""
    supplier: str = ""


@dataclass(frozen=True, slots=True)
class Cleco:
    """How many temporary fasteners of one size the shop has (clamps: size "clamp")."""

    size: str
    have: int


@dataclass(frozen=True, slots=True)
class Hold:
    """Why a task may not start yet. `own` is false for holds that fitup makes by itself."""

    kind: HoldKind
    until: str | None = None
    why: str = ""
    hours: float = 0
    law: Law = "none"
    witness: bool = False
    by: str = ""
    expected: date | None = None
    item: str = ""
    quantity: float = 0
    own: bool = True


@dataclass(frozen=True, slots=True)
class Within:
    """This task must be finished within `hours` of the begin or finish of task `of`."""

    of: str
    hours: float
    start: Literal["begin", "finish"] = "begin"
    margin_minutes: float = 10


@dataclass(frozen=True, slots=True)
class ClecoLoan:
    """Temporary fasteners lent to an assembly by a task, given back as `until` is done."""

    size: str
    count: int
    until: str


@dataclass(frozen=True, slots=True)
class Occupy:
    """A tool, table or jig taken from this task's first tick until task `until` is done."""

    tool: str
    until: str


@dataclass(frozen=True, slots=True)
class Fasteners:
    """What fastens this task's holes; `grip` in the plan's length unit, `size` in inches as "3/32"."""

    head: str
    material: str
    size: str
    grip: float | None = None
    callout: str = ""
    half: bool = False


@dataclass(frozen=True, slots=True)
class Check:
    """The rule that judges measured values; limits and `uncertainty` are in `unit`."""

    kind: CheckKind
    unit: str = ""
    low: float | None = None
    high: float | None = None
    limit: float | None = None
    uncertainty: float = 0
    stations: tuple[str, ...] = ()
    faces: tuple[str, ...] = ()
    n: int = 0
    allow: int = 0
    question: str = ""


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work that can be ticked; `None` means: as the work table says."""

    id: str
    title: str
    assembly: str
    work: str
    count: int = 1
    size: str = ""
    ref: str = ""
    minutes: ThreePoint | None = None
    crew: int | None = None
    split: bool | None = None
    loud: bool | None = None
    filler: bool | None = None
    late: bool = False
    least: int | None = None
    one_go: str = ""
    tools: tuple[str, ...] = ()
    needs: tuple[tuple[str, float], ...] = ()
    fasteners: Fasteners | None = None
    holes: str = ""
    sheets: tuple[float, ...] = ()
    edge_distance: float | None = None
    pitch: float | None = None
    row_distance: float | None = None
    metals: tuple[str, ...] = ()
    protect: str = ""
    inside: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    photo: bool = False
    holds: tuple[Hold, ...] = ()
    within: tuple[Within, ...] = ()
    clecos: tuple[ClecoLoan, ...] = ()
    occupies: tuple[Occupy, ...] = ()
    check: Check | None = None
    temperature: tuple[float, float] | None = None
    humidity: tuple[float, float] | None = None
    note: str = ""
    caution: str = ""


@dataclass(frozen=True)
class Plan:
    """The whole plan; tuples keep the order of the file. `works` holds the rows that are used.

    `review_off` maps a review rule to the reason why it is switched off in this project.
    """

    title: str = ""
    length_unit: LengthUnit = "mm"
    sessions: str = ""
    use: tuple[str, ...] = ()
    works: tuple[Work, ...] = ()
    assemblies: tuple[Assembly, ...] = ()
    bays: tuple[Bay, ...] = ()
    tools: tuple[Tool, ...] = ()
    items: tuple[Item, ...] = ()
    clecos: tuple[Cleco, ...] = ()
    tasks: tuple[Task, ...] = ()
    review_off: tuple[tuple[str, str], ...] = field(default=())

    @cached_property
    def task(self) -> Mapping[str, Task]:
        """Tasks by id."""
        return {task.id: task for task in self.tasks}

    @cached_property
    def position(self) -> Mapping[str, int]:
        """Place of each task in the plan, from 0."""
        return {task.id: place for place, task in enumerate(self.tasks)}

    @cached_property
    def item(self) -> Mapping[str, Item]:
        """Items by id."""
        return {item.id: item for item in self.items}

    @cached_property
    def tool(self) -> Mapping[str, Tool]:
        """Tools by id."""
        return {tool.id: tool for tool in self.tools}

    @cached_property
    def work(self) -> Mapping[str, Work]:
        """Rows of the work table by id."""
        return {work.id: work for work in self.works}

    def work_of(self, task: Task) -> Work:
        """Return the task's row of the work table; an unknown kind is a row of its own without figures."""
        return self.work.get(task.work) or Work(task.work, task.work)

    def crew_of(self, task: Task) -> int:
        """Return how many people the task needs throughout: 1 or 2."""
        return task.crew if task.crew is not None else self.work_of(task).crew

    def splits(self, task: Task) -> bool:
        """Return whether the task may stop at any count and go on in another session."""
        return task.split if task.split is not None else self.work_of(task).split

    def loud(self, task: Task) -> bool:
        """Return whether the neighbours hear it: not after the quiet hour."""
        return task.loud if task.loud is not None else self.work_of(task).loud

    def fills(self, task: Task) -> bool:
        """Return whether the task may fill gaps and ends but never displaces other work."""
        return task.filler if task.filler is not None else self.work_of(task).filler

    def tools_of(self, task: Task) -> tuple[str, ...]:
        """Return the ids of the tools in hand during the task: the work's, then the task's own."""
        return tuple(dict.fromkeys((*self.work_of(task).tools, *task.tools)))
