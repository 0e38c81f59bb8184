"""Audit rules about order: holds with their cures, time windows, and work done in one go."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import ceil, floor

from fitup.estimate import cure_minutes
from fitup.model.amounts import stretch
from fitup.model.holds import TASK_KINDS
from fitup.model.plan import Task, Within
from fitup.model.sheet import Line
from fitup.readiness import HoldState
from fitup.session.audit_case import Case, Fault


def holds(case: Case) -> Iterator[Fault]:
    """What stands on a task at the start is lifted by the sheet itself, or by a clock, before the task begins."""
    for line in case.lines:
        for state in case.standing.readiness.standing(line.task):
            until = state.hold.until
            if state.kind in TASK_KINDS and until is not None and not case.project.done(until):
                yield from _waits_for_task(case, line, state, until)
            elif state.kind == "cure" and isinstance(state.expected, datetime) and not state.hold.witness:
                yield from _waits_for_clock(case, line, ceil(case.question.minute(state.expected)))
            else:
                yield _stands(case, line, state)


def _waits_for_task(case: Case, line: Line, state: HoldState, until: str) -> Iterator[Fault]:
    title, other = case.title(line.task), case.title(until)
    before = case.finishes(until)
    if before is None:
        says = f"{title} waits for {other}, which this session does not finish."
        yield Fault("hold", line.task, says, _leave_off(state) or f"waits for {other}")
    elif state.kind == "cure" and state.hold.witness:
        yield _stands(case, line, state)
    else:
        lag = cure_minutes(case.project, line.task, state.hold, case.question.celsius) if state.kind == "cure" else 0
        early = before.end + lag - line.begin
        if early > 0:
            wait = f"until {case.at(before.end + lag)}, when it has cured" if lag else "until it is finished"
            says = f"{title} begins {stretch(early)} too early: it waits for {other} {wait}."
            yield Fault("order", line.task, says, f"waits for {other} {wait}", early)


def _leave_off(state: HoldState) -> str:
    return f"left off on purpose: {state.why}" if state.kind == "leave-off" and state.why else ""


def _waits_for_clock(case: Case, line: Line, release: int) -> Iterator[Fault]:
    early = release - line.begin
    if early > 0:
        says = f"{case.title(line.task)} begins {stretch(early)} too early: a cure runs until {case.at(release)}."
        yield Fault("order", line.task, says, f"cures until {case.at(release)}", early)


def _stands(case: Case, line: Line, state: HoldState) -> Fault:
    title = case.title(line.task)
    if state.kind == "within":
        says = f"{title}: its time window has run out; {state.lifts}."
        return Fault("hold", line.task, says, f"its time window has run out; {state.lifts}")
    says = f"{title} is held ({state.kind}): {state.why or state.lifts}."
    return Fault("hold", line.task, says, state.why or state.lifts)


def windows(case: Case) -> Iterator[Fault]:
    """A window that is open is met, high times reckoned with; one is opened only if it can be met."""
    for task, window in case.standing.windows:
        opened = _opened_before(case, window)
        if opened is not None:
            if task.id in case.by_task:
                yield from _meets(case, task, window, floor(opened + window.hours * 60), None)
            continue
        line = case.by_task.get(window.of)
        if line is None or (window.start == "finish" and case.finishes(window.of) is None):
            continue
        begin = line.begin if window.start == "begin" else line.end
        yield from _meets(case, task, window, floor(begin + window.hours * 60), line)


def _opened_before(case: Case, window: Within) -> float | None:
    """Return the minute, negative as a rule, at which the window opened before this session."""
    progress = case.project.progress.of(window.of)
    if window.start == "begin":
        instant = progress.begun_at if progress.done else None
    else:
        instant = progress.finished_at if case.project.done(window.of) else None
    return None if instant is None else case.question.minute(instant)


def _meets(case: Case, task: Task, window: Within, closes: int, opener: Line | None) -> Iterator[Fault]:
    """Judge one open window that closes at minute `closes`; `opener` is the line that opens it, if on the sheet."""
    finish = case.finishes(task.id)
    blamed = opener.task if opener is not None and finish is None else task.id
    title = case.title(task.id)
    if finish is not None:
        late = finish.end + _reserve(case, task, window) - closes
        if late > 0:
            kept = " with the high times" if window.start == "begin" else ""
            says = f"{title} would be finished {stretch(late)} too late{kept}: its window closes at {case.at(closes)}."
            yield Fault("window", blamed, says, f"its window closes at {case.at(closes)}", late)
        return
    start = case.question.next_start
    if start is None or closes < start + _left_after(case, task, window):
        says = f"{title} has to be finished by {case.at(closes)}, and after this session there is no time for it."
        short = f"its time would run out before {title} is finished" if opener else "its window closes before the rest"
        yield Fault("window", blamed, says, short)


def _reserve(case: Case, task: Task, window: Within) -> int:
    """Return the minutes to keep free before the window closes: high over likely times, and the margin."""
    if window.start == "finish":
        return 0
    chain = [task, *(case.plan.task[name] for name in case.standing.between(window.of, task.id))]
    over = sum(case.spread(each, case.by_task[each.id].count) for each in chain if each.id in case.by_task)
    return ceil(round(over + window.margin_minutes, 6))


def _left_after(case: Case, task: Task, window: Within) -> int:
    """Return the minutes of work that the chain of a window still takes after this session."""
    minutes = window.margin_minutes if window.start == "begin" else 0.0
    for name in (task.id, *case.standing.between(window.of, task.id)):
        each = case.plan.task[name]
        line = case.by_task.get(name)
        left = case.project.open_count(name) - (line.count if line is not None else 0)
        minutes += case.unit(each) * left
        if window.start == "begin":
            minutes += case.spread(each, left)
    return ceil(round(minutes, 6))


def one_go(case: Case) -> Iterator[Fault]:
    """Of a one-go group all open tasks are finished or none is begun, with no other work of the builder's between."""
    for members in case.standing.groups.values():
        planned = [case.by_task[task.id] for task in members if task.id in case.by_task]
        if not planned:
            continue
        for task in members:
            if case.finishes(task.id) is None:
                whole = case.title(planned[0].task)
                says = f"{whole} goes in one go with {case.title(task.id)}, which is not finished."
                blamed = planned[0].task if task.id not in case.by_task else task.id
                yield Fault("one-go", blamed, says, f"goes in one go with {case.title(task.id)}")
        first, last = min(line.begin for line in planned), max(line.end for line in planned)
        names = {task.id for task in members}
        for line in case.builder:
            if line.task not in names and line.begin < last and line.end > first:
                says = f"{case.title(line.task)} breaks into work that goes in one go ({case.title(planned[0].task)})."
                yield Fault("one-go", line.task, says, f"{case.title(planned[0].task)} goes in one go")
