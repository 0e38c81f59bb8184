"""What can be acted on to free held work.

A root is a task that may be worked on, or an outside event ("kind:task"), at the far end of
standing holds. All holds must be lifted, so the smallest set of roots of a task is unique. The sets
are kept as bits of one integer per task: the union of thousands of them takes microseconds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fitup.model.holds import hold_book
from fitup.model.progress import Project
from fitup.readiness.values import HoldState, Readiness


@dataclass(frozen=True, slots=True)
class Root:
    """Something to act on: `tasks` are those that it alone holds, `frees_minutes` their remaining minutes.

    `id` is a task's, or "kind:task" for what no task lifts (supply, sign-off, stop, a running cure).
    """

    id: str
    frees_minutes: float
    tasks: tuple[str, ...]


def roots(project: Project, readiness: Readiness, remaining: Mapping[str, float]) -> tuple[Root, ...]:
    """Return every root of a held task, what frees most first; equals in plan order."""
    bits: dict[str, int] = {}
    sets = _root_sets(project, readiness, bits)
    alone: dict[int, list[str]] = {}
    seen = 0
    for task_id in project.plan.task:
        if readiness.states[task_id] == "held":
            found = sets.get(task_id, 0)
            seen |= found
            alone.setdefault(found, []).append(task_id)
    made = []
    for root_id, bit in bits.items():
        if seen & bit:
            freed = tuple(alone.get(bit, ()))
            made.append(Root(root_id, sum(remaining.get(task_id, 0.0) for task_id in freed), freed))
    return tuple(sorted(made, key=lambda root: (-root.frees_minutes, *_place(project, root.id))))


def _root_sets(project: Project, readiness: Readiness, bits: dict[str, int]) -> dict[str, int]:
    """Return the set of roots of every unfinished task; `bits` takes the bit of each root."""
    sets: dict[str, int] = {}
    states, waits_for, own_roots = readiness.states, readiness.waits_for, readiness.own_roots
    for task_id in hold_book(project.plan).order:
        state = states[task_id]
        if state == "done":
            continue
        found = 0
        if state != "held":
            found = bits.setdefault(task_id, 1 << len(bits))
        else:
            for until in waits_for[task_id]:
                found |= sets.get(until, 0)
            for root_id in own_roots[task_id]:
                found |= bits.setdefault(root_id, 1 << len(bits))
        sets[task_id] = found
    return sets


def roots_of(project: Project, readiness: Readiness, task_id: str) -> tuple[str, ...]:
    """Return the ids of the roots of one held task in plan order; none for a task that is not held."""
    found: dict[str, None] = {}
    for held in _downwards(readiness, task_id):
        found.update(dict.fromkeys(readiness.own_roots[held]))
        found.update((until, None) for until in readiness.waits_for[held] if readiness.states[until] != "held")
    return tuple(sorted(found, key=lambda root_id: _place(project, root_id)))


def chain(readiness: Readiness, task_id: str) -> tuple[HoldState, ...]:
    """Return the standing holds from a task down to what can be acted on, nearest first, each once."""
    return tuple(hold for held in _downwards(readiness, task_id) for hold in readiness.standing(held))


def _downwards(readiness: Readiness, task_id: str) -> Iterator[str]:
    """Yield the held tasks from `task_id` down, breadth first."""
    if readiness.states[task_id] != "held":
        return
    seen = {task_id}
    queue = [task_id]
    for held in queue:
        yield held
        for until in readiness.waits_for[held]:
            if until not in seen and readiness.states[until] == "held":
                seen.add(until)
                queue.append(until)


def _place(project: Project, root_id: str) -> tuple[int, str]:
    """Return where a root stands in the plan: its task's place; outside events come after the task itself."""
    kind, _, task_id = root_id.rpartition(":")
    return project.plan.position.get(task_id, len(project.plan.tasks)), kind
