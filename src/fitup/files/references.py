"""Ids in a plan as written: who names whom, before anything is built.

Works on the raw tables, so that an unknown id or a circle is reported together with every other
mistake of the file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fitup.files.positions import Path
from fitup.model.holds import hold_book
from fitup.model.plan import Hold, Plan, Task

RawTask = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Reference:
    """One id named in a task at `path` (in the task's table): `sort` says what it is the id of."""

    sort: str
    id: str
    path: Path
    waits: bool = False


_LISTS = (("after", "task"), ("tools", "tool"), ("inside", "bay"), ("closes", "bay"))
_TABLES = (
    ("holds", (("until", "task"), ("item", "item"))),
    ("within", (("of", "task"),)),
    ("clecos", (("until", "task"),)),
    ("occupies", (("tool", "tool"), ("until", "task"))),
)


def references(task: RawTask) -> Iterator[Reference]:
    """Yield every id that a raw task names; what has the wrong type is passed over."""
    for key, sort in (("assembly", "assembly"), ("work", "work")):
        if isinstance(task.get(key), str):
            yield Reference(sort, task[key], (key,))
    for key, sort in _LISTS:
        named = task.get(key)
        for place, value in enumerate(named if isinstance(named, list) else ()):
            if isinstance(value, str):
                yield Reference(sort, value, (key, place), waits=key == "after")
    for key, parts in _TABLES:
        for path, table in _tables(task, key):
            for part, sort in parts:
                value = table.get(part)
                if isinstance(value, str) and (value or part != "item"):
                    yield Reference(sort, value, (*path, part), waits=key in ("holds", "within") and sort == "task")
    needs = task.get("needs")
    for item in needs if isinstance(needs, dict) else ():
        yield Reference("item", item, ("needs", item))


def _tables(task: RawTask, key: str) -> Iterator[tuple[Path, dict[str, Any]]]:
    value = task.get(key)
    if isinstance(value, dict):
        yield (key,), value
    elif isinstance(value, list):
        for place, table in enumerate(value):
            if isinstance(table, dict):
                yield (key, place), table


def rename_tasks(task: RawTask, rename: Callable[[str], str]) -> RawTask:
    """Return a raw task in which every task id that it names is passed through `rename`."""
    renamed = dict(task)
    if isinstance(task.get("after"), list):
        renamed["after"] = [rename(value) if isinstance(value, str) else value for value in task["after"]]
    for key, parts in _TABLES:
        names = [part for part, sort in parts if sort == "task"]
        value = task.get(key)
        if isinstance(value, dict):
            renamed[key] = _renamed(value, names, rename)
        elif isinstance(value, list):
            renamed[key] = [_renamed(table, names, rename) if isinstance(table, dict) else table for table in value]
    return renamed


def _renamed(table: dict[str, Any], names: Sequence[str], rename: Callable[[str], str]) -> dict[str, Any]:
    return {key: rename(value) if key in names and isinstance(value, str) else value for key, value in table.items()}


def written_loop(tasks: Mapping[str, RawTask]) -> tuple[str, ...]:
    """Return the shortest circle of tasks waiting for each other, each waiting for the next; () if none."""
    bare = []
    for task_id, task in tasks.items():
        waits = dict.fromkeys(found.id for found in references(task) if found.waits)
        bare.append(Task(task_id, "", "", "", holds=tuple(Hold("after", until=until) for until in waits)))
    return hold_book(Plan(tasks=tuple(bare))).loop
