"""Why each line is on the sheet, and why each ready task is not, in short sentences.

Why not is never guessed: the task is put in, alone and behind the sheet, and the audit is asked
what is wrong with that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fitup.estimate import cure_hours
from fitup.model.amounts import clean, clock, number, stretch
from fitup.model.holds import hold_book
from fitup.model.plan import Task
from fitup.model.sheet import LeftOut, Line, Sheet
from fitup.session.audit_case import Fault, Standing
from fitup.session.forcing import alone, behind, cured, group, weight, with_what_follows
from fitup.session.problem import Problem
from fitup.session.worth import Scale

WORTH_LESS = "fits, but is worth less than what is on the sheet"
KEPT_LATE = "fits, but it is wanted as late as possible"


def with_reasons(sheet: Sheet, problem: Problem, standing: Standing) -> Sheet:
    """Return the sheet with a reason for every line and for every ready task left out."""
    lines = tuple(replace(line, why=why_on(sheet, line, problem)) for line in sheet.lines)
    planned = {line.task for line in lines}
    asked = (*sheet.question.wanted, *sheet.question.without)
    states = problem.scale.readiness.states
    over = sheet.question.instant(sheet.question.usable)
    cured = {waiting.task for waiting in sheet.waiting if waiting.until < over}
    left = [
        task
        for task in standing.plan.tasks
        if task.id not in planned
        and (
            states[task.id] in ("ready", "under way")
            or task.id in cured
            or (task.id in asked and states[task.id] != "done")
        )
    ]
    singular = _singular(standing)
    told: dict[tuple[object, ...], str] = {}
    left_out: list[LeftOut] = []
    for task in left:
        alike = None if task.id in singular else _alike(task, standing)
        why = told.get(alike) if alike is not None else None
        why = why_not(sheet, task, problem.scale, standing) if why is None else why
        if alike is not None:
            told[alike] = why
        left_out.append(LeftOut(task.id, why))
    return replace(sheet, lines=lines, left_out=tuple(left_out))


def _singular(standing: Standing) -> frozenset[str]:
    """Return the tasks that something else on a sheet may depend on by name, or that are wished for or waived."""
    question = standing.question
    named = {window.of for _, window in standing.windows}
    named |= {loan.until for loans in standing.loans.values() for _, loan in loans}
    for lender, held in (pair for pairs in standing.occupiers.values() for pair in pairs):
        named |= {held.until, *standing.between(lender.id, held.until)}
    named |= {waiver[0] for waiver in standing.project.progress.waivers}
    return frozenset((*named, *question.wanted, *question.without))


def _alike(task: Task, standing: Standing) -> tuple[object, ...] | None:
    """Return what tells apart, for the audit, ready tasks that stand alone; None for a task that does not.

    Two of the same kind of work, amount, tools and so on are kept off a sheet by the same thing, whatever they are
    called, so one of them is asked about: the audit has hundreds to judge on a plan of two thousand tasks.
    """
    if task.one_go or task.within or task.clecos or task.occupies or task.closes:
        return None
    if standing.readiness.states[task.id] not in ("ready", "under way") or standing.readiness.standing(task.id):
        return None
    same = replace(task, id="", title="", ref="", note="", caution="", holds=(), check=None, photo=False)
    return same, standing.project.open_count(task.id), standing.project.progress.of(task.id).done


# -- why a line is there ---------------------------------------------------------------------------


def why_on(sheet: Sheet, line: Line, problem: Problem) -> str:
    """Return in a few words why the line is on the sheet: the reason that weighs most."""
    plan, terms = problem.project.plan, dict(line.terms)
    task = plan.task[line.task]
    said = _wished(sheet, line, problem)
    if said:
        return said
    if "clock started" in terms:
        return f"starts a cure of {number(_longest_cure(problem.scale, task))} h"
    opened = _opened_on(sheet, task)
    if opened:
        return f"has to follow {clean(plan.task[opened].title)} in time"
    others = [x for x in sheet.lines if x.task != line.task and task.one_go and plan.task[x.task].one_go == task.one_go]
    if others:
        return f"in one go with {clean(plan.task[others[0].task].title)}"
    if line.who == "both":
        return "while the helper is here"
    freed = _freed_by(sheet, line, problem)
    if freed:
        return freed
    return _plain(sheet, line, problem)


def _wished(sheet: Sheet, line: Line, problem: Problem) -> str:
    if line.task in sheet.question.under_way:
        return "it is under way"
    if line.task in sheet.question.first:
        return "you asked for it"
    closes = [minute for minute in problem.scale.saved_by.get(line.task, ()) if line.end <= minute]
    if closes and line.count >= problem.project.open_count(line.task):
        return f"its window closes at {clock(sheet.question.instant(min(closes)))}"
    return ""


def _longest_cure(scale: Scale, task: Task) -> float:
    book = hold_book(scale.project.plan)
    return max(
        cure_hours(scale.project, waiter, hold)
        for waiter in book.waiters[task.id]
        for hold in book.holds[waiter]
        if hold.kind == "cure" and hold.until == task.id and scale.readiness.states[waiter] != "done"
    )


def _opened_on(sheet: Sheet, task: Task) -> str:
    planned = {line.task for line in sheet.lines}
    return next((window.of for window in task.within if window.of in planned), "")


def _freed_by(sheet: Sheet, line: Line, problem: Problem) -> str:
    finished = {x.task for x in sheet.lines if x.count >= problem.project.open_count(x.task)}
    planned = {x.task for x in sheet.lines}
    scale, plan = problem.scale, problem.project.plan
    freed = [
        name
        for name, needs in scale.freeable.items()
        if line.task in needs and name not in planned and needs <= finished
    ]
    if not freed:
        return ""
    best = max(freed, key=lambda name: (scale.freed(plan.task[name]), -plan.position[name]))
    more = f" and {len(freed) - 1} more" if len(freed) > 1 else ""
    return f"frees {clean(plan.task[best].title)}{more}"


def _plain(sheet: Sheet, line: Line, problem: Problem) -> str:
    plan, project = problem.project.plan, problem.project
    task = plan.task[line.task]
    waiters = set(hold_book(plan).waiters[line.task])
    next_line = next((x for x in sheet.lines if x.task in waiters), None)
    if next_line is not None:
        return f"opens the way for {clean(plan.task[next_line.task].title)}"
    if line.who == "helper":
        return "the helper can do it alone"
    if plan.fills(task):
        return "fills the time that is left"
    if problem.scale.urgency(line.task) >= 9:
        return "the longest chain of work waits behind it"
    if problem.scale.urgency(line.task) >= 5:
        return "a long chain of work waits behind it"
    if line.count >= project.open_count(line.task):
        return "can be finished today"
    return "goes on where it stopped" if project.progress.of(line.task).done else "worth most for the time that is left"


# -- why a task is not there -----------------------------------------------------------------------


def why_not(sheet: Sheet, task: Task, scale: Scale, standing: Standing) -> str:
    """Return what keeps a task off the sheet, by the audit's word on sheets with the task put in.

    It is tried on an empty sheet first, with its one-go group; where it starts a window that would
    run out, with all that has to follow in time; then behind what is on the sheet.
    """
    by_itself = alone(group(task, standing), scale, standing)
    wrong = _wrong(by_itself[1], task, standing)
    follows = any(fault.rule == "window" and fault.minutes is None for fault in by_itself[1])
    runs_out = wrong if follows else ""
    if follows:
        by_itself = alone(with_what_follows(task, standing), scale, standing)
        wrong = _wrong(by_itself[1], task, standing, runs_out)
    if wrong:
        return wrong
    rest = ", with what has to follow in time" if follows else ""
    if late := _late(by_itself[1]):
        return _too_late(by_itself[0], late, rest, standing)
    added = min(behind(sheet.lines, by_itself[0], standing), key=lambda found: weight(found[1]))
    told = [_who_is_busy(fault, added[0], sheet.lines, standing) for fault in added[1]]
    wrong = _wrong(told, task, standing, runs_out)
    if wrong:
        return wrong
    if late := _late(added[1]):
        return f"{stretch(late)} short beside what is on the sheet{rest}"
    sure = sheet.question.sure
    if sure is not None and max(line.end for line in added[0]) > sheet.usable_minutes:
        return f"fits only into the time kept in hand to be {sure:.0%} sure"
    return KEPT_LATE if task.late else WORTH_LESS


def _who_is_busy(fault: Fault, forced: Sequence[Line], lines: Sequence[Line], standing: Standing) -> Fault:
    """Return a helper's absence behind the sheet as what is the matter on it: who is busy while the helper is here.

    As it is where the helper is never here long enough, or where both would be free for the work.
    """
    if fault.rule != "helper" or fault.task in {line.task for line in lines}:
        return fault
    needed = next(line.end - line.begin for line in forced if line.task == fault.task)
    first = cured(standing.plan.task[fault.task], standing)
    for stay in reversed([(max(begin, first), end) for begin, end in standing.helper]):
        busy = _busy_during(stay, needed, lines, standing) if stay[1] - stay[0] >= needed else ""
        if busy:
            return replace(fault, rule="people", short=busy)
    return fault


def _busy_during(stay: tuple[int, int], needed: int, lines: Sequence[Line], standing: Standing) -> str:
    """Say with what the helper is busy, or the builder while the helper is not, "" where both are free for so long."""
    at_work = [line for line in lines if line.begin < stay[1] and line.end > stay[0]]
    helping = sorted((line for line in at_work if line.who != "builder"), key=lambda line: line.begin)
    ends = [stay[0], *(line.end for line in helping)]
    free = [(end, begin) for end, begin in zip(ends, [*(line.begin for line in helping), stay[1]], strict=True)]
    wide = [gap for gap in free if gap[1] - gap[0] >= needed]
    plan, question = standing.plan, standing.question
    if not wide and helping:
        last = helping[-1]
        until = f"until {clock(question.instant(min(last.end, stay[1])))}"
        leaves = f" and leaves at {clock(question.instant(stay[1]))}" if last.end < stay[1] else ""
        return f"the helper is busy with {clean(plan.task[last.task].title)} {until}{leaves}"
    alone_at = [
        (min(line.end, end) - max(line.begin, begin), line)
        for begin, end in wide
        for line in at_work
        if line.who == "builder" and line.begin < end and line.end > begin
    ]
    if not alone_at:
        return ""
    longest = max(alone_at, key=lambda found: found[0])[1]
    return f"you are busy with {clean(plan.task[longest.task].title)} while the helper is here"


_OF_PACKING = frozenset({"visits", "set-up", "window", "one-go"})
"""Rules that a chain packed one after another may break where a cleverer order would not."""


def _wrong(found: Sequence[Fault], task: Task, standing: Standing, runs_out: str = "") -> str:
    """Return the words for the fault that says most, "" where all is a matter of the session's length.

    One of the task's own comes before those of others, and of those a helper who is not there. Of a
    chain whose time `runs_out` otherwise, faults that are only the packing's say just that.
    """
    lasting = [fault for fault in found if fault.rule != "time"]
    telling = [fault for fault in lasting if not (runs_out and fault.rule in _OF_PACKING)]
    if not telling:
        return runs_out if lasting else ""
    first = min(telling, key=lambda fault: (fault.task != task.id, fault.rule not in ("helper", "people")))
    if first.task == task.id:
        return first.short
    title = clean(standing.plan.task[first.task].title)
    return f"{first.short} for {title}" if first.rule == "helper" else f"{title}: {first.short}"


def _late(found: Sequence[Fault]) -> int:
    """Return how many minutes after the end of the session's work the last line would end."""
    return max((fault.minutes or 0 for fault in found if fault.rule == "time"), default=0)


def _too_late(lines: Sequence[Line], late: int, rest: str, standing: Standing) -> str:
    """Say that a task does not fit in this session even by itself."""
    begin = lines[0].begin
    if begin and lines[0].who != "both":
        at = clock(standing.question.instant(begin))
        return f"cures until {at}, then {stretch(late)} too long for this session{rest}"
    return f"{stretch(late)} too long for this session{rest}"
