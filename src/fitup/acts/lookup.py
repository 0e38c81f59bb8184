"""Finding what a person named, with the nearest known name when it is not there."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from fitup.model.amounts import clean
from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.model.refusal import Refused


def find_task(project: Project, task_id: str) -> Task:
    """Return the task of that id; raises `Refused` with the nearest known id."""
    task = project.plan.task.get(task_id)
    if task is None:
        raise Refused(unknown("task", task_id, project.plan.task))
    return task


def find_item(project: Project, item_id: str) -> str:
    """Return the item's id; raises `Refused` with the nearest known id."""
    if item_id not in project.plan.item:
        raise Refused(unknown("item", item_id, project.plan.item))
    return item_id


def unknown(what: str, given: str, known: Iterable[str]) -> str:
    """Return the sentence for a name that is not there."""
    near = get_close_matches(given, list(known), n=1, cutoff=0.5)
    hint = f"; did you mean {near[0]}?" if near else ""
    return f"there is no {what} {clean(given)!r} in this project{hint}"
