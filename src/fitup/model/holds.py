"""All holds of a plan: those written in it and those that fitup makes by itself.

Made by themselves: `supply` from what a task needs; `after` from a `within` window (a window
implies order); `access` from bays: what closes a bay waits for
everything done inside it, unless the inside task already comes after the closing one.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heapify, heappop, heappush

from fitup.model.plan import Hold, Plan, Task

TASK_KINDS = ("after", "check", "cure", "access", "leave-off")
"""Kinds of hold that another task lifts; the others wait for something outside the plan."""


@dataclass(frozen=True)
class HoldBook:
    """Every hold by task, in plan order, and the reverse: who waits for a task.

    `closed_in` lists (closing task, inside task, bay) where the access hold was not made because
    the inside task comes after the closing one. `curing` are the tasks that wait for a cure.
    """

    holds: Mapping[str, tuple[Hold, ...]]
    waiters: Mapping[str, tuple[str, ...]]
    closed_in: tuple[tuple[str, str, str], ...]
    curing: tuple[str, ...]
    plan: Plan

    @cached_property
    def order(self) -> tuple[str, ...]:
        """Task ids with every task after what it waits for; those that a circle holds up are not among them."""
        return _topological(self.plan, self.holds, self.waiters)

    @cached_property
    def loop(self) -> tuple[str, ...]:
        """The shortest circle among the holds, empty where there is none."""
        if len(self.order) == len(self.plan.tasks):
            return ()
        return _shortest_loop(self.plan, self.holds, set(self.order))

    def before(self, task_id: str) -> tuple[str, ...]:
        """Return the tasks that lift a hold of this task, each once."""
        return tuple(dict.fromkeys(h.until for h in self.holds[task_id] if h.until is not None))


def hold_book(plan: Plan) -> HoldBook:
    """Collect all holds of `plan`; built once per plan and kept with it.

    Holds on unknown tasks are left out (the plan reader refuses them).
    """
    kept = plan.__dict__.get("_hold_book")
    if isinstance(kept, HoldBook):
        return kept
    book = _collect(plan)
    plan.__dict__["_hold_book"] = book
    return book


def _collect(plan: Plan) -> HoldBook:
    known = plan.task
    holds: dict[str, list[Hold]] = {}
    for task in plan.tasks:
        found = [hold for hold in task.holds if hold.until is None or hold.until in known]
        if task.within:
            found += _from_windows(plan, task)
        if task.needs:
            found += _supplies(plan, task)
        holds[task.id] = found
    closed_in = _add_access(plan, holds) if any(task.closes for task in plan.tasks) else ()
    waiters: dict[str, list[str]] = {task: [] for task in holds}
    curing = []
    for task_id, found in holds.items():
        for until in dict.fromkeys([hold.until for hold in found]):
            if until is not None:
                waiters[until].append(task_id)
        if "cure" in [hold.kind for hold in found]:
            curing.append(task_id)
    return HoldBook(
        {task: tuple(found) for task, found in holds.items()},
        {task: tuple(waiting) for task, waiting in waiters.items()},
        closed_in,
        tuple(curing),
        plan,
    )


def _from_windows(plan: Plan, task: Task) -> list[Hold]:
    written = {hold.until for hold in task.holds}
    made = []
    for window in task.within:
        if window.of in plan.task and window.of not in written:
            why = f"to be finished within {window.hours:g} h of it"
            made.append(Hold("after", until=window.of, why=why, own=False))
            written.add(window.of)
    return made


def _supplies(plan: Plan, task: Task) -> list[Hold]:
    made = []
    for item_id, quantity in task.needs:
        item = plan.item.get(item_id)
        if item is not None and quantity > 0:
            made.append(Hold("supply", item=item_id, quantity=quantity, why=f"needs {item.title}", own=False))
    return made


def _add_access(plan: Plan, holds: dict[str, list[Hold]]) -> tuple[tuple[str, str, str], ...]:
    """Add the access holds in plan order; return the pairs where none could be made."""
    inside: dict[str, list[str]] = {}
    for task in plan.tasks:
        for bay in task.inside:
            inside.setdefault(bay, []).append(task.id)
    waiters: dict[str, set[str]] = {task.id: set() for task in plan.tasks}
    for task_id, found in holds.items():
        for hold in found:
            if hold.until is not None:
                waiters[hold.until].add(task_id)
    titles = {bay.id: bay.title for bay in plan.bays}
    closed_in: list[tuple[str, str, str]] = []
    for task in plan.tasks:
        for bay in task.closes:
            later = _reach(task.id, waiters)
            for inner in inside.get(bay, ()):
                if inner == task.id:
                    continue
                if inner in later:
                    closed_in.append((task.id, inner, bay))
                    continue
                why = f"it closes {titles.get(bay, bay)}"
                holds[task.id].append(Hold("access", until=inner, why=why, own=False))
                waiters[inner].add(task.id)
    return tuple(closed_in)


def _reach(start: str, waiters: Mapping[str, set[str]]) -> set[str]:
    seen: set[str] = set()
    stack = [start]
    while stack:
        for following in waiters[stack.pop()]:
            if following not in seen:
                seen.add(following)
                stack.append(following)
    return seen


def _topological(
    plan: Plan, holds: Mapping[str, tuple[Hold, ...]], waiters: Mapping[str, Sequence[str]]
) -> tuple[str, ...]:
    """Return task ids with every task after what it waits for, plan order where that leaves a choice."""
    missing = {task: len({h.until for h in found if h.until is not None}) for task, found in holds.items()}
    heap = [plan.position[task] for task, count in missing.items() if count == 0]
    heapify(heap)
    order: list[str] = []
    while heap:
        task_id = plan.tasks[heappop(heap)].id
        order.append(task_id)
        for following in waiters[task_id]:
            missing[following] -= 1
            if missing[following] == 0:
                heappush(heap, plan.position[following])
    return tuple(order)


def _shortest_loop(plan: Plan, holds: Mapping[str, tuple[Hold, ...]], fine: set[str]) -> tuple[str, ...]:
    """Return the shortest loop among the tasks not in `fine`, in the order in which they wait."""
    waits = {
        task.id: [h.until for h in holds[task.id] if h.until is not None and h.until not in fine]
        for task in plan.tasks
        if task.id not in fine
    }
    loops = (loop for start in waits if (loop := _loop_through(start, waits)))
    return min(loops, key=len, default=())


def _loop_through(start: str, waits: Mapping[str, list[str]]) -> tuple[str, ...]:
    """Return the shortest loop through `start`, by breadth-first search; empty when there is none."""
    came: dict[str, str] = {}
    queue = deque([start])
    while queue:
        here = queue.popleft()
        for until in waits[here]:
            if until == start:
                loop = [here]
                while loop[-1] != start:
                    loop.append(came[loop[-1]])
                return tuple(reversed(loop))
            if until not in came:
                came[until] = here
                queue.append(until)
    return ()
