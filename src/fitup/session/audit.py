"""The independent checker of run sheets: it knows the rules of a session and nothing of the planners.

Every sheet that is shown has passed it. It is also asked why a task is not on a sheet: the task is
put in and the audit says what is wrong with that.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import groupby, pairwise
from math import ceil

from fitup.estimate.times import AS_TABLE
from fitup.model.amounts import stretch
from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question, Sheet
from fitup.readiness import Readiness, judge
from fitup.session.audit_begun import begun
from fitup.session.audit_case import Case, Fault, Standing
from fitup.session.audit_means import clecos, items, quiet, tools, weather
from fitup.session.audit_order import holds, one_go, windows

WORTH_STARTING = 15
"""Minutes of work below which a split is not worth starting, where the plan gives no least count."""

MOST_VISITS = 2
"""How often a session may come back to one kind of work, the first time included."""


def audit(project: Project, question: Question, sheet: Sheet, pace: Mapping[str, float] = AS_TABLE) -> tuple[str, ...]:
    """Return a sentence for every rule of a session that the sheet breaks; empty when it is accepted.

    `pace` maps kinds of work to this builder's time over the work table's, as the sheet was made with.
    """
    standing = standing_at(project, question, pace)
    broken = faults(standing, sheet.lines)
    return tuple(fault.says for fault in (*broken, *(owed(standing, sheet.lines) if not broken else ())))


def standing_at(
    project: Project,
    question: Question,
    pace: Mapping[str, float] = AS_TABLE,
    readiness: Readiness | None = None,
) -> Standing:
    """Return what all audits of one question share: the project as it stands when the session starts."""
    return Standing(project, question, readiness or judge(project, question.start), pace)


def faults(standing: Standing, lines: Iterable[Line]) -> tuple[Fault, ...]:
    """Return every rule that the lines break."""
    case = Case(standing, tuple(lines))
    broken = tuple(shape(case))
    if any(fault.rule == "shape" for fault in broken):
        return broken
    return broken + tuple(fault for rule in RULES for fault in rule(case))


def owed(standing: Standing, lines: Iterable[Line]) -> tuple[Fault, ...]:
    """Return what a finished sheet owes to the work under way; `faults` finds nothing wrong in the lines."""
    return tuple(begun(Case(standing, tuple(lines)), faults, _least))


def shape(case: Case) -> Iterator[Fault]:
    """Each line is about an open task of the plan, once, in whole minutes and a count that may be planned."""
    seen: set[str] = set()
    for line in case.lines:
        task = case.plan.task.get(line.task)
        if task is None:
            says = f"There is no task {case.title(line.task)!r} in the plan."
            yield Fault("shape", line.task, says, "not in the plan")
            continue
        title = case.title(line.task)
        if line.task in seen:
            yield Fault("shape", line.task, f"{title} is on the sheet twice.", "on the sheet already")
        seen.add(line.task)
        left = case.project.open_count(line.task)
        if left == 0:
            yield Fault("shape", line.task, f"{title} is done already.", "done already")
        figures = (line.count, line.begin, line.end, line.set_up, line.clean_up)
        if any(type(figure) is not int or figure < 0 for figure in figures) or line.end < line.begin:
            yield Fault("shape", line.task, f"{title} is not in whole minutes.", "not in whole minutes")
    if any(later.begin < earlier.begin for earlier, later in pairwise(case.lines)):
        yield Fault("shape", "", "The lines are not in the order of their begin.", "out of order")


def counts(case: Case) -> Iterator[Fault]:
    """Nothing is planned beyond what is open; only what may be split is planned in part, and not for a trifle."""
    for line in case.lines:
        task = case.plan.task[line.task]
        left = case.project.open_count(line.task)
        title = case.title(line.task)
        if line.count > left or line.count < 1:
            says = f"{title} has {left} left to do and the sheet plans {line.count}."
            yield Fault("count", line.task, says, f"{left} left to do")
        elif line.count < left and not case.plan.splits(task):
            yield Fault("count", line.task, f"{title} may not be stopped half way.", "may not be stopped half way")
        elif line.count < left and line.count < (least := _least(case, task)):
            says = f"{title} is not worth starting for fewer than {least} of {left}."
            yield Fault("count", line.task, says, f"not worth starting for fewer than {least}")


def _least(case: Case, task: Task) -> int:
    left = case.project.open_count(task.id)
    if task.least is not None:
        return min(task.least, left)
    unit = case.unit(task)
    return left if unit <= 0 else min(left, max(1, ceil(round(WORTH_STARTING / unit, 9))))


def durations(case: Case) -> Iterator[Fault]:
    """A line lasts its likely minutes beside set-up and clean-up, and ends within the session's work."""
    for line in case.lines:
        task = case.plan.task[line.task]
        wanted = case.likely(task, line.count)
        if line.work_minutes != wanted:
            says = f"{case.title(line.task)} takes {stretch(wanted)} and has {stretch(line.work_minutes)}."
            yield Fault("duration", line.task, says, f"takes {stretch(wanted)}")
        late = line.end - case.question.usable
        if late > 0:
            says = f"{case.title(line.task)} ends {stretch(late)} after the work of the session must be over."
            yield Fault("time", line.task, says, f"would end {stretch(late)} late", late)


