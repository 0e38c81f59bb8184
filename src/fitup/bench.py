"""What must lie on the bench for a run sheet: tools, fasteners, temporary fasteners, consumables, parts.

Everything is counted from the sheet's own lines, so that a short sheet asks for little.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from math import ceil

from fitup.model.amounts import local_day
from fitup.model.plan import Item, Plan, Task
from fitup.model.progress import Project
from fitup.model.sheet import Line, Sheet
from fitup.trade.mistake import Mistake
from fitup.trade.rivets import part_number


@dataclass(frozen=True, slots=True)
class ToolRow:
    """A tool and the minute of the session when it is first in hand."""

    tool: str
    title: str
    minute: int


@dataclass(frozen=True, slots=True)
class FastenerRow:
    """Fasteners of one part number; `have` is None where the plan keeps no stock of them."""

    part_number: str
    count: float
    lay_out: float
    have: float | None
    short: float


@dataclass(frozen=True, slots=True)
class TemporaryRow:
    """Clecos or clamps of one size: `out` lent before, `now` newly lent, `peak` out at once."""

    size: str
    now: int
    out: int
    have: int
    short: int
    peak: int


@dataclass(frozen=True, slots=True)
class ItemRow:
    """A consumable or part: quantity used, with spare to lay out, in stock and in date; first expiry."""

    item: str
    title: str
    unit: str
    quantity: float
    lay_out: float
    have: float
    short: float
    expires: date | None


@dataclass(frozen=True, slots=True)
class BenchList:
    """The bench list of one run sheet; `takes` are the work table's own remarks, in order of use."""

    tools: tuple[ToolRow, ...] = ()
    fasteners: tuple[FastenerRow, ...] = ()
    temporary: tuple[TemporaryRow, ...] = ()
    consumables: tuple[ItemRow, ...] = ()
    parts: tuple[ItemRow, ...] = ()
    takes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def short(self) -> tuple[str, ...]:
        """What there is too little of, one short phrase each."""
        return (
            *(f"{row.short:g} {row.part_number}" for row in self.fasteners if row.short),
            *(f"{row.short} clecos {row.size}" for row in self.temporary if row.short and row.size != "clamp"),
            *(f"{row.short} clamps" for row in self.temporary if row.short and row.size == "clamp"),
            *(f"{row.short:g} {row.unit} {row.title}" for row in (*self.consumables, *self.parts) if row.short),
        )


def bench_list(project: Project, sheet: Sheet) -> BenchList:
    """Return the bench list of `sheet`, its rows in order of first use."""
    plan = project.plan
    day = local_day(sheet.question.start)
    lines = [(line, plan.task[line.task]) for line in sheet.lines]
    used: dict[str, float] = {}
    for line, task in lines:
        for item, quantity in task.needs:
            if item in plan.item:
                used[item] = used.get(item, 0) + quantity * line.count / task.count
    rows = [(plan.item[item], _item_row(project, plan.item[item], quantity, day)) for item, quantity in used.items()]
    return BenchList(
        tools=tuple(_tools(plan, lines)),
        fasteners=tuple(_fasteners(project, lines, rows, day)),
        temporary=tuple(_temporary(project, lines)),
        consumables=tuple(row for item, row in rows if item.kind == "consumable"),
        parts=tuple(row for item, row in rows if item.kind == "part"),
        takes=tuple(dict.fromkeys(takes for _, task in lines if (takes := plan.work_of(task).takes))),
        cautions=tuple(dict.fromkeys(c for _, task in lines for c in (task.caution, plan.work_of(task).caution) if c)),
    )


def part_number_of(plan: Plan, task: Task) -> str:
    """Return the part number of a task's fasteners: the kit's callout, else computed; "" for none.

    Fasteners that the trade's tables do not know (sizes and heads are open text) are described instead.
    """
    fasteners = task.fasteners
    if fasteners is None:
        return ""
    try:
        return part_number(
            fasteners.head,
            fasteners.material,
            fasteners.size,
            fasteners.grip,
            plan.length_unit,
            fasteners.callout,
            fasteners.half,
        )
    except Mistake:
        return f"{fasteners.head} {fasteners.material} {fasteners.size}"


