"""A plan as rows of its tables, and back."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import fields
from typing import Any, TypeVar

from fitup.model.plan import (
    Assembly,
    Bay,
    Check,
    Cleco,
    ClecoLoan,
    Fasteners,
    Hold,
    Item,
    Lot,
    Occupy,
    Plan,
    Task,
    ThreePoint,
    Tool,
    Within,
    Work,
)
from fitup.store import cells as c
from fitup.store import shapes as s
from fitup.store.shapes import Row, Shape

T = TypeVar("T")
_NOTHING = (None, None)
_FIGURES = ("low", "likely", "high")


def plan_rows(plan: Plan) -> dict[Shape, list[Row]]:
    """Return the rows of every table of the plan, save its own row (`plan_row`)."""
    rows: dict[Shape, list[Row]] = {
        s.REVIEW_OFF: [(place, rule, why) for place, (rule, why) in enumerate(plan.review_off)],
        s.WORK: [_work_row(work, place) for place, work in enumerate(plan.works)],
        s.ASSEMBLY: [(assembly.id, place, assembly.title) for place, assembly in enumerate(plan.assemblies)],
        s.BAY: [(bay.id, place, bay.title) for place, bay in enumerate(plan.bays)],
        s.TOOL: [(tool.id, place, tool.title, tool.have) for place, tool in enumerate(plan.tools)],
        s.ITEM: [_item_row(item, place) for place, item in enumerate(plan.items)],
        s.LOT: [
            (item.id, place, lot.have, c.day_cell(lot.expires))
            for item in plan.items
            for place, lot in enumerate(item.lots)
        ],
        s.CLECO: [(place, cleco.size, cleco.have) for place, cleco in enumerate(plan.clecos)],
        s.TASK: [_task_row(task, place) for place, task in enumerate(plan.tasks)],
    }
    for shape in (s.NEED, s.FASTENING, s.HOLD, s.WINDOW, s.LOAN, s.OCCUPATION, s.CHECK):
        rows[shape] = []
    for task in plan.tasks:
        for shape, parts in _task_parts(task).items():
            rows[shape].extend(parts)
    return rows


def plan_row(plan: Plan, changed_by: int) -> Row:
    """Return the plan's own row; `changed_by` is the number of the entry that brought this plan."""
    return (1, plan.title, plan.length_unit, plan.sessions, c.list_cell(plan.use), changed_by)


def _work_row(work: Work, place: int) -> Row:
    return (
        *(work.id, place, work.title, work.unit, work.seconds.low, work.seconds.likely, work.seconds.high),
        *(work.set_up_minutes, work.clean_up_minutes, work.crew, int(work.split), int(work.loud), int(work.filler)),
        *(int(work.helper_alone), c.list_cell(work.tools), work.takes, work.hole_step),
        *(*(work.temperature or _NOTHING), work.caution, work.source),
    )


def _item_row(item: Item, place: int) -> Row:
    return (
        *(item.id, place, item.title, item.kind, item.unit, *c.order_cells(item.on_order), item.lead_days, item.spare),
        *(*(item.temperature or _NOTHING), *(item.humidity or _NOTHING), item.part_number, item.supplier),
    )


def _task_row(task: Task, place: int) -> Row:
    minutes = task.minutes
    return (
        *(task.id, place, task.title, task.assembly, task.work, task.count, task.size, task.ref),
        *((None, None, None) if minutes is None else (minutes.low, minutes.likely, minutes.high)),
        *(task.crew, c.flag_cell(task.split), c.flag_cell(task.loud), c.flag_cell(task.filler), int(task.late)),
        *(task.least, task.one_go, c.list_cell(task.tools), task.holes, c.list_cell(task.sheets)),
        *(task.edge_distance, task.pitch, task.row_distance, c.list_cell(task.metals), task.protect),
        *(c.list_cell(task.inside), c.list_cell(task.closes), int(task.photo)),
        *(*(task.temperature or _NOTHING), *(task.humidity or _NOTHING), task.note, task.caution),
    )


