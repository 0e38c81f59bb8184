"""What happened as rows of its tables, and back; and which rows differ between two states of a project."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Hashable, Mapping
from dataclasses import field
from typing import Any

from fitup.model.frozen import dataclass
from fitup.model.plan import Lot
from fitup.model.progress import (
    BenchTime,
    CureHours,
    Lift,
    Measurement,
    Note,
    Photo,
    Progress,
    Project,
    ShopTemperature,
    Signature,
    Stock,
    Stop,
    TaskProgress,
    Waiver,
)
from fitup.model.refusal import Refused
from fitup.store import cells as c
from fitup.store import shapes as s
from fitup.store.plan_rows import by_owner, plan_row, plan_rows
from fitup.store.shapes import Row, Shape


@dataclass(frozen=True, slots=True)
class RowChanges:
    """What brings the tables from one project to another: rows to put and keys of rows to remove, by table."""

    put: dict[Shape, list[Row]] = field(default_factory=dict)
    remove: dict[Shape, list[Row]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Part:
    """One table of progress: the field it keeps, that field's values by key, and the row of one value."""

    shape: Shape
    field: str
    values: Callable[[Any], Mapping[Any, Any]]
    row: Callable[[Any, Any], Row]


def _same(values: Mapping[Any, Any]) -> Mapping[Any, Any]:
    return values


def _numbered(values: tuple[Any, ...]) -> Mapping[Any, Any]:
    return dict(enumerate(values))


def _lots(stock: Mapping[str, Stock]) -> Mapping[Any, Any]:
    return {(item, place): lot for item, there in stock.items() for place, lot in enumerate(there.lots)}


def _task_row(task: str, state: TaskProgress) -> Row:
    return (
        *(task, state.done, c.maybe_instant_cell(state.begun_at), c.maybe_instant_cell(state.finished_at)),
        *(c.maybe_instant_cell(state.ticked_at), state.minutes, int(state.reopened), int(state.look_again)),
        *(state.rounds, c.list_cell(state.before_holds)),
    )


def _measurement_row(place: int, m: Measurement) -> Row:
    return (
        *(place, m.task, c.list_cell(m.readings), m.verdict, m.figure, m.limit, m.by, c.instant_cell(m.at)),
        *(int(m.decided), m.why),
    )


_PARTS: tuple[_Part, ...] = (
    _Part(s.TASK_PROGRESS, "tasks", _same, _task_row),
    _Part(s.WAIVER, "waivers", _same, lambda key, w: (*key, w.why, w.by, c.instant_cell(w.at), w.second)),
    _Part(s.LIFT, "lifts", _same, lambda key, lift: (*key, lift.why, lift.by, c.instant_cell(lift.at))),
    _Part(s.STOP, "stops", _same, lambda key, stop: (*key, stop.why, stop.by, c.instant_cell(stop.at))),
    _Part(s.SIGNATURE, "signatures", _same, lambda key, sign: (*key, sign.by, c.instant_cell(sign.at))),
    _Part(
        s.CURE_HOURS, "cures", _same, lambda key, cure: (*key, cure.hours, cure.why, cure.by, c.instant_cell(cure.at))
    ),
    _Part(s.STOCK, "stock", _same, lambda item, stock: (item, *c.order_cells(stock.on_order))),
    _Part(s.STOCK_LOT, "stock", _lots, lambda key, lot: (*key, lot.have, c.day_cell(lot.expires))),
    _Part(s.CLOCK, "clocks", _same, lambda task, run: (task, c.instant_cell(run[0]), run[1])),
    _Part(s.MEASUREMENT, "measurements", _numbered, _measurement_row),
    _Part(s.PHOTO, "photos", _numbered, lambda n, p: (n, p.task, p.file, p.sha256, p.by, c.instant_cell(p.at))),
    _Part(s.NOTE, "notes", _numbered, lambda n, o: (n, o.task, o.text, int(o.next_time), o.by, c.instant_cell(o.at))),
    _Part(s.TEMPERATURE, "temperatures", _numbered, lambda n, t: (n, c.instant_cell(t.at), t.celsius, t.low)),
    _Part(
        *(s.BENCH_TIME, "bench_times", _numbered),
        lambda n, b: (n, b.task, c.instant_cell(b.begin), c.instant_cell(b.end), b.by),
    ),
    _Part(s.LAID_OUT, "laid_out", lambda lines: dict.fromkeys(sorted(lines), True), lambda line, _: (line,)),
)


