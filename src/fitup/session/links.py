"""What ties candidates together: groups, time windows, loans, occupied tables, stocks, what they free."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from functools import cached_property
from math import floor

from fitup.estimate import unit_time
from fitup.model.amounts import local_day
from fitup.model.holds import HoldBook, hold_book
from fitup.model.plan import Plan, Task, Within
from fitup.model.progress import Project
from fitup.session.problem import Candidate, Loan, Occupation, Problem, Reward, Window
from fitup.session.worth import Scale


def link(
    scale: Scale, candidates: tuple[Candidate, ...], usable: int, helper: tuple[tuple[int, int], ...], squeeze: float
) -> Problem:
    """Return the whole problem around its candidates."""
    project, plan, question = scale.project, scale.project.plan, scale.question
    index = {candidate.task: candidate.index for candidate in candidates}
    ways = Ways(plan)
    day = local_day(question.start)
    items = {item for candidate in candidates for item, _ in candidate.needs}
    groups: dict[str, list[int]] = {}
    for candidate in candidates:
        if candidate.group:
            groups.setdefault(candidate.group, []).append(candidate.index)
    loans = _loans(project, index)
    return Problem(
        project=project,
        question=question,
        scale=scale,
        usable=usable,
        next_start=question.next_start,
        helper=helper,
        candidates=_lending(candidates, loans),
        groups={name: tuple(members) for name, members in groups.items()},
        windows=_windows(scale, index, ways, squeeze),
        loans=loans,
        have_clecos={row.size: row.have for row in plan.clecos},
        occupations=_occupations(project, index, ways),
        have_tools={tool.id: tool.have for tool in plan.tools},
        stock={item: project.stock(item).in_date(day) for item in items},
        rewards=_rewards(scale, index),
        saves={index[name]: closes for name, closes in scale.saved_by.items() if name in index},
        needed_by={
            c.index: tuple(index[name] for name in hold_book(plan).waiters[c.task] if name in index)
            for c in candidates
            if c.early
        },
    )


class Ways:
    """The tasks that lie between two others in the order of work."""

    def __init__(self, plan: Plan) -> None:
        self.book: HoldBook = hold_book(plan)

    @cached_property
    def place(self) -> Mapping[str, int]:
        """The places of all tasks in the order of work."""
        return {name: place for place, name in enumerate(self.book.order)}

    def between(self, first: str, last: str) -> list[str]:
        """Return the tasks that come after `first` and before `last`, neither included."""
        # only tasks placed after `first` can come after it, which keeps the walk back from `last` short
        least = self.place.get(first, -1)
        back = {last}
        stack = [last]
        while stack:
            for name in self.book.before(stack.pop()):
                if name not in back and self.place.get(name, -1) > least:
                    back.add(name)
                    stack.append(name)
        found: set[str] = set()
        for name in sorted(back, key=self.place.__getitem__):
            if any(before == first or before in found for before in self.book.before(name)):
                found.add(name)
        return sorted(found - {last}, key=self.place.__getitem__)


def _windows(scale: Scale, index: Mapping[str, int], ways: Ways, squeeze: float) -> tuple[Window, ...]:
    project = scale.project
    waivers = project.progress.waivers
    found = []
    for task in project.plan.tasks:
        if not task.within or project.done(task.id):
            continue
        for window in task.within:
            waived = any((task.id, kind, window.of) in waivers for kind in ("within", "after"))
            if waived or window.of not in project.plan.task:
                continue
            opened = _opened(project, window)
            if (opened is None and window.of in index) or (opened is not None and task.id in index):
                found.append(_window(scale, index, ways, squeeze, task, window, opened))
    return tuple(found)


def _opened(project: Project, window: Within) -> datetime | None:
    progress = project.progress.of(window.of)
    if window.start == "begin":
        return progress.begun_at if progress.done else None
    return progress.finished_at if project.done(window.of) else None


def _window(
    scale: Scale,
    index: Mapping[str, int],
    ways: Ways,
    squeeze: float,
    task: Task,
    window: Within,
    opened: datetime | None,
) -> Window:
    project, question = scale.project, scale.question
    chain = []
    for name in (task.id, *ways.between(window.of, task.id)):
        each = project.plan.task[name]
        left = project.open_count(name)
        if left:
            time = unit_time(project.plan, each).times(scale.pace.get(each.work, 1.0))
            chain.append((index.get(name), left, time.likely, max(0.0, time.high - time.likely)))
    closes = None if opened is None else floor(question.minute(opened) + window.hours * 60)
    begin = window.start == "begin"
    return Window(
        task=task.id,
        first=None if opened is not None else index[window.of],
        last=index.get(task.id),
        from_finish=not begin,
        span=floor(window.hours * 60 / squeeze),
        true_span=floor(window.hours * 60),
        closes=closes if closes is None or closes < 0 else floor(closes / squeeze),
        true_closes=closes,
        margin=window.margin_minutes if begin else 0.0,
        high=begin,
        chain=tuple(chain),
    )


def _loans(project: Project, index: Mapping[str, int]) -> tuple[Loan, ...]:
    found = []
    for task in project.plan.tasks:
        if not task.clecos:
            continue
        begun = project.progress.of(task.id).done > 0
        for loan in task.clecos:
            back = project.plan.task.get(loan.until)
            if back is None or project.done(loan.until) or not (begun or task.id in index):
                continue
            lender = None if begun else index[task.id]
            done = project.progress.of(loan.until).done
            found.append(Loan(loan.size, loan.count, lender, index.get(loan.until), done, max(1, back.count)))
    return tuple(found)


def _lending(candidates: tuple[Candidate, ...], loans: tuple[Loan, ...]) -> tuple[Candidate, ...]:
    takes: dict[int, list[int]] = {}
    for place, loan in enumerate(loans):
        if loan.lender is not None:
            takes.setdefault(loan.lender, []).append(place)
    return tuple(replace(c, takes=tuple(takes[c.index])) if c.index in takes else c for c in candidates)


def _occupations(project: Project, index: Mapping[str, int], ways: Ways) -> tuple[Occupation, ...]:
    found = []
    for task in project.plan.tasks:
        if not task.occupies:
            continue
        begun = project.progress.of(task.id).done > 0
        for held in task.occupies:
            if held.until not in project.plan.task or project.done(held.until) or not (begun or task.id in index):
                continue
            serves = {task.id, held.until, *ways.between(task.id, held.until)}
            found.append(
                Occupation(
                    tool=held.tool,
                    lender=None if begun else index[task.id],
                    until=index.get(held.until),
                    serves=frozenset(index[name] for name in serves if name in index),
                )
            )
    return tuple(found)


def _rewards(scale: Scale, index: Mapping[str, int]) -> tuple[Reward, ...]:
    found = []
    # of a large plan hardly any task waits for candidates alone, so that this is asked first
    for name, needs in scale.readiness.waits_for.items():
        if needs and all(map(index.__contains__, needs)) and scale.held_by_tasks_alone(name):
            worth = scale.freed(scale.project.plan.task[name])
            found.append(Reward(name, index.get(name), tuple(sorted({index[need] for need in needs})), worth))
    return tuple(found)
