"""The tables of a project file, as SQLModel classes: they make the schema and everything written goes through them.

Imported only when something is made or written. Reading goes through sqlite3 by the shapes in `shapes.py`, which
name the same columns (a test holds the two together); no object of these classes leaves this room. Only what
belongs to an owner (a hold to its task, a lot to its item) points at it by a foreign key. Progress points at
nothing: it is kept when an edited plan no longer has its task.

Instants are UTC ISO text, days ISO text, yes and no 1 and 0; a list of plain strings or numbers is JSON text, ""
when empty. `place` is the position in the file's order.
"""

from sqlalchemy import ForeignKeyConstraint
from sqlmodel import Field, SQLModel


def _owned_by(owner: str, column: str) -> tuple[ForeignKeyConstraint]:
    """Tie `column` to the id of `owner`; judged at commit, so that rows may be written in any order."""
    return (ForeignKeyConstraint([column], [f"{owner}.id"], deferrable=True, initially="DEFERRED"),)


class PlanRow(SQLModel, table=True):
    """The plan's own values, in one row; `changed_by` is the number of the entry that last changed any plan table."""

    __tablename__ = "plan"
    id: int = Field(primary_key=True)
    title: str
    length_unit: str
    sessions: str
    libraries: str
    changed_by: int


class ReviewOffRow(SQLModel, table=True):
    """A review rule switched off, with the reason."""

    __tablename__ = "review_off"
    place: int = Field(primary_key=True)
    rule: str
    why: str


class WorkRow(SQLModel, table=True):
    """A row of the work table that the plan uses; seconds per unit of work."""

    __tablename__ = "work"
    id: str = Field(primary_key=True)
    place: int
    title: str
    unit: str
    seconds_low: float
    seconds_likely: float
    seconds_high: float
    set_up_minutes: float
    clean_up_minutes: float
    crew: int
    split: int
    loud: int
    filler: int
    helper_alone: int
    tools: str
    takes: str
    hole_step: str
    temperature_low: float | None
    temperature_high: float | None
    caution: str
    source: str


class AssemblyRow(SQLModel, table=True):
    """A part of the aircraft."""

    __tablename__ = "assembly"
    id: str = Field(primary_key=True)
    place: int
    title: str


class BayRow(SQLModel, table=True):
    """A volume that a task closes off."""

    __tablename__ = "bay"
    id: str = Field(primary_key=True)
    place: int
    title: str


class ToolRow(SQLModel, table=True):
    """A tool, table or jig."""

    __tablename__ = "tool"
    id: str = Field(primary_key=True)
    place: int
    title: str
    have: int


class ItemRow(SQLModel, table=True):
    """Something used up; `order_quantity` is null where nothing is on order in the plan."""

    __tablename__ = "item"
    id: str = Field(primary_key=True)
    place: int
    title: str
    kind: str
    unit: str
    order_quantity: float | None
    order_expected: str | None
    lead_days: int
    spare: float
    temperature_low: float | None
    temperature_high: float | None
    humidity_low: float | None
    humidity_high: float | None
    part_number: str
    supplier: str


class LotRow(SQLModel, table=True):
    """A lot of an item as the plan has it."""

    __tablename__ = "lot"
    __table_args__ = _owned_by("item", "item")
    item: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    have: float
    expires: str | None


class ClecoRow(SQLModel, table=True):
    """Temporary fasteners of one size."""

    __tablename__ = "cleco"
    place: int = Field(primary_key=True)
    size: str
    have: int


class TaskRow(SQLModel, table=True):
    """A task's single values; null: as the work table says, or not given."""

    __tablename__ = "task"
    id: str = Field(primary_key=True)
    place: int
    title: str
    assembly: str
    work: str
    count: int
    size: str
    ref: str
    minutes_low: float | None
    minutes_likely: float | None
    minutes_high: float | None
    crew: int | None
    split: int | None
    loud: int | None
    filler: int | None
    late: int
    least: int | None
    one_go: str
    tools: str
    holes: str
    sheets: str
    edge_distance: float | None
    pitch: float | None
    row_distance: float | None
    metals: str
    protect: str
    inside: str
    closes: str
    photo: int
    temperature_low: float | None
    temperature_high: float | None
    humidity_low: float | None
    humidity_high: float | None
    note: str
    caution: str


class NeedRow(SQLModel, table=True):
    """What a task uses up of an item."""

    __tablename__ = "need"
    __table_args__ = _owned_by("task", "task")
    task: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    item: str
    quantity: float


class FasteningRow(SQLModel, table=True):
    """What fastens a task's holes."""

    __tablename__ = "fastening"
    __table_args__ = _owned_by("task", "task")
    task: str = Field(primary_key=True)
    head: str
    material: str
    size: str
    grip: float | None
    callout: str
    half: int


class HoldRow(SQLModel, table=True):
    """A hold as the plan has it; those that are made by themselves are not kept."""

    __tablename__ = "hold"
    __table_args__ = _owned_by("task", "task")
    task: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    kind: str
    until: str | None
    why: str
    hours: float
    law: str
    witness: int
    by: str
    expected: str | None
    item: str
    quantity: float
    own: int


class WindowRow(SQLModel, table=True):
    """A task must be finished within `hours` of the begin or finish of another."""

    __tablename__ = "time_window"
    __table_args__ = _owned_by("task", "task")
    task: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    of: str
    hours: float
    start: str
    margin_minutes: float


class LoanRow(SQLModel, table=True):
    """Temporary fasteners lent by a task until another is done."""

    __tablename__ = "loan"
    __table_args__ = _owned_by("task", "task")
    task: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    size: str
    count: int
    until: str


class OccupationRow(SQLModel, table=True):
    """A tool, table or jig taken by a task until another is done."""

    __tablename__ = "occupation"
    __table_args__ = _owned_by("task", "task")
    task: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    tool: str
    until: str


class CheckRow(SQLModel, table=True):
    """The rule that judges a check task's readings."""

    __tablename__ = "check_rule"
    __table_args__ = _owned_by("task", "task")
    task: str = Field(primary_key=True)
    kind: str
    unit: str
    low: float | None
    high: float | None
    most: float | None
    uncertainty: float
    stations: str
    faces: str
    n: int
    allow: int
    question: str
