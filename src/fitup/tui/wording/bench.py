"""The Bench page: what to lay out for the run sheet, shortages first, then in order of first use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from rich.cells import cell_len

from fitup.model.amounts import clock, local_day, number
from fitup.tui.rows import Row, fill, row, say, wrapped
from fitup.tui.wording.common import expected_words

if TYPE_CHECKING:
    from fitup.bench import FastenerRow, ItemRow, LotUse
    from fitup.tui.board import Board


WEEKS = 8.0
"""How far ahead it is told what to order."""

_ORDERS = 6
"""Rows of what to order at most; `fitup order` tells all."""

_ORDER, _LATE, _GOING_OFF = "order ", "late ", "going-off "


@dataclass(frozen=True, slots=True)
class Lay:
    """One thing to lay out: how the journal calls it, how it is shown, how short it is, its item.

    `more` are sentences that belong to it: which lots to take, how to mix; `warnings` are others about it.
    """

    line: str
    section: str
    what: str
    amount: str
    note: str
    laid_out: bool
    short: str = ""
    item: str = ""
    more: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def lays(board: Board) -> list[Lay]:
    """Return everything to lay out for the run sheet, in the order of the bench list."""
    bench, sheet = board.bench, board.sheet
    if bench is None or sheet is None:
        return []
    progress = board.project.progress
    found: list[Lay] = []
    for tool in bench.tools:
        at = clock(sheet.question.instant(tool.minute))
        section = "Tools, in order of first use"
        found.append(Lay(tool.lay, section, tool.title, "", f"from {at}", tool.lay in progress.laid_out))
    found += [_fastener(board, fastener) for fastener in bench.fasteners]
    for temporary in bench.temporary:
        name, comma, trap = temporary.described.partition(", like ")
        name = "clamps" if temporary.size == "clamp" else f"clecos {name}{')' if comma else ''}"
        note = f"{temporary.out} out, {temporary.peak} at most, {temporary.have} there"
        found.append(
            Lay(
                temporary.lay,
                "Clecos and clamps",
                name,
                number(temporary.now),
                note,
                temporary.lay in progress.laid_out,
                short=number(temporary.short) if temporary.short else "",
                warnings=(f"same colour as {trap.removesuffix(')')}",) if comma else (),
            )
        )
    for section, rows in (("Consumables, with spare", bench.consumables), ("Parts", bench.parts)):
        found += [_item(board, section, one) for one in rows]
    return found


def _fastener(board: Board, fastener: FastenerRow) -> Lay:
    plan = board.project.plan
    named = (item.id for item in plan.items if fastener.part_number in (item.part_number, item.id))
    item = next(named, "")
    title = plan.item[item].title if item else ""
    have = "not counted" if fastener.have is None else f"{number(fastener.have)} there"
    note = f"{number(fastener.count)} to set, {have}"
    if fastener.protrusion_d:
        note += f", tail {', '.join(f'{figure:.2f}' for figure in fastener.protrusion_d)} D"
    return Lay(
        fastener.lay,
        "Fasteners, with spare",
        f"{fastener.part_number}  {title}" if title else fastener.part_number,
        number(fastener.lay_out),
        note,
        fastener.lay in board.project.progress.laid_out,
        short=number(fastener.short) if fastener.short else "",
        item=item,
        more=_lot_words(fastener.lots, ""),
        warnings=fastener.warnings,
    )


def _item(board: Board, section: str, one: ItemRow) -> Lay:
    note = f"{number(one.quantity)} used, {number(one.have)} there"
    lots = _lot_words(one.lots, one.unit)
    if one.expires and not lots:
        note += f", good to {_day(one.expires)}"
    return Lay(
        one.lay,
        section,
        one.title,
        f"{number(one.lay_out)} {one.unit}".strip(),
        note,
        one.lay in board.project.progress.laid_out,
        short=number(one.short) if one.short else "",
        item=one.item,
        more=(*lots, *((f"mix {one.mix}",) if one.mix else ())),
    )


def _lot_words(lots: Sequence[LotUse], unit: str) -> tuple[str, ...]:
    """Return what to take from which lot as a sentence, soonest to expire first; nothing to say of undated stock."""
    if all(lot.expires is None for lot in lots):
        return ()
    parts = [
        f"{number(lot.quantity)} {unit}".strip()
        + (f" good to {_day(lot.expires)}" if lot.expires else " without a date")
        for lot in lots
    ]
    return (f"take {', then '.join(parts)}",)


def _day(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def find_lay(board: Board, key: str) -> Lay | None:
    """Return the thing of a row's key."""
    return next((lay for lay in lays(board) if lay.line == key), None)


