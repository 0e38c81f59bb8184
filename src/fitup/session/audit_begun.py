"""What a sheet as a whole owes: work under way is gone on with, and before anything else.

The other rules judge what is on a sheet; this one judges what is missing from it, so it is asked of
finished sheets alone. It claims no more than a sheet could give: a task counts as one that could be
gone on with when going on with it at once, for the least count worth starting, breaks no other rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from fitup.model.plan import Task
from fitup.model.sheet import Line
from fitup.session.audit_case import Case, Fault, Standing

Judge = Callable[[Standing, Sequence[Line]], Sequence[Fault]]
"""The rules about what is on a sheet."""


def begun(case: Case, judge: Judge, least: Callable[[Case, Task], int]) -> Iterator[Fault]:
    """Work under way is on the sheet where it can be, the earliest begun first, and nothing of the builder's before it.

    `least` gives the least count worth starting. What can be gone on with together has to be.
    """
    kept: list[Task] = []
    for name in case.question.under_way:
        task = case.plan.task.get(name)
        if task is None or case.project.done(name):
            continue
        if not judge(case.standing, _at_once(case, [*kept, task], least)):
            kept.append(task)
    for task in kept:
        if task.id not in case.by_task:
            says = f"{case.title(task.id)} is under way, and the sheet does not go on with it."
            yield Fault("under way", task.id, says, "it is under way")
    if not kept or kept[0].id not in case.by_task:
        return
    own = {task.id for task in kept}
    begins = case.by_task[kept[0].id].begin
    for line in case.builder:
        if line.begin < begins and line.task not in own:
            says = f"{case.title(line.task)} begins before {case.title(kept[0].id)}, which is under way."
            yield Fault("under way", line.task, says, f"{case.title(kept[0].id)} is under way", begins - line.begin)


def _at_once(case: Case, tasks: Sequence[Task], least: Callable[[Case, Task], int]) -> tuple[Line, ...]:
    """Return the tasks one after another from the first minute on, each for its least count."""
    lines: list[Line] = []
    minute = 0
    for _, run in groupby(tasks, key=lambda task: task.work):
        stay = list(run)
        timed = [task for task in stay if task.minutes is None]
        for task in stay:
            count = least(case, task) if case.plan.splits(task) else case.project.open_count(task.id)
            bare = Line(task.id, count, minute, minute, who="both" if case.plan.crew_of(task) >= 2 else "builder")
            set_up, clean_up, _ = case.table_set_up(bare)
            before = set_up if timed and task is timed[0] else 0
            after = clean_up if timed and task is timed[-1] else 0
            end = minute + before + case.likely(task, count) + after
            lines.append(Line(task.id, count, minute, end, before, after, bare.who))
            minute = end
    return tuple(lines)
