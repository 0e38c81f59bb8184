"""What a piece of work draws from stock."""

from __future__ import annotations

from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.trade.fasteners import used_by


def drawn(project: Project, task: Task, count: int) -> tuple[tuple[str, float], ...]:
    """Return (item, quantity) used by `count` units of a task."""
    return used_by(project.plan, task, count)
