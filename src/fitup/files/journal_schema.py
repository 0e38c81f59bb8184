"""The lines of a written journal as declared tables: one act a line, told apart by `do`."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, ConfigDict, Field, TypeAdapter, ValidationError, model_validator

from fitup.files.values import Count, Figure, Hours, Minutes, Prose, Quantity, Reference, Table, Words, key


def _day_text(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise ValueError("is no day; write it as 2026-12-10") from None
    return text


def _readings(given: object) -> object:
    figures = TypeAdapter(dict[str, list[Figure]], config=ConfigDict(strict=True, allow_inf_nan=False))
    if given in ("yes", "no"):
        return given
    table = given if isinstance(given, dict) else {"": given}
    try:
        figures.validate_python({name: value if isinstance(value, list) else [value] for name, value in table.items()})
    except ValidationError:
        raise ValueError('holds no readings; write "yes", "no", numbers in [ ] or {"root": [402.5, 402.0]}') from None
    return given


DayText = Annotated[str, AfterValidator(_day_text)]
Readings = Annotated[Any, AfterValidator(_readings)]


class JournalLine(Table):
    """What every line has."""

    at: Words = key(..., "local time: when it was finished, or happened")
    by: Words = key(..., "who did it")


class TickLine(JournalLine):
    """Work done."""

    do: Literal["tick"]
    task: Reference
    count: Count | None = None
    minutes: Minutes | None = None


class MeasureLine(JournalLine):
    """Readings taken."""

    do: Literal["measure"]
    task: Reference
    readings: Readings
    decide: Literal["pass", "fail"] | None = None
    why: Prose = ""


class ReopenLine(JournalLine):
    """Done work no longer done."""

    do: Literal["reopen"]
    task: Reference
    why: Prose
    count: Count | None = None


class AgainLine(JournalLine):
    """A mix started afresh."""

    do: Literal["again"]
    task: Reference


class LiftLine(JournalLine):
    """A stop lifted, or a witness sample cured."""

    do: Literal["lift"]
    task: Reference
    kind: Words
    why: Prose
    until: Reference | None = None


class WaiveLine(JournalLine):
    """A hold or window set aside."""

    do: Literal["waive"]
    task: Reference
    kind: Words
    why: Prose
    until: Reference | None = None
    second: Words = ""
    sure_to_close: bool = False


class StopLine(JournalLine):
    """One task stopped, or all of a drawing reference."""

    do: Literal["stop"]
    why: Prose
    task: Reference | None = None
    ref: Words | None = None

    @model_validator(mode="after")
    def _names_one(self) -> StopLine:
        if (self.task is None) == (self.ref is None):
            raise ValueError("names no task and no reference, or both; give one of `task` and `ref`")
        return self


class SignLine(JournalLine):
    """A signature."""

    do: Literal["sign"]
    task: Reference
    role: Words


class CureLine(JournalLine):
    """Hours of a cure corrected."""

    do: Literal["cure"]
    task: Reference
    until: Reference
    hours: Hours
    why: Prose


class PhotoLine(JournalLine):
    """A photo on file."""

    do: Literal["photo"]
    task: Reference
    file: Words


class NoteLine(JournalLine):
    """A remark."""

    do: Literal["note"]
    task: Reference
    text: Prose
    next: bool = False


class TemperatureLine(JournalLine):
    """The shop's temperature."""

    do: Literal["temperature"]
    celsius: Figure
    low: Figure | None = None


class ClockLine(JournalLine):
    """The clock started or stopped."""

    do: Literal["clock"]
    start: bool
    task: Reference | None = None


class StockLine(JournalLine):
    """Stock up, down, or counted."""

    do: Literal["stock"]
    item: Reference
    add: Quantity | None = None
    take: Quantity | None = None
    set: Quantity | None = None
    expires: DayText | None = None

    @model_validator(mode="after")
    def _says_one(self) -> StockLine:
        if sum(value is not None for value in (self.add, self.take, self.set)) != 1:
            raise ValueError("changes nothing, or twice; give one of `add`, `take` and `set`")
        return self


class ArrivedLine(JournalLine):
    """An order arrived."""

    do: Literal["arrived"]
    item: Reference
    expires: DayText | None = None


class UndoLine(JournalLine):
    """The latest entry taken back."""

    do: Literal["undo"]


class RedoLine(JournalLine):
    """The entry taken back made again."""

    do: Literal["redo"]


Line = Annotated[
    TickLine
    | MeasureLine
    | ReopenLine
    | AgainLine
    | LiftLine
    | WaiveLine
    | StopLine
    | SignLine
    | CureLine
    | PhotoLine
    | NoteLine
    | TemperatureLine
    | ClockLine
    | StockLine
    | ArrivedLine
    | UndoLine
    | RedoLine,
    Field(discriminator="do"),
]


class WrittenLine(Table):
    """One line under a name, so that its mistakes are worded as everywhere else."""

    line: Line