def _task_parts(task: Task) -> dict[Shape, list[Row]]:
    """Return the rows that belong to one task."""
    parts: dict[Shape, list[Row]] = {
        s.NEED: [(task.id, place, *need) for place, need in enumerate(task.needs)],
        s.HOLD: [_hold_row(task.id, hold, place) for place, hold in enumerate(task.holds)],
        s.WINDOW: [(task.id, place, w.of, w.hours, w.start, w.margin_minutes) for place, w in enumerate(task.within)],
        s.LOAN: [(task.id, place, loan.size, loan.count, loan.until) for place, loan in enumerate(task.clecos)],
        s.OCCUPATION: [(task.id, place, taken.tool, taken.until) for place, taken in enumerate(task.occupies)],
    }
    if task.fasteners is not None:
        f = task.fasteners
        parts[s.FASTENING] = [(task.id, f.head, f.material, f.size, f.grip, f.callout, int(f.half))]
    if task.check is not None:
        parts[s.CHECK] = [_check_row(task.id, task.check)]
    return parts


def _hold_row(task_id: str, hold: Hold, place: int) -> Row:
    return (
        *(task_id, place, hold.kind, hold.until, hold.why, hold.hours, hold.law, int(hold.witness), hold.by),
        *(c.day_cell(hold.expected), hold.item, hold.quantity, int(hold.own)),
    )


def _check_row(task_id: str, check: Check) -> Row:
    return (
        *(task_id, check.kind, check.unit, check.low, check.high, check.limit, check.uncertainty),
        *(c.list_cell(check.stations), c.list_cell(check.faces), check.n, check.allow, check.question),
    )


def plan_number(connection: sqlite3.Connection) -> int:
    """Return the number of the entry that last changed the plan's tables; 0 where there is no plan yet."""
    found = connection.execute("SELECT changed_by FROM plan").fetchone()
    return found[0] if found else 0


def read_plan(connection: sqlite3.Connection) -> Plan:
    """Read the plan; raises ValueError (`Damaged`) where a value is not as fitup writes it."""
    own = s.PLAN.read(connection)
    if not own:
        return Plan()
    _, title, length_unit, sessions, libraries, _ = own[0]
    return Plan(
        title,
        c.length_unit(length_unit),
        sessions,
        c.texts(libraries),
        works=tuple(_work(row) for row in s.WORK.read(connection)),
        assemblies=tuple(Assembly(id, title) for id, _, title in s.ASSEMBLY.read(connection)),
        bays=tuple(Bay(id, title) for id, _, title in s.BAY.read(connection)),
        tools=tuple(Tool(id, title, have) for id, _, title, have in s.TOOL.read(connection)),
        items=_items(connection),
        clecos=tuple(Cleco(size, have) for _, size, have in s.CLECO.read(connection)),
        tasks=_tasks(connection),
        review_off=tuple((rule, why) for _, rule, why in s.REVIEW_OFF.read(connection)),
    )


def _work(row: Row) -> Work:
    (id, _, title, unit, low, likely, high, set_up, clean_up, crew, split, loud, filler, alone, *rest) = row
    tools, takes, hole_step, coldest, warmest, caution, source = rest
    return Work(
        *(id, title, unit, ThreePoint(low, likely, high), set_up, clean_up, crew),
        *(split != 0, loud != 0, filler != 0, alone != 0, c.texts(tools), takes, hole_step),
        *(c.pair(coldest, warmest), caution, source),
    )


def _items(connection: sqlite3.Connection) -> tuple[Item, ...]:
    lots = by_owner((item, Lot(have, c.day(expires))) for item, _, have, expires in s.LOT.read(connection))
    found = []
    for row in s.ITEM.read(connection):
        (id, _, title, kind, unit, quantity, expected, lead, spare, cold, warm, dry, damp, number, supplier) = row
        found.append(
            Item(
                *(id, title, c.item_kind(kind), unit, lots.get(id, ()), c.order(quantity, expected), lead, spare),
                *(c.pair(cold, warm), c.pair(dry, damp), number, supplier),
            )
        )
    return tuple(found)


