"""Rules about the order of work: holes, closing, curing, and holds that say nothing new."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from fitup.model.plan import Task
from fitup.review.rule import Ground, Remark

HOLE_STEPS = ("drill", "final", "deburr", "form", "clean", "fasten")
"""What is done to a hole, in order; which kind of work is which step stands in the work table."""

_STEP_WORDS = {
    "drill": "drilling",
    "final": "drilling to size",
    "deburr": "deburring",
    "form": "dimpling or countersinking",
    "clean": "cleaning or priming",
    "fasten": "fastening",
}
DEBURR_SWITCH = "deburr-before-dimple"
"""Switches off only that holes are deburred before they are dimpled, on which sources differ."""

CURING = ("seal", "seal-faying", "seal-fillet", "glue", "prime")
"""Kinds of work after which something has to set before it bears handling."""


def hole_order(ground: Ground) -> Iterator[Remark]:
    """Name steps on one group of holes that do not wait for the step before.

    Only steps that the plan has are put in order: none is asked for.
    """
    plan = ground.plan
    rank = {step: place for place, step in enumerate(HOLE_STEPS)}
    if any(name == DEBURR_SWITCH for name, _ in plan.review_off):
        rank["deburr"] = rank["form"]
    groups: dict[str, dict[int, list[Task]]] = {}
    for task in plan.tasks:
        step = plan.work_of(task).hole_step
        if task.holes and step in rank:
            groups.setdefault(task.holes, {}).setdefault(rank[step], []).append(task)
    for holes, steps in groups.items():
        present = sorted(steps)
        for lower, upper in pairwise(present):
            for later in steps[upper]:
                for first in steps[lower]:
                    if not ground.comes_before(first.id, later.id):
                        yield _out_of_order(ground, holes, first, later)


def _out_of_order(ground: Ground, holes: str, first: Task, later: Task) -> Remark:
    plan = ground.plan
    step, next_step = (_STEP_WORDS[plan.work_of(task).hole_step] for task in (first, later))
    if ground.comes_before(later.id, first.id):
        says = f"holes {holes}: {next_step} ({later.id}) comes before {step} ({first.id})"
        return later.id, says, f"turn them round: let {later.id} wait for {first.id}"
    says = f"holes {holes}: nothing makes {next_step} ({later.id}) wait for {step} ({first.id})"
    return later.id, says, f'add "{first.id}" to what {later.id} comes after'


def closes_unchecked(ground: Ground) -> Iterator[Remark]:
    """Name closing tasks with no check, photo or sign-off before them.

    Looked for: the task's own holds, and earlier work on the same assembly or inside the bay.
    """
    for task in ground.plan.tasks:
        if not task.closes or any(hold.kind in ("check", "sign-off") for hold in task.holds):
            continue
        if not any(_looked_at(earlier) and _near(earlier, task) for earlier in _earlier(ground, task)):
            bays = ", ".join(task.closes)
            says = f"{task.id} closes {bays}, and nothing before it is checked, photographed or signed off"
            yield task.id, says, f"let {task.id} wait for a check or a sign-off, or owe a photo of what is inside"


def _earlier(ground: Ground, task: Task) -> Iterator[Task]:
    return (ground.plan.task[task_id] for task_id in ground.before(task.id))


def _looked_at(task: Task) -> bool:
    return task.check is not None or task.photo or any(hold.kind in ("check", "sign-off") for hold in task.holds)


def _near(earlier: Task, closing: Task) -> bool:
    return earlier.assembly == closing.assembly or not set(earlier.inside).isdisjoint(closing.closes)


def no_cure(ground: Ground) -> Iterator[Remark]:
    """Name sealing, gluing and priming for whose cure nothing waits.

    The cure may be counted from later work in the same window or one go: wet riveting after sealing.
    """
    plan = ground.plan
    cured = {hold.until for task in plan.tasks for hold in task.holds if hold.kind == "cure"}
    followers: dict[str, list[str]] = {}
    for task in plan.tasks:
        for window in task.within:
            followers.setdefault(window.of, []).append(task.id)
    goes: dict[str, list[str]] = {}
    for task in plan.tasks:
        if task.one_go:
            goes.setdefault(task.one_go, []).append(task.id)
    for task in plan.tasks:
        if task.work not in CURING:
            continue
        same_go = [name for name in goes.get(task.one_go, ()) if ground.comes_before(task.id, name)]
        linked = [task.id, *same_go]
        for name in linked:
            linked += [following for following in followers.get(name, ()) if following not in linked]
        if cured.isdisjoint(linked):
            says = f"nothing waits until what is done in {task.id} has cured"
            yield task.id, says, f"let what comes next hold with kind cure until {task.id}, hours as its maker says"


def redundant(ground: Ground) -> Iterator[Remark]:
    """Name plain waits that the task's other holds imply; holds made by themselves are left alone.

    A wait that is implied only by way of a check is none: it is what still holds when the check is waived.
    """
    for task in ground.plan.tasks:
        for hold in task.holds:
            if hold.kind != "after" or hold.until is None or hold.until not in ground.plan.task:
                continue
            for other in task.holds:
                if other is hold or other.until is None or other.until not in ground.plan.task:
                    continue
                same = other.until == hold.until and other.kind != "after"
                if same or (other.kind != "check" and ground.comes_before_for_sure(hold.until, other.until)):
                    through = f"its {other.kind} hold" if same else other.until
                    says = f"{task.id} waits for {hold.until} already through {through}"
                    yield task.id, says, f'take "{hold.until}" out of what {task.id} comes after'
                    break