def people(case: Case) -> Iterator[Fault]:
    """One person does one thing at a time; two-person work has both, while the helper is there."""
    for who, lane in (("builder", case.builder), ("helper", case.assistant)):
        for earlier, later in pairwise(lane):
            if later.begin < earlier.end:
                says = f"The {who} would do {case.title(earlier.task)} and {case.title(later.task)} at once."
                yield Fault("people", later.task, says, f"the {who} is busy with {case.title(earlier.task)}")
    for line in case.lines:
        task = case.plan.task[line.task]
        crew = case.plan.crew_of(task)
        if crew >= 2 and line.who != "both":
            says = f"{case.title(line.task)} needs two people and has one."
            yield Fault("people", line.task, says, "needs a helper")
        elif crew < 2 and line.who == "both":
            yield Fault("people", line.task, f"{case.title(line.task)} needs one person and has two.", "needs only one")
        elif line.who == "helper" and not case.plan.work_of(task).helper_alone:
            says = f"{case.title(line.task)} is not work for a helper alone."
            yield Fault("people", line.task, says, "not for a helper alone")
        if line.who != "builder" and not any(a <= line.begin and line.end <= b for a, b in case.standing.helper):
            yield _no_helper(case, line)


def _no_helper(case: Case, line: Line) -> Fault:
    title = case.title(line.task)
    says = f"{title} needs a helper from {case.at(line.begin)} to {case.at(line.end)}, when none is there throughout."
    gone = [end for _, end in case.standing.helper if end < line.end]
    if not case.standing.helper:
        short = "needs a helper"
    elif gone:
        short = f"needs a helper after {case.at(gone[-1])}"
    else:
        short = f"needs a helper before {case.at(case.standing.helper[0][0])}"
    return Fault("helper", line.task, says, short)


def visits(case: Case) -> Iterator[Fault]:
    """Tools are got out in the first table-timed line of a stay at one kind of work and put away in the last."""
    stays: dict[str, int] = {}
    for work, run in groupby(case.builder, key=lambda line: case.plan.task[line.task].work):
        stay = list(run)
        stays[work] = stays.get(work, 0) + 1
        if stays[work] == MOST_VISITS + 1:
            says = f"{case.title(stay[0].task)} would be a third stay at the same kind of work."
            yield Fault("visits", stay[0].task, says, "would mean setting up for it a third time")
        timed = [line for line in stay if case.table_set_up(line)[2]]
        for line in stay:
            set_up, clean_up, _ = case.table_set_up(line)
            wanted = (set_up if timed and line is timed[0] else 0, clean_up if timed and line is timed[-1] else 0)
            if (line.set_up, line.clean_up) != wanted:
                yield _set_up(case, line, wanted)
    for line in case.lines:
        if line.who == "helper" and (line.set_up or line.clean_up):
            yield _set_up(case, line, (0, 0))


def _set_up(case: Case, line: Line, wanted: tuple[int, int]) -> Fault:
    says = (
        f"{case.title(line.task)} has {line.set_up} min of set-up and {line.clean_up} min of clean-up;"
        f" it should have {wanted[0]} and {wanted[1]}."
    )
    return Fault("set-up", line.task, says, "set-up minutes are wrong")


def wishes(case: Case) -> Iterator[Fault]:
    """What the builder wants to do without is not on the sheet."""
    for line in case.lines:
        if line.task in case.question.without:
            says = f"{case.title(line.task)} is on the sheet although it was to be left out."
            yield Fault("without", line.task, says, "you asked to leave it out")


RULES: tuple[Callable[[Case], Iterable[Fault]], ...] = (
    wishes,
    counts,
    weather,
    holds,
    windows,
    one_go,
    people,
    items,
    clecos,
    tools,
    quiet,
    durations,
    visits,
)
"""Every rule beside the shape of the lines, those that say most about a task left out first."""
