"""Names and kinds of the columns of every table, for reading by sqlite3 alone.

The same columns are in `tables.py` and `tables_progress.py`, which cannot be imported while a file is opened: they
bring SQLModel with them. A file may have been written by anyone, and SQLite keeps any value in any column, so
what is read is held against these kinds.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from operator import gt, itemgetter
from typing import Any, TypeAlias

Row: TypeAlias = tuple[Any, ...]
"""The values of one row, in the order of its shape's columns."""

_KINDS: Mapping[str, frozenset[type]] = {
    "text": frozenset({str}),
    "int": frozenset({int}),
    "real": frozenset({float, int}),
    "text?": frozenset({str, type(None)}),
    "int?": frozenset({int, type(None)}),
    "real?": frozenset({float, int, type(None)}),
}


class Damaged(ValueError):
    """A value in the file that fitup did not write; the text says where it is."""


@dataclass(frozen=True)
class Shape:
    """One table: its name, its columns as "name:kind ...", how many of them lead as the key, the reading order.

    The order is that of a column, of "rowid" (as first written), or, where it is empty, none.
    """

    table: str
    spec: str
    keys: int
    order: str

    @cached_property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, the key first."""
        return tuple(part.partition(":")[0] for part in self.spec.split())

    @cached_property
    def kinds(self) -> tuple[str, ...]:
        """Kind of each column: text, int or real, with ? where it may be null."""
        return tuple(part.partition(":")[2] or "text" for part in self.spec.split())

    def key(self, row: Row) -> Row:
        """Return the key of a row."""
        return row[: self.keys]

    def read(self, connection: sqlite3.Connection) -> list[Row]:
        """Return all rows in their order; raises `Damaged` where a value is not of its column's kind."""
        return self._read(connection)[0]

    def read_columns(self, connection: sqlite3.Connection) -> dict[str, tuple[Any, ...]]:
        """Return the table as one tuple for each column, by name; quicker than rows where there are thousands."""
        return dict(zip(self.columns, self._read(connection)[1], strict=True))

    def _read(self, connection: sqlite3.Connection) -> tuple[list[Row], list[tuple[Any, ...]]]:
        """Return all rows in their order, and the same as columns."""
        # Brackets: a name in double quotes that is no column would be read as a text.
        names = ", ".join(f"[{name}]" for name in self.columns)
        written = " ORDER BY rowid" if self.order == "rowid" else ""
        rows: list[Row] = connection.execute(f"SELECT {names} FROM [{self.table}]{written}").fetchall()
        if not rows:
            return rows, [()] * len(self.columns)
        columns = list(zip(*rows, strict=True))
        for name, kind, column in zip(self.columns, self.kinds, columns, strict=True):
            if not _KINDS[kind].issuperset(map(type, column)):
                raise Damaged(f"table {self.table} has a value of the wrong kind in column {name}")
        if self.order in self.columns:
            # Rows nearly always lie in their order already, so that this takes less time than SQLite's sorting.
            place = self.columns.index(self.order)
            if any(map(gt, columns[place], columns[place][1:])):
                rows.sort(key=itemgetter(place))
                columns = list(zip(*rows, strict=True))
        return rows, columns


def _plan(table: str, spec: str) -> Shape:
    return Shape(table, spec, 1, "place")


def _part(table: str, spec: str, keys: int = 2) -> Shape:
    """Return the shape of what belongs to an owner, whose id is the first column: the owner's first part first."""
    return Shape(table, spec, keys, "place" if keys == 2 else "")


def _state(table: str, spec: str, keys: int) -> Shape:
    """Return the shape of a mapping of progress; rows come in the order in which they were first written."""
    return Shape(table, spec, keys, "rowid")


_SPANS = "temperature_low:real? temperature_high:real?"
_CLIMATE = f"{_SPANS} humidity_low:real? humidity_high:real?"

