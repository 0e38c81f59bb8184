"""Validated tables turned into the values of the model: hyphens, lists and short forms end here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from pydantic import BaseModel

from fitup.files import schema as s
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
    OnOrder,
    Plan,
    Task,
    ThreePoint,
    Tool,
    Within,
    Work,
)


def plan_of(table: s.PlanTable, works: Mapping[str, Work], tools: Mapping[str, Tool], file_name: str) -> Plan:
    """Build the plan of a validated plan file whose procedures are already taken in.

    `works` and `tools` are the shop's rows by id. Rows of work that a task uses are copied in, in the
    order of first use; so are tools that the plan does not list itself. Work that nobody knows is a row
    without figures, a tool that nobody knows is left out.
    """
    tasks = tuple(task_of(task) for task in table.task)
    own_works = {row.id: work_of(row) for row in table.work}
    used_ids = dict.fromkeys(task.work for task in tasks)
    used = tuple(own_works.get(work) or works.get(work) or Work(work, work) for work in used_ids)
    own_tools = {row.id: tool_of(row, tools) for row in table.tool}
    named = _tools_named(used, tasks)
    return Plan(
        title=table.title or file_name,
        length_unit=table.length_unit,
        sessions=table.sessions,
        works=used,
        assemblies=tuple(Assembly(row.id, row.title) for row in table.assembly),
        bays=tuple(Bay(row.id, row.title) for row in table.bay),
        tools=(*own_tools.values(), *(tools[tool] for tool in named if tool in tools and tool not in own_tools)),
        items=tuple(item_of(row) for row in table.item),
        clecos=tuple(Cleco(row.size, row.have) for row in table.cleco),
        tasks=tasks,
        review_off=tuple(table.review.off.items()),
    )


def _tools_named(works: Iterable[Work], tasks: Sequence[Task]) -> tuple[str, ...]:
    named = [tool for work in works for tool in work.tools]
    for task in tasks:
        named += [*task.tools, *(taken.tool for taken in task.occupies)]
    return tuple(dict.fromkeys(named))


def work_of(row: s.WorkTable) -> Work:
    """Build a row of the work table."""
    values = _plain(row, "seconds", "temperature")
    return Work(**values, seconds=_three(row.seconds), temperature=_pair(row.temperature))


def tool_of(row: s.ToolTable, known: Mapping[str, Tool]) -> Tool:
    """Build a tool; a title left out is the shop's, or else the id."""
    listed = known.get(row.id)
    return Tool(row.id, row.title or (listed.title if listed else row.id), row.have)


def item_of(row: s.ItemTable) -> Item:
    """Build an item with its lots and what is on order."""
    return Item(
        **_plain(row, "lots", "on_order", "temperature", "humidity"),
        lots=tuple(Lot(lot.have, lot.expires) for lot in row.lots),
        on_order=OnOrder(row.on_order.quantity, row.on_order.expected) if row.on_order else None,
        temperature=_pair(row.temperature),
        humidity=_pair(row.humidity),
    )


_TASK_PARTS = (
    "after",
    "holds",
    "within",
    "minutes",
    "occupies",
    "clecos",
    "needs",
    "fasteners",
    "check",
    "temperature",
    "humidity",
)


def task_of(row: s.TaskTable) -> Task:
    """Build a task; `after` comes before the other holds, and the same hold twice is one."""
    holds = (*(Hold("after", until=task) for task in row.after), *(Hold(**_plain(hold)) for hold in row.holds))
    return Task(
        **_plain(row, *_TASK_PARTS),
        holds=tuple(dict.fromkeys(holds)),
        within=tuple(Within(**_plain(window)) for window in row.within),
        minutes=_three(row.minutes) if row.minutes is not None else None,
        occupies=tuple(Occupy(taken.tool, taken.until) for taken in row.occupies),
        clecos=tuple(ClecoLoan(loan.size, loan.count, loan.until) for loan in row.clecos),
        needs=tuple(row.needs.items()),
        fasteners=Fasteners(**_plain(row.fasteners)) if row.fasteners else None,
        check=Check(**_plain(row.check)) if row.check else None,
        temperature=_pair(row.temperature),
        humidity=_pair(row.humidity),
    )


def _plain(row: BaseModel, *without: str) -> dict[str, Any]:
    """Return the fields of a table by name, lists as tuples, but for those built by hand."""
    values = {name: getattr(row, name) for name in type(row).model_fields if name not in without}
    return {name: tuple(value) if isinstance(value, list) else value for name, value in values.items()}


def _three(figures: Sequence[float]) -> ThreePoint:
    return ThreePoint(figures[0], figures[1], figures[2])


def _pair(figures: Sequence[float] | None) -> tuple[float, float] | None:
    return None if figures is None else (figures[0], figures[1])
