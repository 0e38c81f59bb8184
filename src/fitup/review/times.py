"""Rules about time: windows that cannot be met, and work that fits in no session."""

from __future__ import annotations

from collections.abc import Iterator

from fitup.estimate import clean_up_of, set_up_of, unit_likely, unit_time
from fitup.model.amounts import stretch
from fitup.model.pattern import parse_pattern
from fitup.model.plan import Plan, Task, Within
from fitup.model.refusal import Refused
from fitup.readiness import cpm
from fitup.review.rule import Ground, Remark

FULL_DAY_MINUTES = 480
"""The longest session reckoned with where the plan names no usual ones."""


def window_impossible(ground: Ground) -> Iterator[Remark]:
    """Name time windows that the work in them overruns at its high times.

    From the begin of `of` its own likely time counts too, and the margin; cures between count in full.
    """
    for task in ground.plan.tasks:
        for window in task.within:
            if window.of not in ground.plan.task or not ground.comes_before(window.of, task.id):
                continue
            needed = _needed(ground, task, window)
            if needed > window.hours * 60:
                margin = f", {stretch(window.margin_minutes)} of margin included" if window.start == "begin" else ""
                says = (
                    f"{task.id} has to be finished within {stretch(window.hours * 60)} of the {window.start} of "
                    f"{window.of}, but the work until then takes {stretch(needed)} when it goes slowly{margin}"
                )
                yield task.id, says, f"do less work per {window.of}, or correct the hours or the times between"


def _needed(ground: Ground, task: Task, window: Within) -> float:
    """Return the minutes from the window's opening until the task is finished, at high times.

    At least the builder's own work one after another, and at least the longest chain with its cures.
    """
    plan = ground.plan
    inside = (*ground.between(window.of, task.id), task.id)
    minutes = {name: _high(plan, plan.task[name]) for name in inside}
    opener = plan.task[window.of]
    minutes[window.of] = unit_likely(plan, opener) * opener.count if window.start == "begin" else 0.0
    before: dict[str, list[str]] = {window.of: []}
    lags: dict[tuple[str, str], float] = {}
    for name in inside:
        before[name] = [until for until in ground.book.before(name) if until in minutes]
        for hold in ground.book.holds[name]:
            if hold.kind == "cure" and hold.until in minutes:
                pair = hold.until or "", name
                lags[pair] = max(lags.get(pair, 0.0), hold.hours * 60)
    chain = cpm(minutes, before, lags).earliest_finish[task.id]
    by_builder = sum(time for name, time in minutes.items() if not plan.work_of(plan.task[name]).helper_alone)
    return max(chain, by_builder) + (window.margin_minutes if window.start == "begin" else 0.0)


def _high(plan: Plan, task: Task) -> float:
    return unit_time(plan, task).high * task.count


def never_fits(ground: Ground) -> Iterator[Remark]:
    """Name tasks that cannot be split, and work in one go, longer than the longest usual session."""
    plan = ground.plan
    try:
        usual = parse_pattern(plan.sessions).longest_minutes
    except Refused as refusal:
        yield "sessions", f"the usual sessions cannot be read: {refusal}", "correct `sessions`"
        usual = 0
    longest = usual or FULL_DAY_MINUTES
    session = f"the longest usual session has {stretch(usual)}" if usual else f"a full day has {stretch(longest)}"
    groups: dict[str, list[Task]] = {}
    for task in plan.tasks:
        if task.one_go:
            groups.setdefault(task.one_go, []).append(task)
        elif not plan.splits(task) and (takes := _together(plan, [task])) > longest:
            says = f"{task.id} takes {stretch(takes)} and cannot be split, but {session}"
            yield task.id, says, "cut it into several tasks, say split = true, or plan a longer session"
    for name, tasks in groups.items():
        takes = _together(plan, tasks)
        if takes > longest:
            parts = ", ".join(task.id for task in tasks)
            says = f"the work in one go {name!r} ({parts}) takes {stretch(takes)}, but {session}"
            yield name, says, "divide it into two goes, or plan a longer session"


def _together(plan: Plan, tasks: list[Task]) -> float:
    """Return the likely minutes of tasks done one after another, tools got out once per kind of work."""
    table = {task.work: set_up_of(plan, task) + clean_up_of(plan, task) for task in tasks if task.minutes is None}
    return sum(table.values()) + sum(unit_likely(plan, task) * task.count for task in tasks)
