"""Three-point times of tasks: their own minutes where the plan gives them, else the work table.

A task's own `minutes` are those of the whole task with getting the tools out and putting them away
included; the work table's seconds are per unit, and its set-up and clean-up come on top, once for
each stay at that kind of work. All figures are minutes.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from types import MappingProxyType

from fitup.model.plan import Plan, Task, ThreePoint
from fitup.model.progress import Project

AS_TABLE: Mapping[str, float] = MappingProxyType({})
"""A builder who works at the pace of the table in every kind of work."""


def unit_time(plan: Plan, task: Task) -> ThreePoint:
    """Return the minutes of one unit of the task at the table's pace, table set-up left out."""
    if task.minutes is not None:
        return task.minutes.times(1 / max(1, task.count))
    return plan.work_of(task).seconds.times(1 / 60)


def unit_likely(plan: Plan, task: Task) -> float:
    """Return the likely one of `unit_time`'s three figures alone, which planners ask for thousands of times."""
    if task.minutes is not None:
        return task.minutes.likely * (1 / max(1, task.count))
    return plan.work_of(task).seconds.likely * (1 / 60)


def work_time(plan: Plan, task: Task, count: int, pace: float = 1.0) -> ThreePoint:
    """Return the minutes of work for `count` units; `pace` is this builder's time over the table's."""
    return unit_time(plan, task).times(count * pace)


def whole_minutes(likely_per_unit: float, count: int, pace: float = 1.0) -> int:
    """Return the likely minutes of `count` units as a run sheet shows them: whole, at least one."""
    return max(1, round(likely_per_unit * (count * pace)))


def remaining_minutes(project: Project, pace: Mapping[str, float] = AS_TABLE) -> dict[str, float]:
    """Return the likely minutes still to be worked on each task; done = 0.

    `pace` maps kinds of work to this builder's time over the table's (1 where it has no entry).
    """
    plan = project.plan
    rates = {work.id: work.seconds.likely / 60 for work in plan.works}
    left = {}
    for task in plan.tasks:
        progress = project.progress.tasks.get(task.id)
        count = task.count if progress is None else max(0, task.count - progress.done)
        own = task.minutes
        rate = rates.get(task.work, 0.0) if own is None else own.likely / max(1, task.count)
        left[task.id] = rate * (count * pace.get(task.work, 1.0))
    return left


def set_up_of(plan: Plan, task: Task) -> int:
    """Return the whole minutes of getting the work's tools out; 0 for a task with its own minutes."""
    return 0 if task.minutes is not None else ceil(plan.work_of(task).set_up_minutes)


def clean_up_of(plan: Plan, task: Task) -> int:
    """Return the whole minutes of putting the work's tools away; 0 for a task with its own minutes."""
    return 0 if task.minutes is not None else ceil(plan.work_of(task).clean_up_minutes)