def bench_rows(board: Board, width: int) -> list[Row]:
    """Return the page's rows; what is short stands first and is not said twice, what to order stands last."""
    found = lays(board)
    rows = _section_rows("Short", [lay for lay in found if lay.short], width)
    rest = [lay for lay in found if not lay.short]
    for section in dict.fromkeys(lay.section for lay in rest):
        rows += _section_rows(section, [lay for lay in rest if lay.section == section], width)
    if not found:
        rows.append(row(say(" Nothing to lay out: the run sheet is empty", "dim")))
    takes = board.bench.takes if board.bench else ()
    if takes:
        rows.append(row(say(" Besides", "section")))
        rows += [line for text in takes for line in wrapped(text, width - 4, "dim", "    ")]
    return rows + _order_rows(board, width)


def _section_rows(heading: str, some: list[Lay], width: int) -> list[Row]:
    """Return rows under a heading, the remarks in a column as narrow as they allow."""
    if not some:
        return []
    rows = [row(say(f" {heading}", "section"))]
    note = min(max(cell_len(_said(lay)) for lay in some), max(12, min(60, width // 2)))
    amount = max(cell_len(lay.amount) for lay in some)
    what = max(10, width - note - amount - 10)
    for lay in some:
        rows.append(
            row(
                say(f" {'[x]' if lay.laid_out else '[ ]'} ", "good" if lay.laid_out else ""),
                say(fill(lay.what, what), "dim" if lay.laid_out else ""),
                say(" " + fill(lay.amount, amount, right=True), "strong"),
                say("  " + fill(_said(lay), note), "bad" if lay.short else "dim"),
                key=lay.line,
            )
        )
        for text in lay.more:
            rows += wrapped(text, width - 2, "dim", "       ")
        for text in lay.warnings:
            rows += wrapped(text, width - 2, "warn", "     ! ", "warn")
    return rows


def _said(lay: Lay) -> str:
    return f"{lay.short} short, {lay.note}" if lay.short else lay.note


def _order_rows(board: Board, width: int) -> list[Row]:
    """Return what to order so that nothing stalls, soonest first, then what comes late or goes out of date."""
    found = board.desk.orders(WEEKS)
    today = local_day(board.now)
    rows = [row(say(f" To order until {_day(found.until)}, and what comes late", "section"))]
    for one in found.orders[:_ORDERS]:
        now = one.order_by <= today
        rows.append(
            row(
                say(f" {fill('order now' if now else f'by {_day(one.order_by)}', 15)}", "bad" if now else ""),
                say(fill(f"{number(one.quantity)} {one.unit}".strip(), 10, right=True) + "  ", "strong"),
                say(fill(one.title, max(10, width - 49))),
                say(f"  needed {_day(one.needed)}", "dim"),
                key=f"{_ORDER}{one.item}",
            )
        )
    if len(found.orders) > _ORDERS:
        rows.append(row(say(f" and {len(found.orders) - _ORDERS} more", "dim")))
    for kind, item, text in _stalls(board)[:_ORDERS]:
        rows.append(row(say(" ! ", "warn"), say(fill(text, max(10, width - 5)), "warn"), key=f"{kind}{item}"))
    if len(rows) == 1:
        rows.append(row(say(" nothing needs to be ordered", "dim"), key=_ORDER))
    return rows


def _stalls(board: Board) -> list[tuple[str, str, str]]:
    """Return what is on order and comes late, and what goes out of date unused: kind of row, item, sentence."""
    found = board.desk.orders(WEEKS)
    told: list[tuple[str, str, str]] = []
    for late in found.late:
        comes = f"comes {_day(late.expected)}" if late.expected else "nobody knows when it comes"
        text = f"{late.title}: {comes}, wanted {_day(late.needed)} for {board.title(late.task)}"
        told.append((_LATE, late.item, text))
    for off in found.going_off:
        amount = f"{number(off.quantity)} {off.unit}".strip()
        text = f"{off.title}: {amount} out of date on {_day(off.expires)}, before {board.title(off.task)} needs it"
        told.append((_GOING_OFF, off.item, text))
    return told


def ordered_item(key: str) -> str:
    """Return the item of the key of a row of what to order or what comes late, "" for another row."""
    return next((key.removeprefix(kind) for kind in (_ORDER, _LATE, _GOING_OFF) if key.startswith(kind)), "")


def _order_detail(board: Board, key: str, width: int) -> list[Row]:
    """Return at length what to order, or what comes late: until when, from whom, for which work, what is there."""
    item = ordered_item(key)
    if item not in board.project.plan.item:
        return []
    rows: list[Row] = []
    if key.startswith(_ORDER):
        for one in board.desk.orders(WEEKS).orders:
            if one.item == item:
                supplier = f" from {one.supplier}" if one.supplier else ""
                rows += wrapped(f"{number(one.quantity)} {one.unit} {one.title}", width, "title")
                said = f"order{supplier} by {_day(one.order_by)}; needed {_day(one.needed)}, spare included"
                rows += wrapped(said, width)
                rows += wrapped("; ".join(board.title(task) for task in one.tasks), width, "", "For: ")
    else:
        rows += [
            line for kind, about, text in _stalls(board) if f"{kind}{about}" == key for line in wrapped(text, width)
        ]
    return rows + stock_rows(board, item, width)


def lay_rows(board: Board, key: str, width: int) -> list[Row]:
    """Return the detail of a thing on the bench: stock, lots, what is on order, which tasks want it."""
    lay = find_lay(board, key)
    if lay is None:
        return _order_detail(board, key, width)
    rows = wrapped(lay.what, width, "title")
    said = f"{lay.short} short; {lay.note}" if lay.short else lay.note
    rows += wrapped(said, width, "bad" if lay.short else "")
    rows += [line for text in lay.warnings for line in wrapped(text, width, "warn", "! ", "warn")]
    rows += [line for text in lay.more for line in wrapped(text, width)]
    if lay.item:
        rows += stock_rows(board, lay.item, width)
    tool = lay.line.startswith("tool ")
    tool_id = lay.line[5:].rpartition(",")[0] if tool else ""
    plan = board.project.plan
    lines = board.sheet.lines if board.sheet else ()
    if tool:
        users = [plan.task[line.task] for line in lines if _uses_tool(board, line.task, tool_id)]
    else:
        users = [plan.task[line.task] for line in lines if lay.item in dict(plan.task[line.task].needs)]
    if users:
        rows += wrapped("; ".join(task.title for task in users), width, "", "For: ")
    for text in board.bench.cautions if board.bench else ():
        rows += wrapped(text, width, "warn", "Caution: ", "strong")
    return rows


def _uses_tool(board: Board, task_id: str, tool: str) -> bool:
    plan = board.project.plan
    task = plan.task[task_id]
    return tool in plan.tools_of(task) or any(taken.tool == tool for taken in task.occupies)


def stock_rows(board: Board, item_id: str, width: int) -> list[Row]:
    """Return what is there of an item, by lot, and what is on its way."""
    item = board.project.plan.item[item_id]
    stock = board.project.stock(item_id)
    today = local_day(board.now)
    parts = []
    for lot in stock.lots:
        dated = ""
        if lot.expires:
            word = "expired" if lot.expires < today else "good to"
            dated = f" ({word} {lot.expires.isoformat()})"
        parts.append(f"{number(lot.have)} {item.unit}".strip() + dated)
    rows = wrapped("; ".join(parts) or "none", width, "", "In stock: ")
    if stock.on_order:
        when = expected_words(stock.on_order.expected, board.now)
        amount = f"{number(stock.on_order.quantity)} {item.unit}".strip()
        rows += wrapped(f"{amount}{f', {when}' if when else ''}", width, "", "On order: ")
    if item.temperature:
        rows += wrapped(f"{number(item.temperature[0])} to {number(item.temperature[1])} C", width, "", "Apply at: ")
    return rows
