"""What must lie on the bench for a run sheet: tools, fasteners, temporary fasteners, consumables, parts.

Everything is counted from the sheet's own lines, so that a short sheet asks for little. What is
short stands first in its list, the rest in order of first use.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import Protocol, TypeVar

from fitup.model.amounts import counted, local_day
from fitup.model.plan import Item, Plan, Task
from fitup.model.progress import Project, Stock
from fitup.model.sheet import Line, Sheet
from fitup.trade.cautions import cautions_for
from fitup.trade.fasteners import part_number_of, rivet_of
from fitup.trade.mistake import BrokenTable, Mistake
from fitup.trade.tables import tables
from fitup.trade.temporary import described, peaks

__all__ = [
    "BenchList",
    "FastenerRow",
    "ItemRow",
    "LotUse",
    "TemporaryRow",
    "ToolRow",
    "bench_list",
    "cautions_of",
    "part_number_of",
]


@dataclass(frozen=True, slots=True)
class LotUse:
    """A quantity taken from the lot that expires on this day, None for one that does not."""

    quantity: float
    expires: date | None


@dataclass(frozen=True, slots=True)
class ToolRow:
    """A tool and the minute of the session when it is first in hand."""

    tool: str
    title: str
    minute: int
    lay: str = ""
    laid_out: bool = False


@dataclass(frozen=True, slots=True)
class FastenerRow:
    """Fasteners of one part number; `have` is None where the plan keeps no stock of them.

    `protrusion_d` tells how far the tails stand out before driving, in diameters, one figure for
    each grip; `warnings` are sentences about them.
    """

    part_number: str
    count: float
    lay_out: float
    have: float | None
    short: float
    lots: tuple[LotUse, ...] = ()
    protrusion_d: tuple[float, ...] = ()
    warnings: tuple[str, ...] = ()
    lay: str = ""
    laid_out: bool = False


@dataclass(frozen=True, slots=True)
class TemporaryRow:
    """Clecos or clamps of one size: `out` lent before, `now` newly lent, `peak` out at once.

    `described` is the size with its colour word, and which other size has the same colour.
    """

    size: str
    now: int
    out: int
    have: int
    short: int
    peak: int
    described: str = ""
    lay: str = ""
    laid_out: bool = False


@dataclass(frozen=True, slots=True)
class ItemRow:
    """A consumable or part: quantity used, with spare to lay out, in stock and in date; first expiry.

    `lots` are those to lay out, soonest to expire first; `mix` says how a two-part quantity divides,
    where the shop's own tables give its ratio.
    """

    item: str
    title: str
    unit: str
    quantity: float
    lay_out: float
    have: float
    short: float
    expires: date | None
    lots: tuple[LotUse, ...] = ()
    mix: str = ""
    lay: str = ""
    laid_out: bool = False


class _Short(Protocol):
    @property
    def short(self) -> float: ...


R = TypeVar("R", bound=_Short)


@dataclass(frozen=True, slots=True)
class BenchList:
    """The bench list of one run sheet; `takes` are the work table's own remarks, in order of use.

    Every row has `lay`, the name of its tick as laid out, and `laid_out`, whether it is ticked.
    """

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
            *(
                f"{counted(row.short, 'cleco')} {row.size}"
                for row in self.temporary
                if row.short and row.size != "clamp"
            ),
            *(counted(row.short, "clamp") for row in self.temporary if row.short and row.size == "clamp"),
            *(f"{counted(row.short, row.unit)} {row.title}" for row in (*self.consumables, *self.parts) if row.short),
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
        tools=tuple(_tools(project, lines, day)),
        fasteners=_short_first(_fasteners(project, lines, rows, day)),
        temporary=_short_first(_temporary(project, lines, day)),
        consumables=_short_first(row for item, row in rows if item.kind == "consumable"),
        parts=_short_first(row for item, row in rows if item.kind == "part"),
        takes=tuple(dict.fromkeys(takes for _, task in lines if (takes := plan.work_of(task).takes))),
        cautions=tuple(dict.fromkeys(caution for _, task in lines for caution in cautions_of(plan, task))),
    )


def cautions_of(plan: Plan, task: Task) -> tuple[str, ...]:
    """Return what can hurt someone at a task: the plan's own words, the work table's, the handbooks' with source."""
    of_trade = (f"{row.text('says')} ({row.cited})" for row in cautions_for(task.work))
    found = (task.caution, plan.work_of(task).caution, *of_trade)
    return tuple(dict.fromkeys(caution for caution in found if caution))


def _short_first(rows: Iterable[R]) -> tuple[R, ...]:
    return tuple(sorted(rows, key=lambda row: not row.short))


def _lay(project: Project, what: str, day: date) -> tuple[str, bool]:
    """Return the name of a line's tick as laid out on a day, and whether it is ticked."""
    line = f"{what}, {day.isoformat()}"
    return line, line in project.progress.laid_out


