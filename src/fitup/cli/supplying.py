"""Commands about what must be there: the bench list of a session, and what to order for the weeks ahead."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from fitup.cli.answer import Answer, table
from fitup.cli.planning import planned, question
from fitup.cli.values import parse_figure
from fitup.desk import Desk
from fitup.model.amounts import counted, first_named, local_day, number
from fitup.model.refusal import Refused

if TYPE_CHECKING:
    from fitup.bench import BenchList, FastenerRow, ItemRow, LotUse
    from fitup.ordering import GoingOff, Late, Order, Orders

_USUAL_WEEKS = 8.0


def bench(desk: Desk, args: Namespace) -> Answer:
    """Answer with what must lie on the bench for the session's run sheet."""
    listed = desk.bench(planned(desk, question(desk, args)))
    used = {row.item for row in (*listed.consumables, *listed.parts)}
    going_off = [one for one in desk.orders(_USUAL_WEEKS).going_off if one.item in used]
    lines = [f"SHORT: {', '.join(listed.short)}"] if listed.short else []
    lines += [*_tool_lines(listed), *_fastener_lines(listed), *_temporary_lines(listed)]
    for title, rows in (("Consumables:", listed.consumables), ("Parts:", listed.parts)):
        lines += _item_lines(title, rows)
    lines += [_off_line(one) for one in going_off]
    lines += [f"Also: {text}" for text in listed.takes]
    lines += [f"CAUTION: {caution}" for caution in listed.cautions]
    return Answer(_bench_data(listed), lines or ["nothing is needed: the run sheet is empty"])


def _bench_data(listed: BenchList) -> dict[str, object]:
    return {
        "tools": [
            {"tool": row.tool, "title": row.title, "minute": row.minute, "laid_out": row.laid_out}
            for row in listed.tools
        ],
        "fasteners": [
            {
                "part_number": row.part_number,
                "count": row.count,
                "lay_out": row.lay_out,
                "have": row.have,
                "short": row.short,
                "lots": _lots(row.lots),
                "protrusion_d": list(row.protrusion_d),
                "warnings": list(row.warnings),
                "laid_out": row.laid_out,
            }
            for row in listed.fasteners
        ],
        "temporary": [
            {
                "size": row.size,
                "now": row.now,
                "out": row.out,
                "have": row.have,
                "short": row.short,
                "peak": row.peak,
                "described": row.described,
                "laid_out": row.laid_out,
            }
            for row in listed.temporary
        ],
        "consumables": [_item_data(row) for row in listed.consumables],
        "parts": [_item_data(row) for row in listed.parts],
        "takes": list(listed.takes),
        "cautions": list(listed.cautions),
    }


def _item_data(row: ItemRow) -> dict[str, object]:
    return {
        "item": row.item,
        "title": row.title,
        "unit": row.unit,
        "quantity": row.quantity,
        "lay_out": row.lay_out,
        "have": row.have,
        "short": row.short,
        "expires": row.expires,
        "lots": _lots(row.lots),
        "mix": row.mix,
        "laid_out": row.laid_out,
    }


def _lots(lots: Sequence[LotUse]) -> list[dict[str, object]]:
    return [{"quantity": lot.quantity, "expires": lot.expires} for lot in lots]


def _tick(laid_out: bool) -> str:
    return "  [x]" if laid_out else "  [ ]"


def _short(short: float) -> str:
    return f"SHORT {number(short)}" if short else ""


def _tool_lines(listed: BenchList) -> Iterator[str]:
    if listed.tools:
        yield "Tools, in order of first use:"
    yield from (f"{_tick(row.laid_out)} {row.title}" for row in listed.tools)


def _fastener_lines(listed: BenchList) -> Iterator[str]:
    if not listed.fasteners:
        return
    yield "Fasteners:"
    yield from table([_fastener_cells(row) for row in listed.fasteners])
    warned = [(row.part_number, text) for row in listed.fasteners for text in row.warnings]
    yield from (f"    ! {part}: {text}" for part, text in warned)


def _fastener_cells(row: FastenerRow) -> list[str]:
    return [
        f"{_tick(row.laid_out)} {row.part_number}",
        f"{number(row.count)} to drive",
        f"lay out {number(row.lay_out)}",
        "not counted in stock" if row.have is None else f"have {number(row.have)}",
        f"tail {', '.join(f'{figure:.2f}' for figure in row.protrusion_d)} D" if row.protrusion_d else "",
        _short(row.short),
    ]


