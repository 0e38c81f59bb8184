"""Readiness a second time, straight from the words of the design and as slow as that makes it.

Nothing is shared with `fitup.readiness`: no sets of bits, no order, no bookkeeping. Holds that
fitup makes by itself are worked out here again.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import lru_cache

from fitup.model.amounts import local_day
from fitup.model.plan import Hold, Plan
from fitup.model.progress import Project
from fitup.trade.clocks import cured_hours

Judged = tuple[str, str, str]
"""(kind, third part of the key, "standing" | "lifted" | "waived")"""


def reaches(waits: Mapping[str, list[str]], later: str, first: str) -> bool:
    """Return whether `later` waits for `first`, directly or through others."""
    return first in waits[later] or any(reaches(waits, name, first) for name in waits[later])


@lru_cache(maxsize=2)
def access_holds(plan: Plan) -> dict[str, list[Hold]]:
    """Return the holds of closing tasks: for all that is done inside, unless that comes after the closing."""
    waits = {
        task.id: [hold.until for hold in task.holds if hold.until] + [window.of for window in task.within]
        for task in plan.tasks
    }
    made: dict[str, list[Hold]] = {task.id: [] for task in plan.tasks}
    for task in plan.tasks:
        for bay in task.closes:
            for inner in plan.tasks:
                if bay in inner.inside and inner is not task and not reaches(waits, inner.id, task.id):
                    made[task.id].append(Hold("access", inner.id))
                    waits[task.id].append(inner.id)
    return made


def made_after_windows(plan: Plan, task_id: str) -> list[Hold]:
    """Return the plain waits that windows imply."""
    task = plan.task[task_id]
    written = {hold.until for hold in task.holds}
    return [Hold("after", window.of) for window in task.within if window.of not in written]


def all_holds(plan: Plan, task_id: str) -> list[Hold]:
    """Return the written holds of a task and those that make themselves."""
    made = [Hold("supply", item=item, quantity=quantity) for item, quantity in plan.task[task_id].needs]
    return [*plan.task[task_id].holds, *made_after_windows(plan, task_id), *made, *access_holds(plan)[task_id]]


def is_done(project: Project, task_id: str) -> bool:
    """Return whether all units are done."""
    return project.progress.of(task_id).done >= project.plan.task[task_id].count


def lifted(project: Project, task_id: str, hold: Hold, now: datetime) -> bool:
    """Return whether what the hold waits for has come about."""
    plan, progress = project.plan, project.progress
    if hold.kind == "supply":
        stock = project.stock(hold.item)
        there = sum(lot.have for lot in stock.lots if lot.expires is None or local_day(now) <= lot.expires)
        task = plan.task[task_id]
        undone = task.count - progress.of(task_id).done
        return there + 1e-9 >= hold.quantity * max(0, undone) / task.count
    if hold.kind == "sign-off":
        return any(signed == (task_id, hold.by) for signed in progress.signatures)
    if hold.kind == "stop":
        return (task_id, "stop", "") in progress.lifts
    until = str(hold.until)
    if not is_done(project, until):
        return False
    if hold.kind == "check" and plan.task[until].check is not None:
        verdicts = [measured.verdict for measured in progress.measurements if measured.task == until]
        return bool(verdicts) and verdicts[-1] == "pass"
    if hold.kind == "access" and plan.task[until].photo:
        return any(photo.task == until for photo in progress.photos)
    if hold.kind == "cure":
        corrected = progress.cures.get((task_id, until))
        hours = corrected.hours if corrected else hold.hours
        begin = progress.of(until).finished_at
        assert begin is not None
        if cured_hours(begin, now, progress.temperatures, hold.law) < hours - 1e-7:
            return False
        word = progress.lifts.get((task_id, "cure", until))
        return not hold.witness or (word is not None and word.at >= begin)
    return True


def judged(project: Project, task_id: str, now: datetime) -> list[Judged]:
    """Return every hold of a task with its word, in no special order."""
    progress = project.progress
    found: list[Judged] = []
    for hold in all_holds(project.plan, task_id):
        third = hold.until or hold.item or hold.by
        may_be_waived = hold.kind not in ("cure", "stop") and hold.by != "inspector"
        if lifted(project, task_id, hold, now):
            word = "lifted"
        elif may_be_waived and (task_id, hold.kind, third) in progress.waivers:
            word = "waived"
        else:
            word = "standing"
        found.append((hold.kind, third, word))
    for stop in progress.stops.values():
        if stop.task == task_id:
            found.append(("stop", str(stop.number), "standing"))
    for window in project.plan.task[task_id].within:
        of = progress.of(window.of)
        opened = of.begun_at if of.done else None
        if window.start == "finish":
            opened = of.finished_at if is_done(project, window.of) else None
        if opened is None or is_done(project, task_id) or now - opened <= timedelta(hours=window.hours):
            continue
        waived = any((task_id, kind, window.of) in progress.waivers for kind in ("within", "after"))
        found.append(("within", window.of, "waived" if waived else "standing"))
    return found


def state(project: Project, task_id: str, now: datetime) -> str:
    """Return the state of a task."""
    if is_done(project, task_id):
        return "done"
    if any(word == "standing" for _, _, word in judged(project, task_id, now)):
        return "held"
    return "under way" if project.progress.of(task_id).done else "ready"


def root_set(project: Project, task_id: str, now: datetime) -> set[str]:
    """Return the roots of a held task, by walking down every standing hold."""
    found: set[str] = set()
    for kind, third, word in judged(project, task_id, now):
        if word != "standing":
            continue
        if kind in ("supply", "sign-off", "stop"):
            found.add(f"{kind}:{task_id}")
        elif kind == "within":
            found.add(third)
        elif is_done(project, third):
            found.add(f"cure:{task_id}" if kind == "cure" else third)
        elif state(project, third, now) == "held":
            found |= root_set(project, third, now)
        else:
            found.add(third)
    return found