def row_changes(old: Project, new: Project, number: int) -> RowChanges:
    """Return what brings the tables from `old` to `new` by entry `number`.

    Values are told apart by identity first, so that a tick in a large project costs next to nothing.
    """
    changes = RowChanges()
    if new.plan is not old.plan and new.plan != old.plan:
        changes.put[s.PLAN] = [plan_row(new.plan, number)]
        before, after = plan_rows(old.plan), plan_rows(new.plan)
        for shape, rows in after.items():
            _compare(changes, shape, {shape.key(row): row for row in before[shape]}, rows)
    for part in _PARTS:
        was, now = getattr(old.progress, part.field), getattr(new.progress, part.field)
        if was is not now:
            _compare_values(changes, part, part.values(was), part.values(now))
    return changes


def _compare(changes: RowChanges, shape: Shape, before: dict[Row, Row], rows: list[Row]) -> None:
    keys = {shape.key(row) for row in rows}
    if len(keys) < len(rows):
        raise Refused(f"the plan has the same id twice among its {shape.table} rows; give each its own")
    put = [row for row in rows if before.get(shape.key(row)) != row]
    gone = before.keys() - keys
    if put:
        changes.put[shape] = put
    if gone:
        changes.remove[shape] = sorted(gone)


def _compare_values(
    changes: RowChanges, part: _Part, before: Mapping[Hashable, Any], after: Mapping[Hashable, Any]
) -> None:
    put = []
    for key, value in after.items():
        former = before.get(key)
        if former is not value and former != value:
            put.append(part.row(key, value))
    gone = [key if isinstance(key, tuple) else (key,) for key in before if key not in after]
    if put:
        changes.put[part.shape] = put
    if gone:
        changes.remove[part.shape] = gone


def read_progress(connection: sqlite3.Connection) -> Progress:
    """Read what happened; raises ValueError (`Damaged`) where a value is not as fitup writes it."""
    lots = by_owner((item, Lot(have, c.day(expires))) for item, _, have, expires in s.STOCK_LOT.read(connection))
    return Progress(
        tasks={row[0]: _task(row) for row in s.TASK_PROGRESS.read(connection)},
        waivers={
            (task, kind, until): Waiver(task, kind, until, why, by, c.instant(at), second)
            for task, kind, until, why, by, at, second in s.WAIVER.read(connection)
        },
        lifts={
            (task, kind, until): Lift(task, kind, until, why, by, c.instant(at))
            for task, kind, until, why, by, at in s.LIFT.read(connection)
        },
        stops={
            (task, number): Stop(task, number, why, by, c.instant(at))
            for task, number, why, by, at in s.STOP.read(connection)
        },
        signatures={
            (task, role): Signature(task, role, by, c.instant(at))
            for task, role, by, at in s.SIGNATURE.read(connection)
        },
        cures={
            (task, until): CureHours(task, until, hours, why, by, c.instant(at))
            for task, until, hours, why, by, at in s.CURE_HOURS.read(connection)
        },
        stock={
            item: Stock(lots.get(item, ()), c.order(quantity, expected))
            for item, quantity, expected in s.STOCK.read(connection)
        },
        clocks={task: (c.instant(begin), by) for task, begin, by in s.CLOCK.read(connection)},
        measurements=tuple(_measurement(row) for row in s.MEASUREMENT.read(connection)),
        photos=tuple(
            Photo(task, file, sha256, by, c.instant(at)) for _, task, file, sha256, by, at in s.PHOTO.read(connection)
        ),
        notes=tuple(
            Note(task, text, again != 0, by, c.instant(at)) for _, task, text, again, by, at in s.NOTE.read(connection)
        ),
        temperatures=tuple(
            ShopTemperature(c.instant(at), celsius, low) for _, at, celsius, low in s.TEMPERATURE.read(connection)
        ),
        bench_times=tuple(
            BenchTime(task, c.instant(begin), c.instant(end), by)
            for _, task, begin, end, by in s.BENCH_TIME.read(connection)
        ),
        laid_out=frozenset(line for (line,) in s.LAID_OUT.read(connection)),
    )


def _task(row: Row) -> TaskProgress:
    _, done, begun, finished, ticked, minutes, reopened, look_again, rounds, before_holds = row
    return TaskProgress(
        *(done, c.maybe_instant(begun), c.maybe_instant(finished), c.maybe_instant(ticked), minutes),
        *(reopened != 0, look_again != 0, rounds, c.texts(before_holds)),
    )


def _measurement(row: Row) -> Measurement:
    _, task, readings, verdict, figure, limit, by, at, decided, why = row
    return Measurement(
        *(task, c.readings(readings), c.verdict(verdict), figure, limit, by, c.instant(at)), decided != 0, why
    )
