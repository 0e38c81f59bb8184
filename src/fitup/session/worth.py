"""What a run sheet is worth: a sum of whole numbers that anybody can work out again from plan and sheet.

Per line: `work` minutes x (10 + urgency), a filler's minutes x 5; `finished` 5 x the likely minutes
of all that is left of the task when the line finishes it, half of that (rounded down) where the task
may be split; `clock started` 50 x min(hours, 48) / 8 when the line finishes something that starts a
cure of 8 h or more; `set-up` -10 x set-up and clean-up minutes; `too early` -6 x minutes of a `late`
task when nothing that waits for it is on the sheet. Of no one line: `freed` 5 x min(likely minutes,
240) of every open task outside the sheet that something beside running cures held before it and
nothing beside running cures holds after it; `window saved` 6,000 for every time window opened
earlier that closes before the next session and that the sheet meets.

Urgency is the whole part of 10 x tail / longest tail of the open tasks, the tail being the longest
chain of work that remains after the task, a cure of h hours counting as h x 60 / 8 minutes.
What the builder asks to do first comes before all worth: see `asked_for`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property

from fitup.estimate import cure_hours, remaining_minutes, unit_likely, whole_minutes
from fitup.estimate.times import AS_TABLE
from fitup.model.holds import hold_book
from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question
from fitup.readiness import Readiness, judge, tails_of

Terms = tuple[tuple[str, int], ...]

PER_MINUTE = 10
PER_FILLER_MINUTE = 5
PER_FINISHED_MINUTE = 5
PER_FREED_MINUTE = 5
MOST_FREED_MINUTES = 240
PER_SET_UP_MINUTE = 10
PER_EARLY_MINUTE = 6
WINDOW_SAVED = 6000
LEAST_CLOCK_HOURS = 8
MOST_CLOCK_HOURS = 48

GOES_ON = 10_000
"""Minutes, more than any session has, that going on with work under way counts among what was asked for."""


@dataclass(frozen=True)
class Scale:
    """What each piece of work is worth in one session of one project; shared by planners and checks."""

    project: Project
    question: Question
    readiness: Readiness
    pace: Mapping[str, float]

    @cached_property
    def _tails(self) -> Mapping[str, float]:
        return tails_of(self.project, remaining_minutes(self.project, self.pace))

    @cached_property
    def _longest(self) -> float:
        return max(self._tails.values(), default=0.0)

    def urgency(self, task_id: str) -> int:
        """Return 0 to 10: how long the chain is that waits behind the task."""
        longest = self._longest
        return int(10 * self._tails.get(task_id, 0.0) / longest) if longest > 0 else 0

    def minutes(self, task: Task, count: int) -> int:
        """Return the whole likely minutes of `count` units."""
        return whole_minutes(unit_likely(self.project.plan, task), count, self.pace.get(task.work, 1.0))

    def per_minute(self, task: Task) -> int:
        """Return what a minute of the task's work is worth."""
        return PER_FILLER_MINUTE if self.project.plan.fills(task) else PER_MINUTE + self.urgency(task.id)

    def finished(self, task: Task) -> int:
        """Return what finishing the task is worth."""
        whole = PER_FINISHED_MINUTE * self.minutes(task, self.project.open_count(task.id))
        return whole // 2 if self.project.plan.splits(task) else whole

    def clock_started(self, task: Task) -> int:
        """Return what the longest cure that begins when the task is finished is worth; 0 below 8 h."""
        hours = 0.0
        for waiter in hold_book(self.project.plan).waiters[task.id]:
            if self.readiness.states[waiter] != "done":
                for hold in hold_book(self.project.plan).holds[waiter]:
                    if hold.kind == "cure" and hold.until == task.id:
                        hours = max(hours, cure_hours(self.project, waiter, hold))
        return int(50 * min(hours, MOST_CLOCK_HOURS) / 8) if hours >= LEAST_CLOCK_HOURS else 0

    def freed(self, task: Task) -> int:
        """Return what it is worth that the task becomes free to be begun."""
        left = self.minutes(task, self.project.open_count(task.id))
        return PER_FREED_MINUTE * min(left, MOST_FREED_MINUTES)

    @cached_property
    def freeable(self) -> Mapping[str, frozenset[str]]:
        """Open tasks that other tasks alone keep from being free, with those that have to be finished."""
        return {
            task: frozenset(needs)
            for task, needs in self.readiness.waits_for.items()
            if needs and self.held_by_tasks_alone(task)
        }

    def held_by_tasks_alone(self, task_id: str) -> bool:
        """Return whether nothing holds the task but other tasks, and cures that run."""
        return all(root.startswith("cure:") for root in self.readiness.own_roots.get(task_id, ()))

    @cached_property
    def saved_by(self) -> Mapping[str, tuple[float, ...]]:
        """Per task the minutes at which windows close that were opened earlier and do not last to the next session."""
        found: dict[str, tuple[float, ...]] = {}
        progress, question = self.project.progress, self.question
        for task in self.project.plan.tasks:
            for window in task.within if task.within and not self.project.done(task.id) else ():
                opener = progress.of(window.of)
                begun = opener.begun_at if opener.done else None
                opened = begun if window.start == "begin" else opener.finished_at
                waived = any((task.id, kind, window.of) in progress.waivers for kind in ("within", "after"))
                if opened is None or waived:
                    continue
                closes = question.minute(opened + timedelta(hours=window.hours))
                if closes >= 0 and (question.next_start is None or closes < question.next_start):
                    found[task.id] = (*found.get(task.id, ()), closes)
        return found