def by_owner(parts: Iterable[tuple[str, T]]) -> dict[str, tuple[T, ...]]:
    """Group (owner, part) pairs by owner, keeping their order."""
    found: defaultdict[str, list[T]] = defaultdict(list)
    for owner, part in parts:
        found[owner].append(part)
    return {owner: tuple(listed) for owner, listed in found.items()}


def _tasks(connection: sqlite3.Connection) -> tuple[Task, ...]:
    """Read the tasks by columns: they are the most by far."""
    needs = by_owner((task, (item, quantity)) for task, _, item, quantity in s.NEED.read(connection))
    windows = by_owner(
        (task, Within(of, hours, c.window_start(start), margin))
        for task, _, of, hours, start, margin in s.WINDOW.read(connection)
    )
    loans = by_owner((task, ClecoLoan(size, count, until)) for task, _, size, count, until in s.LOAN.read(connection))
    taken = by_owner((task, Occupy(tool, until)) for task, _, tool, until in s.OCCUPATION.read(connection))
    fasteners = {
        task: Fasteners(head, material, size, grip, callout, half != 0)
        for task, head, material, size, grip, callout, half in s.FASTENING.read(connection)
    }
    checks = {row[0]: _check(row) for row in s.CHECK.read(connection)}
    holds = _holds(connection)
    found = s.TASK.read_columns(connection)
    ids = found["id"]
    told: dict[str, Iterable[Any]] = {
        **found,
        "minutes": c.each(_three_point, zip(*(found[f"minutes_{name}"] for name in _FIGURES), strict=True)),
        "split": c.each(_maybe_flag, found["split"]),
        "loud": c.each(_maybe_flag, found["loud"]),
        "filler": c.each(_maybe_flag, found["filler"]),
        "late": c.each(bool, found["late"]),
        "tools": c.each(c.texts, found["tools"]),
        "needs": [needs.get(id, ()) for id in ids],
        "fasteners": map(fasteners.get, ids),
        "sheets": c.each(c.figures, found["sheets"]),
        "metals": c.each(c.texts, found["metals"]),
        "inside": c.each(c.texts, found["inside"]),
        "closes": c.each(c.texts, found["closes"]),
        "photo": c.each(bool, found["photo"]),
        "holds": [holds.get(id, ()) for id in ids],
        "within": [windows.get(id, ()) for id in ids],
        "clecos": [loans.get(id, ()) for id in ids],
        "occupies": [taken.get(id, ()) for id in ids],
        "check": map(checks.get, ids),
        "temperature": c.each(_pair, zip(found["temperature_low"], found["temperature_high"], strict=True)),
        "humidity": c.each(_pair, zip(found["humidity_low"], found["humidity_high"], strict=True)),
    }
    return tuple(map(Task, *(told[field.name] for field in fields(Task))))


def _three_point(figures: tuple[float | None, float, float]) -> ThreePoint | None:
    low, likely, high = figures
    return None if low is None else ThreePoint(low, likely, high)


def _maybe_flag(cell: int | None) -> bool | None:
    return None if cell is None else cell != 0


def _pair(bounds: tuple[float | None, float | None]) -> tuple[float, float] | None:
    return c.pair(*bounds)


def _holds(connection: sqlite3.Connection) -> dict[str, tuple[Hold, ...]]:
    """Read the holds by task, by columns as the tasks."""
    found = s.HOLD.read_columns(connection)
    told: dict[str, Iterable[Any]] = {
        **found,
        "kind": c.each(c.hold_kind, found["kind"]),
        "law": c.each(c.law, found["law"]),
        "witness": c.each(bool, found["witness"]),
        "expected": c.each(c.day, found["expected"]),
        "own": c.each(bool, found["own"]),
    }
    return by_owner(zip(found["task"], map(Hold, *(told[field.name] for field in fields(Hold))), strict=True))


def _check(row: Row) -> Check:
    _, kind, unit, low, high, limit, uncertainty, stations, faces, n, allow, question = row
    return Check(
        *(c.check_kind(kind), unit, low, high, limit, uncertainty),
        *(c.texts(stations), c.texts(faces), n, allow, question),
    )