def _tools(project: Project, lines: list[tuple[Line, Task]], day: date) -> Iterator[ToolRow]:
    plan = project.plan
    seen: set[str] = set()
    for line, task in lines:
        for tool_id in (*plan.tools_of(task), *(taken.tool for taken in task.occupies)):
            if tool_id not in seen:
                seen.add(tool_id)
                tool = plan.tool.get(tool_id)
                lay, ticked = _lay(project, f"tool {tool_id}", day)
                yield ToolRow(tool_id, tool.title if tool else tool_id, line.begin, lay, ticked)


def _item_row(project: Project, item: Item, quantity: float, day: date) -> ItemRow:
    stock = project.stock(item.id)
    have = stock.in_date(day)
    dates = sorted(lot.expires for lot in stock.lots if lot.expires is not None and lot.expires >= day and lot.have > 0)
    lay_out = round(quantity * (1 + item.spare), 3)
    lay, ticked = _lay(project, f"item {item.id}", day)
    return ItemRow(
        item.id,
        item.title,
        item.unit,
        round(quantity, 3),
        lay_out,
        round(have, 3),
        round(max(0.0, quantity - have), 3),
        dates[0] if dates else None,
        tuple(_lots(stock, lay_out, day)),
        _mix(item, lay_out),
        lay,
        ticked,
    )


def _lots(stock: Stock, quantity: float, day: date) -> Iterator[LotUse]:
    """Yield what to take from which lot: those in date, soonest to expire first, as a tick draws them."""
    left = quantity
    for lot in sorted(stock.lots, key=lambda lot: lot.expires or date.max):
        if lot.have > 0 and left > 0 and (lot.expires is None or lot.expires >= day):
            taken = min(left, lot.have)
            left -= taken
            yield LotUse(round(taken, 3), lot.expires)


def _mix(item: Item, quantity: float) -> str:
    """Say how a two-part quantity divides by weight; "" where the shop's tables give no ratio of this item.

    Ratios differ from product to product, so none that is published is taken over.
    """
    for row in tables().matching("clocks", "mix", item=item.id):
        base, second = row.figure("base"), row.figure("accelerator")
        if base > 0 and second > 0:
            share = float(base / (base + second))
            first, other = (counted(part, item.unit) for part in (quantity * share, quantity * (1 - share)))
            return f"{first} base, {other} accelerator ({row.cited})"
    return ""


def _fasteners(
    project: Project, lines: list[tuple[Line, Task]], rows: list[tuple[Item, ItemRow]], day: date
) -> Iterator[FastenerRow]:
    """Yield rows by part number: those of the tasks' holes, then fastener items named as needs."""
    stocked = {item.part_number: item for item in reversed(project.plan.items) if item.part_number}
    counts: dict[str, float] = {}
    stands_out: dict[str, list[float]] = {}
    warned: dict[str, list[str]] = {}
    for line, task in lines:
        rivet = rivet_of(project.plan, task)
        if rivet is not None:
            part = rivet.part_number
            counts[part] = counts.get(part, 0) + line.count
            warned.setdefault(part, []).extend(rivet.warnings)
            if rivet.protrusion_d is not None:
                stands_out.setdefault(part, []).append(round(rivet.protrusion_d, 2))
    named = {item.part_number or item.id: row for item, row in rows if item.kind == "fastener"}
    for part in dict.fromkeys((*counts, *named)):
        row = named.get(part)
        if row is None and part in stocked:
            row = _item_row(project, stocked[part], counts[part], day)
        lay, ticked = _lay(project, f"fastener {part}", day)
        yield FastenerRow(
            part,
            counts[part] if row is None else row.quantity,
            counts[part] if row is None else ceil(row.lay_out - 1e-9),
            None if row is None else row.have,
            0 if row is None else row.short,
            () if row is None else row.lots,
            tuple(dict.fromkeys(stands_out.get(part, ()))),
            tuple(dict.fromkeys(warned.get(part, ()))),
            lay,
            ticked,
        )


def _temporary(project: Project, lines: list[tuple[Line, Task]], day: date) -> Iterator[TemporaryRow]:
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
    peak = peaks(((size, change) for _, _, size, change in sorted(moves)), out.items())
    have = {cleco.size: cleco.have for cleco in plan.clecos}
    for size in dict.fromkeys((*now, *(size for size, count in out.items() if count))):
        there = have.get(size, 0)
        most = peak.get(size, 0)
        lay, ticked = _lay(project, "clamps" if size == "clamp" else f"clecos {size}", day)
        yield TemporaryRow(
            size, now.get(size, 0), out.get(size, 0), there, max(0, most - there), most, _described(size), lay, ticked
        )


def _described(size: str) -> str:
    """Return a size with its published colour; a size that is no diameter stands as it is."""
    try:
        return described(size)
    except BrokenTable:
        raise
    except Mistake:
        return size


def _still_out(count: int, given: int, total: int) -> int:
    """Return how many of `count` lent are still out when `given` of `total` units are done."""
    return ceil(count * max(0, total - given) / total)
