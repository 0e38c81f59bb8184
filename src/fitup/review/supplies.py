"""Rules about what must be there: clecos, stock in date, a second pair of hands."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from fitup.bench import part_number_of
from fitup.model.amounts import counted
from fitup.model.plan import Item, Task
from fitup.review.rule import Ground, Remark

_ROUNDING = 1e-9


def clecos_short(ground: Ground) -> Iterator[Remark]:
    """Name sizes of which more are out at once, in whatever order the work is done, than there are.

    A loan is surely out at its own task, at the task that gives it back, and at all work on the way.
    """
    plan = ground.plan
    have: dict[str, int] = {}
    for cleco in plan.clecos:
        have[cleco.size] = have.get(cleco.size, 0) + cleco.have
    out: dict[str, dict[str, int]] = {}
    for task in plan.tasks:
        for loan in task.clecos:
            during = out.setdefault(loan.size, {})
            back = loan.until if loan.until in plan.task and ground.comes_before(task.id, loan.until) else task.id
            for name in {task.id, back, *ground.between(task.id, back)}:
                during[name] = during.get(name, 0) + loan.count
    for size, during in out.items():
        peak = max(during.values())
        there = have.get(size, 0)
        if peak > there:
            at = min((name for name, count in during.items() if count == peak), key=plan.position.__getitem__)
            says = f"{size}: {peak} out at once (at {at}), but the shop has {there}"
            yield size, says, f"get {peak - there} more and correct [[cleco]], or let fewer be lent at once"


def short_supply(ground: Ground) -> Iterator[Remark]:
    """Name items of which the whole plan needs more than there is and is on order."""
    plan = ground.plan
    needed = _needed(ground)
    for item in plan.items:
        coming = item.on_order.quantity if item.on_order is not None else 0.0
        there = sum(lot.have for lot in item.lots)
        want = sum(needed.get(item.id, {}).values())
        if want > there + coming + _ROUNDING:
            on_order = f" and {_amount(item, coming)} on order" if coming else ""
            says = f"{item.id}: the plan needs {_amount(item, want)}, but the shop has {_amount(item, there)}{on_order}"
            yield item.id, says, f"order {_amount(item, want - there - coming)} more, or correct its lots"


def _amount(item: Item, quantity: float) -> str:
    return counted(quantity, item.unit)


def _needed(ground: Ground) -> dict[str, dict[str, float]]:
    """Return per item what each task takes of it: its needs, and fasteners with the item's part number."""
    plan = ground.plan
    by_number = {item.part_number: item.id for item in plan.items if item.part_number}
    needed: dict[str, dict[str, float]] = {}
    for task in plan.tasks:
        for item_id, quantity in task.needs:
            needed.setdefault(item_id, {})[task.id] = quantity
        item_of = by_number.get(part_number_of(plan, task)) if by_number and task.fasteners else None
        if item_of is not None:
            needed.setdefault(item_of, {}).setdefault(task.id, task.count)
    return needed


def expires_first(ground: Ground) -> Iterator[Remark]:
    """Name stock that is out of date before the work that needs it can begin.

    Work begins at the earliest after the visits and deliveries that it and the work before it wait for.
    """
    plan = ground.plan
    needed = _needed(ground)
    earliest = _earliest(ground)
    for item in plan.items:
        coming = item.on_order.quantity if item.on_order is not None else 0.0
        all_lots = sum(lot.have for lot in item.lots)
        for task_id, quantity in needed.get(item.id, {}).items():
            day = earliest.get(task_id)
            if day is None or quantity > all_lots + _ROUNDING:
                continue
            in_date = sum(lot.have for lot in item.lots if lot.expires is None or lot.expires >= day)
            if quantity > in_date + coming + _ROUNDING:
                last = max(lot.expires for lot in item.lots if lot.expires is not None and lot.expires < day)
                says = f"{item.id} is in date until {last}, but {task_id} cannot begin before {day}"
                yield item.id, says, f"use it first elsewhere and order {_amount(item, quantity)} for {task_id}"


def _earliest(ground: Ground) -> dict[str, date]:
    """Return the first day on which a task may begin, where visits or deliveries say one."""
    days: dict[str, date] = {}
    for task_id in ground.book.order:
        task = ground.plan.task[task_id]
        found = [days[until] for until in ground.book.before(task_id) if until in days]
        found += _own_days(ground, task)
        if found:
            days[task_id] = max(found)
    return days


def _own_days(ground: Ground, task: Task) -> Iterator[date]:
    plan = ground.plan
    for hold in ground.book.holds[task.id]:
        if hold.kind == "sign-off" and hold.expected is not None:
            yield hold.expected
        if hold.kind == "supply" and hold.item in plan.item:
            item = plan.item[hold.item]
            short = hold.quantity > sum(lot.have for lot in item.lots) + _ROUNDING
            if short and item.on_order is not None and item.on_order.expected is not None:
                yield item.on_order.expected


def helper_needed(ground: Ground) -> Iterator[Remark]:
    """Name, in one note, the tasks that take two people throughout."""
    plan = ground.plan
    two = [task.id for task in plan.tasks if plan.crew_of(task) >= 2]
    if two:
        count = "one task" if len(two) == 1 else f"{len(two)} tasks"
        yield "helper", f"a helper is needed throughout for {count}: {', '.join(two)}", "ask someone in good time"
