"""What an edited plan does to the state of things, beyond the tasks that it adds, changes or removes."""

from __future__ import annotations

from dataclasses import dataclass

from fitup.model.plan import Plan
from fitup.model.progress import Project
from fitup.readiness import closed_bays


@dataclass(frozen=True, slots=True)
class Effects:
    """What taking a plan in would bring about by itself, in plan order.

    `finished` are tasks whose smaller count is done already, `unfinished` done ones whose count has
    grown; `shut_in` lists (task not done, bay) where the bay has been closed already.
    """

    finished: tuple[str, ...] = ()
    unfinished: tuple[str, ...] = ()
    shut_in: tuple[tuple[str, str], ...] = ()


def effects(project: Project, plan: Plan) -> Effects:
    """Return what `plan` would do to the progress of `project`."""
    after = Project(plan, project.progress)
    known = [task.id for task in plan.tasks if task.id in project.plan.task]
    closed = closed_bays(after)
    old = project.plan.task
    return Effects(
        finished=tuple(task for task in known if after.done(task) and not project.done(task)),
        unfinished=tuple(task for task in known if project.done(task) and not after.done(task)),
        shut_in=tuple(
            (task.id, bay)
            for task in plan.tasks
            for bay in task.inside
            if bay in closed and not after.done(task.id) and (task.id not in old or bay not in old[task.id].inside)
        ),
    )