def _temporary_lines(listed: BenchList) -> Iterator[str]:
    if listed.temporary:
        yield "Clecos and clamps:"
    yield from table(
        [
            [
                f"{_tick(row.laid_out)} {row.described}",
                f"now {row.now}",
                f"out {row.out}",
                f"peak {row.peak}",
                f"have {row.have}",
                _short(row.short),
            ]
            for row in listed.temporary
        ]
    )


def _item_lines(title: str, rows: Sequence[ItemRow]) -> Iterator[str]:
    if not rows:
        return
    yield title
    yield from table(
        [
            [
                f"{_tick(row.laid_out)} {row.title}",
                counted(row.quantity, row.unit),
                f"lay out {number(row.lay_out)}",
                f"have {number(row.have)}",
                "; ".join([*filter(None, [_short(row.short)]), *_lot_words(row)]),
            ]
            for row in rows
        ]
    )
    yield from (f"    {row.title}: {row.mix}" for row in rows if row.mix)


def _lot_words(row: ItemRow) -> Iterator[str]:
    """Name the lots to take, where they have dates; the first to expire comes first."""
    for lot in row.lots:
        if lot.expires is not None:
            taken = f"{number(lot.quantity)} from the lot" if len(row.lots) > 1 else "lot"
            yield f"{taken} good to {lot.expires}"
        elif len(row.lots) > 1:
            yield f"{number(lot.quantity)} from the lot without a date"


def order(desk: Desk, args: Namespace) -> Answer:
    """Answer with what to order so that nothing stalls, and what goes out of date before it is needed."""
    weeks = parse_figure(args.weeks, "--weeks")
    if weeks < 0:
        raise Refused(f"--weeks {number(weeks)} is below 0; write how many weeks to look ahead")
    found = desk.orders(weeks)
    today = local_day(desk.now())
    lines: list[str] = []
    for supplier in dict.fromkeys(one.supplier for one in found.orders):
        lines += [f"From {supplier}:"] if supplier else []
        lines += table([_order_cells(one, today.isoformat()) for one in found.orders if one.supplier == supplier])
    lines = lines or [f"nothing needs to be ordered until {found.until}"]
    lines += [_off_line(one) for one in found.going_off]
    lines += [_late_line(one) for one in found.late]
    reckoned = "the usual sessions" if found.by_pattern else "three hours every day, since the plan has no sessions"
    lines.append(f"Reckoned to {found.until} with {reckoned}, the longest chains of work first, spare included.")
    return Answer(_orders_data(found), lines)


def _orders_data(found: Orders) -> dict[str, object]:
    return {
        "order": [
            {
                "item": one.item,
                "quantity": one.quantity,
                "order_by": one.order_by,
                "for": list(one.tasks),
                "title": one.title,
                "unit": one.unit,
                "needed": one.needed,
                "supplier": one.supplier,
            }
            for one in found.orders
        ],
        "going_off": [
            {
                "item": one.item,
                "quantity": one.quantity,
                "expires": one.expires,
                "task": one.task,
                "needed": one.needed,
            }
            for one in found.going_off
        ],
        "late": [
            {
                "item": one.item,
                "quantity": one.quantity,
                "expected": one.expected,
                "task": one.task,
                "needed": one.needed,
            }
            for one in found.late
        ],
        "until": found.until,
    }


def _order_cells(one: Order, today: str) -> list[str]:
    day = one.order_by.isoformat()
    return [
        f"by {day}" if day > today else f"now ({day})" if day < today else "today",
        counted(one.quantity, one.unit),
        one.title,
        f"[{one.item}]",
        f"needed {one.needed} for {first_named(one.tasks)}",
    ]


def _off_line(one: GoingOff) -> str:
    amount = counted(one.quantity, one.unit)
    return f"! {amount} of {one.title}: out of date on {one.expires}, before {one.task} needs it ({one.needed})"


def _late_line(one: Late) -> str:
    amount = counted(one.quantity, one.unit)
    when = f"comes only {one.expected}" if one.expected else "is on order, nobody knows for when"
    return f"! {one.title}, {amount} wanted {one.needed} for {one.task}: {when}"
