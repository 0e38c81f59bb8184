"""What a piece of work draws from stock."""

from __future__ import annotations

from fitup.bench import part_number_of
from fitup.model.plan import Task
from fitup.model.progress import Project


def drawn(project: Project, task: Task, count: int) -> tuple[tuple[str, float], ...]:
    """Return (item, quantity) used by `count` units: the task's needs in proportion, and its fasteners.

    Fasteners are one a unit, drawn from the item that carries their part number.
    """
    used = {item: quantity * count / task.count for item, quantity in task.needs if item in project.plan.item}
    part_number = part_number_of(project.plan, task)
    if part_number:
        for item in project.plan.items:
            if item.part_number == part_number and item.id not in used:
                used[item.id] = count
                break
    return tuple(used.items())
