"""What the audit of a run sheet works on: the plan, what stands at the start, and the lines by task.

The audit shares no code with the planners, so that a mistake in one of them shows in the other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from fitup.estimate import clean_up_of, set_up_of, whole_minutes, work_time
from fitup.estimate.times import unit_likely
from fitup.model.amounts import clean, clock
from fitup.model.holds import hold_book
from fitup.model.plan import ClecoLoan, Occupy, Plan, Task, Within
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question
from fitup.readiness import Readiness


@dataclass(frozen=True, slots=True)
class Fault:
    """One rule broken by one line: `says` is a whole sentence, `short` the same in a few words.

    `minutes` is how late it would be, for faults that are a matter of time; None for all others.
    """

    rule: str
    task: str
    says: str
    short: str
    minutes: int | None = None


@dataclass(frozen=True)
class Standing:
    """A project as it stands at the start of a session: what all audits of one question share."""

    project: Project
    question: Question
    readiness: Readiness
    pace: Mapping[str, float]

    @property
    def plan(self) -> Plan:
        """The project's plan."""
        return self.project.plan

    @cached_property
    def windows(self) -> tuple[tuple[Task, Within], ...]:
        """The time windows that still matter: their task is open and nobody has waived limit or order."""
        waivers = self.project.progress.waivers
        return tuple(
            (task, window)
            for task in self.plan.tasks
            if task.within and not self.project.done(task.id)
            for window in task.within
            if window.of in self.plan.task
            and (task.id, "within", window.of) not in waivers
            and (task.id, "after", window.of) not in waivers
        )

    @cached_property
    def groups(self) -> Mapping[str, tuple[Task, ...]]:
        """The open tasks of each one-go group."""
        found: dict[str, list[Task]] = {}
        for task in self.plan.tasks:
            if task.one_go and not self.project.done(task.id):
                found.setdefault(task.one_go, []).append(task)
        return {name: tuple(tasks) for name, tasks in found.items()}

    @cached_property
    def loans(self) -> Mapping[str, tuple[tuple[Task, ClecoLoan], ...]]:
        """The loans of temporary fasteners that matter, by size, each with the task that takes them."""
        found: dict[str, list[tuple[Task, ClecoLoan]]] = {}
        for task in self.plan.tasks:
            for loan in task.clecos:
                if loan.until in self.plan.task and not self.project.done(loan.until):
                    found.setdefault(loan.size, []).append((task, loan))
        return {size: tuple(loans) for size, loans in found.items()}

    @cached_property
    def occupiers(self) -> Mapping[str, tuple[tuple[Task, Occupy], ...]]:
        """The tasks that take a tool, table or jig for days, by tool, where it is not given back yet."""
        found: dict[str, list[tuple[Task, Occupy]]] = {}
        for task in self.plan.tasks:
            for held in task.occupies:
                if held.until in self.plan.task and not self.project.done(held.until):
                    found.setdefault(held.tool, []).append((task, held))
        return {tool: tuple(held) for tool, held in found.items()}

    @cached_property
    def helper(self) -> tuple[tuple[int, int], ...]:
        """When the helper is there, stretches that touch joined into one."""
        joined: list[tuple[int, int]] = []
        for begin, end in sorted(self.question.helper):
            if joined and begin <= joined[-1][1]:
                joined[-1] = (joined[-1][0], max(joined[-1][1], end))
            elif end > begin:
                joined.append((begin, end))
        return tuple(joined)

    @cached_property
    def _places(self) -> Mapping[str, int]:
        return {task: place for place, task in enumerate(hold_book(self.plan).order)}

    def between(self, first: str, last: str) -> frozenset[str]:
        """Return the tasks on the ways from `first` to `last` in the order of work, without the two."""
        kept = self.__dict__.setdefault("_between", {})
        if (first, last) not in kept:
            kept[first, last] = self._on_the_way(first, last)
        found: frozenset[str] = kept[first, last]
        return found

    def _on_the_way(self, first: str, last: str) -> frozenset[str]:
        book = hold_book(self.plan)
        floor = self._places.get(first, 0)
        seen = {last}
        stack = [last]
        while stack:
            for before in book.before(stack.pop()):
                if before not in seen and self._places.get(before, -1) > floor:
                    seen.add(before)
                    stack.append(before)
        after: set[str] = set()
        stack = [first]
        while stack:
            for following in book.waiters[stack.pop()]:
                if following in seen and following not in after:
                    after.add(following)
                    stack.append(following)
        return frozenset(after - {last})

    def pace_of(self, task: Task) -> float:
        """Return this builder's pace at the task's kind of work."""
        return self.pace.get(task.work, 1.0)


@dataclass(frozen=True)
class Case:
    """One sheet under audit."""

    standing: Standing
    lines: tuple[Line, ...]

    @property
    def plan(self) -> Plan:
        """The project's plan."""
        return self.standing.project.plan

    @property
    def project(self) -> Project:
        """The project."""
        return self.standing.project

    @property
    def question(self) -> Question:
        """The session asked for."""
        return self.standing.question

    @cached_property
    def by_task(self) -> Mapping[str, Line]:
        """The line of each task."""
        return {line.task: line for line in self.lines}

    @cached_property
    def builder(self) -> tuple[Line, ...]:
        """The builder's lines in order of time."""
        return tuple(sorted((x for x in self.lines if x.who != "helper"), key=lambda x: (x.begin, x.end)))

    @cached_property
    def assistant(self) -> tuple[Line, ...]:
        """The helper's lines in order of time."""
        return tuple(sorted((x for x in self.lines if x.who != "builder"), key=lambda x: (x.begin, x.end)))

    def finishes(self, task_id: str) -> Line | None:
        """Return the line that does all that is left of the task, or None."""
        line = self.by_task.get(task_id)
        return line if line is not None and line.count >= self.project.open_count(task_id) else None

    def likely(self, task: Task, count: int) -> int:
        """Return the whole minutes that a sheet gives to `count` units."""
        return whole_minutes(unit_likely(self.plan, task), count, self.standing.pace_of(task))

    def unit(self, task: Task) -> float:
        """Return the likely minutes of one unit at this builder's pace."""
        return unit_likely(self.plan, task) * self.standing.pace_of(task)

    def spread(self, task: Task, count: int) -> float:
        """Return by how many minutes the high time of `count` units is over the likely one."""
        time = work_time(self.plan, task, count, self.standing.pace_of(task))
        return max(0.0, time.high - time.likely)

    def table_set_up(self, line: Line) -> tuple[int, int, bool]:
        """Return set-up and clean-up minutes of the line's work, and whether the table times it."""
        task = self.plan.task[line.task]
        return set_up_of(self.plan, task), clean_up_of(self.plan, task), task.minutes is None

    def title(self, task_id: str) -> str:
        """Return the task's title, fit to be shown."""
        task = self.plan.task.get(task_id)
        return clean(task.title) if task is not None else clean(task_id)

    def at(self, minute: float) -> str:
        """Return the clock time of a minute of the session."""
        return clock(self.question.instant(minute))
