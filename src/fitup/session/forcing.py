"""A task put onto a sheet by force, alone and behind what is there, for the audit to say what is wrong with that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from math import ceil

from fitup.estimate import clean_up_of, set_up_of
from fitup.model.holds import hold_book
from fitup.model.plan import Task
from fitup.model.sheet import Line, Who
from fitup.session.audit import faults
from fitup.session.audit_case import Fault, Standing
from fitup.session.candidates import least_count
from fitup.session.worth import Scale

Forced = tuple[tuple[Line, ...], tuple[Fault, ...]]
"""A sheet with a task put in, and what the audit finds wrong with it."""


def weight(found: Sequence[Fault]) -> tuple[int, int]:
    """Order attempts: the fewest rules broken, then the least late."""
    return len(found), sum(fault.minutes or 0 for fault in found)


def group(task: Task, standing: Standing) -> Sequence[Task]:
    """Return a task with the open tasks that go in one go with it."""
    return standing.groups[task.one_go] if task.one_go else (task,)


def with_what_follows(task: Task, standing: Standing) -> Sequence[Task]:
    """Return a task with all that has to be done in time once it is: what ends its windows, and what that waits for."""
    plan, book = standing.plan, hold_book(standing.plan)
    found: dict[str, Task] = {}
    todo = [task]
    while todo:
        each = todo.pop()
        if each.id in found or standing.project.done(each.id):
            continue
        found[each.id] = each
        todo += group(each, standing)
        todo += [last for last, window in standing.windows if window.of == each.id]
        if each.id != task.id:
            todo += [plan.task[before] for before in book.before(each.id)]
    return tuple(found.values())


def alone(members: Sequence[Task], scale: Scale, standing: Standing) -> Forced:
    """Return the tasks on an empty sheet, at the minute at which they do best, and what is wrong with that."""
    lines = _packed(members, 0, scale, standing)
    first = max(cured(task, standing) for task in members)
    begins = [first]
    two = next((line.begin for line in lines if line.who == "both"), None)
    if two is not None:
        begins += [begin - two for begin, _ in standing.helper if begin - two > first]
    tried = ((forced, faults(standing, forced)) for forced in (_shifted(lines, begin) for begin in begins))
    return min(tried, key=lambda found: weight(found[1]))


def _shifted(lines: Sequence[Line], minutes: int) -> tuple[Line, ...]:
    return tuple(replace(line, begin=line.begin + minutes, end=line.end + minutes) for line in lines)


def cured(task: Task, standing: Standing) -> int:
    """Return the minute at which the last running cure before a task ends; 0 for none."""
    ends = [state.expected for state in standing.readiness.standing(task.id) if state.kind == "cure"]
    minutes = [standing.question.minute(end) for end in ends if isinstance(end, datetime)]
    return max(0, ceil(max(minutes, default=0)))


def _packed(tasks: Sequence[Task], begin: int, scale: Scale, standing: Standing) -> tuple[Line, ...]:
    """Return the tasks in the order of work, packed one after another from `begin`; of a single one the least part."""
    plan, project = standing.plan, standing.project
    members = list(tasks)
    if len(members) > 1:
        places = {name: place for place, name in enumerate(hold_book(plan).order)}
        members.sort(key=lambda each: places.get(each.id, 0))
    lines: list[Line] = []
    for place, member in enumerate(members):
        left = project.open_count(member.id)
        count = (
            least_count(scale, member, left)
            if plan.splits(member) and not member.one_go and len(members) == 1
            else left
        )
        same_before = any(m.work == member.work and m.minutes is None for m in _stay(members, place, -1))
        same_after = any(m.work == member.work and m.minutes is None for m in _stay(members, place, 1))
        set_up = 0 if same_before else set_up_of(plan, member)
        clean_up = 0 if same_after else clean_up_of(plan, member)
        end = begin + set_up + scale.minutes(member, count) + clean_up
        who: Who = "both" if plan.crew_of(member) >= 2 else "builder"
        lines.append(Line(member.id, count, begin, end, set_up, clean_up, who))
        begin = end
    return tuple(lines)


def _stay(members: Sequence[Task], place: int, step: int) -> list[Task]:
    """Return the neighbours of a member in one direction that belong to the same stay at its kind of work."""
    found = []
    at = place + step
    while 0 <= at < len(members) and members[at].work == members[place].work:
        found.append(members[at])
        at += step
    return found


def behind(lines: Sequence[Line], forced: Sequence[Line], standing: Standing) -> list[Forced]:
    """Return the sheet with the forced lines behind it: at its end, and where the helper comes again."""
    own = [line for line in lines if line.who != "helper"]
    busy = max((line.end for line in lines if forced[0].who == "both" or line.who != "helper"), default=0)
    begins = [max(busy, forced[0].begin)]
    two = next((line.begin - forced[0].begin for line in forced if line.who == "both"), None)
    if two is not None:
        begins += [begin - two for begin, _ in standing.helper if begin - two > busy]
    tried: list[Forced] = []
    for begin in begins:
        kept, added = _joined(lines, own, forced, begin, standing)
        together = tuple(sorted((*kept, *added), key=lambda line: line.begin))
        found = faults(standing, together)
        tried.append((together, found))
        if not found:
            break
    return tried


def _joined(
    lines: Sequence[Line], own: Sequence[Line], forced: Sequence[Line], begin: int, standing: Standing
) -> tuple[list[Line], list[Line]]:
    """Shift the forced lines to `begin`; a stay at the same kind of work goes on, its tools put away later."""
    plan = standing.plan
    kept = list(lines)
    first = plan.task[forced[0].task]
    timed = None
    for line in reversed(own):
        if plan.task[line.task].work != first.work:
            break
        if plan.task[line.task].minutes is None:
            timed = line
            break
    shift = begin - forced[0].begin
    moved = [replace(line, begin=line.begin + shift, end=line.end + shift) for line in forced]
    if timed is None or first.minutes is not None:
        return kept, moved
    place = kept.index(timed)
    kept[place] = replace(timed, end=timed.end - timed.clean_up, clean_up=0)
    back = timed.clean_up if timed.end == begin and forced[0].who != "both" else 0
    saved = forced[0].set_up
    head = replace(moved[0], begin=moved[0].begin - back, end=moved[0].end - back - saved, set_up=0)
    tail = [replace(x, begin=x.begin - back - saved, end=x.end - back - saved) for x in moved[1:]]
    return kept, [head, *tail]
