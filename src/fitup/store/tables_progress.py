"""The tables of a project file for what happened: progress as it stands, and the journal that it is the fold of.

See `tables.py` for how values are written.
"""

from sqlmodel import Field, SQLModel


class TaskProgressRow(SQLModel, table=True):
    """How far a task is."""

    __tablename__ = "task_progress"
    task: str = Field(primary_key=True)
    done: int
    begun_at: str | None
    finished_at: str | None
    ticked_at: str | None
    minutes: float
    reopened: int
    look_again: int
    rounds: int
    before_holds: str


class WaiverRow(SQLModel, table=True):
    """A hold set aside."""

    __tablename__ = "waiver"
    task: str = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    until: str = Field(primary_key=True)
    why: str
    by: str
    at: str
    second: str


class LiftRow(SQLModel, table=True):
    """A hold lifted by a person's word."""

    __tablename__ = "lift"
    task: str = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    until: str = Field(primary_key=True)
    why: str
    by: str
    at: str


class StopRow(SQLModel, table=True):
    """A stop put on a task by a person."""

    __tablename__ = "stop"
    task: str = Field(primary_key=True)
    number: int = Field(primary_key=True)
    why: str
    by: str
    at: str


class SignatureRow(SQLModel, table=True):
    """A sign-off signed."""

    __tablename__ = "signature"
    task: str = Field(primary_key=True)
    role: str = Field(primary_key=True)
    by: str
    at: str


class CureHoursRow(SQLModel, table=True):
    """Hours of a cure corrected."""

    __tablename__ = "cure_hours"
    task: str = Field(primary_key=True)
    until: str = Field(primary_key=True)
    hours: float
    why: str
    by: str
    at: str


class StockRow(SQLModel, table=True):
    """An item whose stock differs from the plan's; `order_quantity` is null where nothing is on order."""

    __tablename__ = "stock"
    item: str = Field(primary_key=True)
    order_quantity: float | None
    order_expected: str | None


class StockLotRow(SQLModel, table=True):
    """A lot of an item as it is now."""

    __tablename__ = "stock_lot"
    item: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    have: float
    expires: str | None


class ClockRow(SQLModel, table=True):
    """A running clock, on a task or ("") the session."""

    __tablename__ = "clock"
    task: str = Field(primary_key=True)
    begin: str
    by: str


class MeasurementRow(SQLModel, table=True):
    """Readings and their verdict; `readings` is JSON: a list of [name, [figures]]."""

    __tablename__ = "measurement"
    place: int = Field(primary_key=True)
    task: str
    readings: str
    verdict: str
    figure: float | None
    most: float | None
    by: str
    at: str
    decided: int
    why: str


class PhotoRow(SQLModel, table=True):
    """A photo on file."""

    __tablename__ = "photo"
    place: int = Field(primary_key=True)
    task: str
    file: str
    sha256: str
    by: str
    at: str


class NoteRow(SQLModel, table=True):
    """A remark on a task."""

    __tablename__ = "note"
    place: int = Field(primary_key=True)
    task: str
    text: str
    next_time: int
    by: str
    at: str


class TemperatureRow(SQLModel, table=True):
    """A reading of the shop's temperature, Celsius."""

    __tablename__ = "temperature"
    place: int = Field(primary_key=True)
    at: str
    celsius: float
    low: float | None


class BenchTimeRow(SQLModel, table=True):
    """A stretch of bench time by the clock."""

    __tablename__ = "bench_time"
    place: int = Field(primary_key=True)
    task: str
    begin: str
    end: str
    by: str


class LaidOutRow(SQLModel, table=True):
    """A line of the bench list that is laid out."""

    __tablename__ = "laid_out"
    line: str = Field(primary_key=True)


class EntryRow(SQLModel, table=True):
    """One entry of the journal: when, by whom, the act's name, and the act as JSON."""

    __tablename__ = "entry"
    number: int = Field(primary_key=True)
    at: str
    by: str
    name: str
    edit: str