PLAN = Shape("plan", "id:int title length_unit sessions libraries changed_by:int", 1, "id")
REVIEW_OFF = _plan("review_off", "place:int rule why")
WORK = _plan(
    "work",
    "id place:int title unit seconds_low:real seconds_likely:real seconds_high:real set_up_minutes:real "
    "clean_up_minutes:real crew:int split:int loud:int filler:int helper_alone:int tools takes hole_step "
    f"{_SPANS} caution source",
)
ASSEMBLY = _plan("assembly", "id place:int title")
BAY = _plan("bay", "id place:int title")
TOOL = _plan("tool", "id place:int title have:int")
ITEM = _plan(
    "item",
    f"id place:int title kind unit order_quantity:real? order_expected:text? lead_days:int spare:real {_CLIMATE} "
    "part_number supplier",
)
LOT = _part("lot", "item place:int have:real expires:text?")
CLECO = _plan("cleco", "place:int size have:int")
TASK = _plan(
    "task",
    "id place:int title assembly work count:int size ref minutes_low:real? minutes_likely:real? minutes_high:real? "
    "crew:int? split:int? loud:int? filler:int? late:int least:int? one_go tools holes sheets edge_distance:real? "
    f"pitch:real? row_distance:real? metals protect inside closes photo:int {_CLIMATE} note caution",
)
NEED = _part("need", "task place:int item quantity:real")
FASTENING = _part("fastening", "task head material size grip:real? callout half:int", 1)
HOLD = _part(
    "hold",
    "task place:int kind until:text? why hours:real law witness:int by expected:text? item quantity:real own:int",
)
WINDOW = _part("time_window", "task place:int of hours:real start margin_minutes:real")
LOAN = _part("loan", "task place:int size count:int until")
OCCUPATION = _part("occupation", "task place:int tool until")
CHECK = _part(
    "check_rule",
    "task kind unit low:real? high:real? most:real? uncertainty:real stations faces n:int allow:int question",
    1,
)

PLAN_SHAPES = (
    *(PLAN, REVIEW_OFF, WORK, ASSEMBLY, BAY, TOOL, ITEM, LOT, CLECO),
    *(TASK, NEED, FASTENING, HOLD, WINDOW, LOAN, OCCUPATION, CHECK),
)
"""Every table of the plan."""

TASK_PROGRESS = _state(
    "task_progress",
    "task done:int begun_at:text? finished_at:text? ticked_at:text? minutes:real reopened:int look_again:int "
    "rounds:int before_holds",
    1,
)
WAIVER = _state("waiver", "task kind until why by at second", 3)
LIFT = _state("lift", "task kind until why by at", 3)
STOP = _state("stop", "task number:int why by at", 2)
SIGNATURE = _state("signature", "task role by at", 2)
CURE_HOURS = _state("cure_hours", "task until hours:real why by at", 2)
STOCK = _state("stock", "item order_quantity:real? order_expected:text?", 1)
STOCK_LOT = _part("stock_lot", "item place:int have:real expires:text?")
CLOCK = _state("clock", "task begin by", 1)
MEASUREMENT = _plan("measurement", "place:int task readings verdict figure:real? most:real? by at decided:int why")
PHOTO = _plan("photo", "place:int task file sha256 by at")
NOTE = _plan("note", "place:int task text next_time:int by at")
TEMPERATURE = _plan("temperature", "place:int at celsius:real low:real?")
BENCH_TIME = _plan("bench_time", "place:int task begin end by")
LAID_OUT = _state("laid_out", "line", 1)

PROGRESS_SHAPES = (
    *(TASK_PROGRESS, WAIVER, LIFT, STOP, SIGNATURE, CURE_HOURS, STOCK, STOCK_LOT, CLOCK),
    *(MEASUREMENT, PHOTO, NOTE, TEMPERATURE, BENCH_TIME, LAID_OUT),
)
"""Every table of what happened."""

ENTRY = Shape("entry", "number:int at by name edit", 1, "number")

SHAPES = {shape.table: shape for shape in (*PLAN_SHAPES, *PROGRESS_SHAPES, ENTRY)}
"""Every table by name."""
