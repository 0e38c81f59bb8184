"""The Bench page: what to lay out for the run sheet, shortages first, then in order of first use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitup.model.amounts import clock, local_day, number
from fitup.tui.rows import Row, fill, row, say, wrapped
from fitup.tui.wording.common import expected_words

if TYPE_CHECKING:
    from fitup.tui.board import Board


@dataclass(frozen=True, slots=True)
class Lay:
    """One thing to lay out: how the journal calls it, how it is shown, how short it is, its item."""

    line: str
    section: str
    what: str
    amount: str
    note: str
    short: str = ""
    item: str = ""


def lays(board: Board) -> list[Lay]:
    """Return everything to lay out for the run sheet, in the order of the bench list."""
    bench, sheet = board.bench, board.sheet
    if bench is None or sheet is None:
        return []
    day = local_day(sheet.question.start).isoformat()
    found: list[Lay] = []
    for tool in bench.tools:
        at = clock(sheet.question.instant(tool.minute))
        found.append(Lay(f"tool {tool.tool}, {day}", "Tools, in order of first use", tool.title, "", f"from {at}"))
    items = {item.part_number: item.id for item in board.project.plan.items if item.part_number}
    for fastener in bench.fasteners:
        have = "not counted" if fastener.have is None else f"{number(fastener.have)} there"
        short = number(fastener.short) if fastener.short else ""
        item = items.get(fastener.part_number, fastener.part_number)
        item = item if item in board.project.plan.item else ""
        title = board.project.plan.item[item].title if item else ""
        what = f"{fastener.part_number}  {title}" if title else fastener.part_number
        note = f"{number(fastener.count)} to set, {have}"
        line = f"fastener {fastener.part_number}, {day}"
        found.append(Lay(line, "Fasteners, with spare", what, number(fastener.lay_out), note, short, item))
    for temporary in bench.temporary:
        name = "clamps" if temporary.size == "clamp" else f"clecos {temporary.size}"
        note = f"{temporary.out} out already, {temporary.have} there, {temporary.peak} out at once"
        short = number(temporary.short) if temporary.short else ""
        found.append(Lay(f"{name}, {day}", "Clecos and clamps", name, number(temporary.now), note, short))
    for section, rows in (("Consumables, with spare", bench.consumables), ("Parts", bench.parts)):
        for item_row in rows:
            note = f"{number(item_row.quantity)} used, {number(item_row.have)} there"
            if item_row.expires:
                note += f", expires {item_row.expires.day} {item_row.expires:%b}"
            amount = f"{number(item_row.lay_out)} {item_row.unit}".strip()
            line = f"item {item_row.item}, {day}"
            short = number(item_row.short) if item_row.short else ""
            found.append(Lay(line, section, item_row.title, amount, note, short, item_row.item))
    return found


def find_lay(board: Board, key: str) -> Lay | None:
    """Return the thing of a row's key."""
    return next((lay for lay in lays(board) if lay.line == key), None)


def bench_rows(board: Board, width: int) -> list[Row]:
    """Return the page's rows; what is short stands first and is not said twice."""
    found = lays(board)
    rows: list[Row] = []
    short = [lay for lay in found if lay.short]
    if short:
        rows.append(row(say(" Short", "section")))
        rows += [_lay_row(board, lay, width) for lay in short]
    section = ""
    for lay in found:
        if lay.short:
            continue
        if lay.section != section:
            section = lay.section
            rows.append(row(say(f" {section}", "section")))
        rows.append(_lay_row(board, lay, width))
    if not found:
        rows.append(row(say(" Nothing to lay out: the run sheet is empty", "dim")))
    takes = board.bench.takes if board.bench else ()
    if takes:
        rows.append(row(say(" Besides", "section")))
        rows += [line for text in takes for line in wrapped(text, width - 4, "dim", "    ")]
    return rows


def _lay_row(board: Board, lay: Lay, width: int) -> Row:
    out = lay.line in board.project.progress.laid_out
    box = "[x]" if out else "[ ]"
    note = max(12, min(48, width // 2 - 8))
    what = max(10, width - note - 17)
    said = f"{lay.short} short, {lay.note}" if lay.short else lay.note
    return row(
        say(f" {box} ", "good" if out else ""),
        say(fill(lay.what, what), "dim" if out else ""),
        say(fill(lay.amount, 9, right=True), "strong"),
        say("  " + fill(said, note), "bad" if lay.short else "dim"),
        key=lay.line,
    )


def lay_rows(board: Board, key: str, width: int) -> list[Row]:
    """Return the detail of a thing on the bench: stock, lots, what is on order, which tasks want it."""
    lay = find_lay(board, key)
    if lay is None:
        return []
    rows = wrapped(lay.what, width, "title")
    said = f"{lay.short} short; {lay.note}" if lay.short else lay.note
    rows += wrapped(said, width, "bad" if lay.short else "")
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