def scale_of(
    project: Project,
    question: Question,
    pace: Mapping[str, float] = AS_TABLE,
    readiness: Readiness | None = None,
) -> Scale:
    """Return the scale of worth of one question."""
    return Scale(project, question, readiness or judge(project, question.start), pace)


def worth_of(
    project: Project, question: Question, lines: Iterable[Line], pace: Mapping[str, float] = AS_TABLE
) -> tuple[tuple[Terms, ...], Terms]:
    """Return the terms of each line, in the order given, and the terms of the sheet as a whole."""
    return terms_of(scale_of(project, question, pace), tuple(lines))


def terms_of(scale: Scale, lines: Sequence[Line]) -> tuple[tuple[Terms, ...], Terms]:
    """Return the terms of each line and of the sheet as a whole, on a scale already at hand."""
    planned = {line.task for line in lines}
    return tuple(_line_terms(scale, line, planned) for line in lines), _sheet_terms(scale, lines, planned)


def sum_of(scale: Scale, lines: Sequence[Line]) -> int:
    """Return the worth of a sheet with these lines."""
    per_line, of_sheet = terms_of(scale, lines)
    return sum(value for terms in (*per_line, of_sheet) for _, value in terms)


def asked_for(question: Question, minutes: Mapping[str, int]) -> int:
    """Return the minutes planned of what is under way or asked for first; more of them goes before any worth.

    Going on with what is under way, for however long, counts for more than all minutes of a session.
    """
    goes_on = sum(weight for task, weight in going_on(question).items() if minutes.get(task))
    return goes_on + sum(minutes.get(task, 0) for task in question.wanted)


def going_on(question: Question) -> dict[str, int]:
    """Return what going on with each task under way counts: the earliest begun for more than all later ones."""
    return {task: GOES_ON << place for place, task in enumerate(reversed(question.under_way))}


def _line_terms(scale: Scale, line: Line, planned: set[str]) -> Terms:
    task = scale.project.plan.task[line.task]
    minutes = scale.minutes(task, line.count)
    terms = [("work", minutes * scale.per_minute(task))]
    if line.count >= scale.project.open_count(line.task):
        terms.append(("finished", scale.finished(task)))
        terms.append(("clock started", scale.clock_started(task)))
    terms.append(("set-up", -PER_SET_UP_MINUTE * (line.set_up + line.clean_up)))
    if task.late and not planned.intersection(hold_book(scale.project.plan).waiters[line.task]):
        terms.append(("too early", -PER_EARLY_MINUTE * minutes))
    return tuple((name, value) for name, value in terms if value)


def _sheet_terms(scale: Scale, lines: Sequence[Line], planned: set[str]) -> Terms:
    finished = {line.task for line in lines if line.count >= scale.project.open_count(line.task)}
    task = scale.project.plan.task
    freed = sum(
        scale.freed(task[name]) for name, needs in scale.freeable.items() if name not in planned and needs <= finished
    )
    saved = sum(
        WINDOW_SAVED
        for line in lines
        if line.task in finished
        for closes in scale.saved_by.get(line.task, ())
        if line.end <= closes
    )
    return tuple((name, value) for name, value in (("freed", freed), ("window saved", saved)) if value)