def _tools(plan: Plan, lines: list[tuple[Line, Task]]) -> Iterator[ToolRow]:
    seen: set[str] = set()
    for line, task in lines:
        for tool_id in (*plan.tools_of(task), *(taken.tool for taken in task.occupies)):
            if tool_id not in seen:
                seen.add(tool_id)
                tool = plan.tool.get(tool_id)
                yield ToolRow(tool_id, tool.title if tool else tool_id, line.begin)


def _item_row(project: Project, item: Item, quantity: float, day: date) -> ItemRow:
    stock = project.stock(item.id)
    have = stock.in_date(day)
    dates = sorted(lot.expires for lot in stock.lots if lot.expires is not None and lot.expires >= day and lot.have > 0)
    return ItemRow(
        item.id,
        item.title,
        item.unit,
        round(quantity, 3),
        round(quantity * (1 + item.spare), 3),
        round(have, 3),
        round(max(0.0, quantity - have), 3),
        dates[0] if dates else None,
    )


def _fasteners(
    project: Project, lines: list[tuple[Line, Task]], rows: list[tuple[Item, ItemRow]], day: date
) -> Iterator[FastenerRow]:
    """Yield rows by part number: those of the tasks' holes, then fastener items named as needs."""
    stocked = {item.part_number: item for item in reversed(project.plan.items) if item.part_number}
    counts: dict[str, float] = {}
    for line, task in lines:
        number = part_number_of(project.plan, task)
        if number:
            counts[number] = counts.get(number, 0) + line.count
    named = {item.part_number or item.id: row for item, row in rows if item.kind == "fastener"}
    for number, count in counts.items():
        known = stocked.get(number)
        if known is None:
            yield FastenerRow(number, count, count, None, 0)
        elif number not in named:
            row = _item_row(project, known, count, day)
            yield FastenerRow(number, count, ceil(row.lay_out - 1e-9), row.have, row.short)
    for number, row in named.items():
        yield FastenerRow(number, row.quantity, ceil(row.lay_out - 1e-9), row.have, row.short)


def _temporary(project: Project, lines: list[tuple[Line, Task]]) -> Iterator[TemporaryRow]:
    """Yield a row per size, following what is lent and given back through the sheet minute by minute.

    All are out from the lender's first partial tick; they come back in proportion to the count of
    `until` that is done, at the end of its line.
    """
    plan = project.plan
    out: dict[str, int] = {}
    now: dict[str, int] = {}
    moves: list[tuple[int, int, str, int]] = []
    by_task = {task.id: line for line, task in lines}
    for task in plan.tasks:
        for loan in task.clecos:
            giver = plan.task[loan.until]
            given = project.progress.of(giver.id).done
            lent_before = project.progress.of(task.id).done > 0
            line = by_task.get(task.id)
            back = by_task.get(giver.id)
            if lent_before:
                out[loan.size] = out.get(loan.size, 0) + _still_out(loan.count, given, giver.count)
            elif line is not None:
                now[loan.size] = now.get(loan.size, 0) + loan.count
                moves.append((line.begin, 1, loan.size, loan.count))
            if back is not None and (lent_before or line is not None):
                left = _still_out(loan.count, given + back.count, giver.count)
                moves.append((back.end, 0, loan.size, left - _still_out(loan.count, given, giver.count)))
    peak = dict(out)
    level = dict(out)
    for _, _, size, change in sorted(moves):
        level[size] = level.get(size, 0) + change
        peak[size] = max(peak.get(size, 0), level[size])
    have = {cleco.size: cleco.have for cleco in plan.clecos}
    for size in dict.fromkeys((*now, *(size for size, count in out.items() if count))):
        there = have.get(size, 0)
        most = peak.get(size, 0)
        yield TemporaryRow(size, now.get(size, 0), out.get(size, 0), there, max(0, most - there), most)


def _still_out(count: int, given: int, total: int) -> int:
    """Return how many of `count` lent are still out when `given` of `total` units are done."""
    return ceil(count * max(0, total - given) / total)
