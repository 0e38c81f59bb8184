"""Audit rules about means: tools and tables, temporary fasteners, items in date, warmth, the quiet hour."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from fitup.model.amounts import clean, counted, local_day, number
from fitup.model.plan import ClecoLoan, Task
from fitup.model.sheet import Line
from fitup.session.audit_case import Case, Fault

NOTHING = 1e-9
"""Quantities of stock that differ by less than this are the same."""


def items(case: Case) -> Iterator[Fault]:
    """All lines together take no more of an item than is there in date; a waived supply is not counted."""
    day = local_day(case.question.start)
    waivers = case.project.progress.waivers
    taken: dict[str, float] = {}
    for line in case.lines:
        task = case.plan.task[line.task]
        for item, quantity in task.needs:
            if (line.task, "supply", item) in waivers or item not in case.plan.item:
                continue
            before = taken.get(item, 0.0)
            taken[item] = before + quantity * line.count / max(1, task.count)
            have = case.project.stock(item).in_date(day)
            if taken[item] > have + NOTHING >= before:
                known = case.plan.item[item]
                lack = f"{counted(taken[item] - have, clean(known.unit))} of {clean(known.title)}"
                yield Fault("items", line.task, f"{case.title(line.task)} is short of {lack}.", f"{lack} short")


def weather(case: Case) -> Iterator[Fault]:
    """What has a range of temperature or humidity is only planned inside it, where the shop's is known."""
    for line in case.lines:
        task = case.plan.task[line.task]
        needed = [case.plan.item[item] for item, _ in task.needs if item in case.plan.item]
        warmth = (task.temperature, case.plan.work_of(task).temperature, *(item.temperature for item in needed))
        damp = (task.humidity, *(item.humidity for item in needed))
        for limits in warmth:
            yield from _outside(case, line, limits, case.question.celsius, ("cold", "warm", "C"))
        for limits in damp:
            yield from _outside(case, line, limits, case.question.humidity, ("dry", "damp", "% humidity"))


def _outside(
    case: Case, line: Line, limits: tuple[float, float] | None, value: float | None, words: tuple[str, str, str]
) -> Iterator[Fault]:
    if limits is None or value is None or limits[0] <= value <= limits[1]:
        return
    under = value < limits[0]
    needs = f"needs {number(limits[0])} {words[2]}" if under else f"at most {number(limits[1])} {words[2]}"
    short = f"too {words[0] if under else words[1]} to apply: {number(value)} {words[2]}, {needs}"
    yield Fault("weather", line.task, f"{case.title(line.task)}: {short}.", short)


def quiet(case: Case) -> Iterator[Fault]:
    """Loud work is over by the quiet hour."""
    limit = case.question.quiet_from
    for line in case.lines:
        if limit is not None and line.end > limit and case.plan.loud(case.plan.task[line.task]):
            says = f"{case.title(line.task)} is loud and ends after {case.at(limit)}."
            short = f"loud, and quiet hours begin at {case.at(limit)}" if limit > 0 else "loud, in the quiet hours"
            yield Fault("quiet", line.task, says, short, line.end - limit)


def clecos(case: Case) -> Iterator[Fault]:
    """When a task takes temporary fasteners, those that are out by then and its own are no more than there are."""
    have = {row.size: row.have for row in case.plan.clecos}
    for line in case.lines:
        task = case.plan.task[line.task]
        if case.project.progress.of(line.task).done:
            continue
        for size in dict.fromkeys(loan.size for loan in task.clecos):
            out = sum(_out(case, lender, loan, line.begin) for lender, loan in case.standing.loans.get(size, ()))
            short = out - have.get(size, 0)
            if short > 0:
                what = counted(short, "clamp") if size == "clamp" else f"{counted(short, 'cleco')} of {clean(size)}"
                says = f"{case.title(line.task)} is {what} short at {case.at(line.begin)}."
                yield Fault("clecos", line.task, says, f"{what} short")


def _out(case: Case, lender: Task, loan: ClecoLoan, minute: int) -> int:
    """Return how many of a loan are out just after `minute`; whole ones come back as `until` is done."""
    line = case.by_task.get(lender.id)
    if not case.project.progress.of(lender.id).done and (line is None or line.begin > minute):
        return 0
    back = case.by_task.get(loan.until)
    done = case.project.progress.of(loan.until).done
    if back is not None and back.end <= minute:
        done += back.count
    of = max(1, case.plan.task[loan.until].count)
    return loan.count - floor(loan.count * min(done, of) / of)


def tools(case: Case) -> Iterator[Fault]:
    """No tool, table or jig is in more uses at once than there are of it.

    What an assembly occupies serves the work on that assembly: from the task that took it to the
    one that gives it back, and all between.
    """
    for line in case.lines:
        task = case.plan.task[line.task]
        takes = [] if case.project.progress.of(line.task).done else [held.tool for held in task.occupies]
        for tool in dict.fromkeys((*case.plan.tools_of(task), *takes)):
            have = case.plan.tool[tool].have if tool in case.plan.tool else 1
            others = _uses(case, tool, line)
            if len(others) > have and _adds(case, tool, line):
                name = clean(case.plan.tool[tool].title) if tool in case.plan.tool else clean(tool)
                by = next((other for other in others if other != line.task), line.task)
                says = f"{case.title(line.task)} needs {name} at {case.at(line.begin)}, taken by {case.title(by)}."
                yield Fault("tools", line.task, says, f"{name} is taken by {case.title(by)}")


def _adds(case: Case, tool: str, line: Line) -> bool:
    """Return whether the line adds a use of the tool rather than working on what occupies it already."""
    task = case.plan.task[line.task]
    if not case.project.progress.of(line.task).done and any(held.tool == tool for held in task.occupies):
        return True
    return not any(line.task in serves for _, serves in _occupations(case, tool, line.begin))


def _uses(case: Case, tool: str, now: Line) -> list[str]:
    """Return who has the tool when `now` begins: occupations, and lines at work that no occupation serves."""
    occupied = _occupations(case, tool, now.begin)
    at_work = [
        line.task
        for line in case.lines
        if line.begin <= now.begin < line.end
        and tool in case.plan.tools_of(case.plan.task[line.task])
        and not any(line.task in serves for _, serves in occupied)
    ]
    return [lender for lender, _ in occupied] + at_work


def _occupations(case: Case, tool: str, minute: int) -> list[tuple[str, frozenset[str]]]:
    """Return who occupies the tool just after `minute`, and the tasks that this serves."""
    found = []
    for lender, held in case.standing.occupiers.get(tool, ()):
        line = case.by_task.get(lender.id)
        if not case.project.progress.of(lender.id).done and (line is None or line.begin > minute):
            continue
        back = case.finishes(held.until)
        if back is None or back.end > minute:
            serves = case.standing.between(lender.id, held.until) | {lender.id, held.until}
            found.append((lender.id, serves))
    return found
