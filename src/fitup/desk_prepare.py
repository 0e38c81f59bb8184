"""What has to be made ready for a run sheet: the shop warm in time, and the work for two before the helper comes."""

from __future__ import annotations

from collections.abc import Iterator

from fitup.desk import Desk
from fitup.model.amounts import clean, clock, number, stretch
from fitup.model.holds import hold_book
from fitup.model.plan import Plan, Task
from fitup.model.sheet import Line, Sheet


def preparations(desk: Desk, sheet: Sheet) -> tuple[str, ...]:
    """Return a sentence for each thing to make ready; it is the shop that is to be warm, never a product."""
    return (*_warmth(desk.project.plan, sheet), *_for_two(desk.project.plan, sheet))


def lowest_temperature(plan: Plan, task: Task) -> float | None:
    """Return the temperature in C below which a task may not be done, by its own, its work's and its items' ranges."""
    items = [plan.item[item].temperature for item, _ in task.needs if item in plan.item]
    ranges = (task.temperature, plan.work_of(task).temperature, *items)
    return max((limits[0] for limits in ranges if limits), default=None)


def _warmth(plan: Plan, sheet: Sheet) -> Iterator[str]:
    warmest = float("-inf")
    for line in sheet.lines:
        task = plan.task[line.task]
        low = lowest_temperature(plan, task)
        if low is not None and low > warmest:
            warmest = low
            yield f"Shop at {number(low)} C by {_at(sheet, line.begin)} for {clean(task.title)}."


def _for_two(plan: Plan, sheet: Sheet) -> Iterator[str]:
    both = [line for line in sheet.lines if line.who == "both"]
    if not both:
        return
    minutes = stretch(sheet.two_people_minutes)
    named = ", ".join(clean(plan.task[line.task].title) for line in both)
    yield f"With two from {_at(sheet, both[0].begin)}, {minutes}: {named}."
    before = _leading_to(plan, sheet, both)
    if before:
        yield f"Ready by then: {', '.join(clean(plan.task[line.task].title) for line in before)}."


def _leading_to(plan: Plan, sheet: Sheet, both: list[Line]) -> list[Line]:
    """Return the lines that the work for two waits for, directly or through other lines, in order."""
    wanted = {line.task for line in both}
    found: list[Line] = []
    for line in reversed(sheet.lines):
        if line.who != "both" and wanted.intersection(hold_book(plan).waiters[line.task]):
            wanted.add(line.task)
            found.append(line)
    return found[::-1]


def _at(sheet: Sheet, minute: int) -> str:
    return clock(sheet.question.instant(minute))
