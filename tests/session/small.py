"""Small plans written out by hand, for tests in which every minute counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from fitup.model.plan import Assembly, Cleco, Hold, Item, Lot, Plan, Task, ThreePoint, Tool, Work
from fitup.model.progress import Progress, Project, TaskProgress
from fitup.model.sheet import Line, Question, Sheet, Who
from fitup.session.audit import audit
from fitup.session.planning import Planning
from fitup.session.proving import Prover
from fitup.session.pursuit import Pursuit

START = datetime(2026, 11, 28, 9, 0, tzinfo=UTC)

WORKS = (
    Work("fit", "Fit", "piece", ThreePoint(480, 600, 900)),
    Work("drill", "Drill", "hole", ThreePoint(45, 60, 90), 5, 3, split=True, loud=True, tools=("air-drill",)),
    Work("buck", "Buck", "rivet", ThreePoint(45, 60, 90), 4, 2, crew=2, split=True, tools=("rivet-gun",)),
    Work("deburr", "Deburr", "hole", ThreePoint(45, 60, 90), 0, 0, split=True, filler=True, helper_alone=True),
    Work("mix", "Mix", "cup", ThreePoint(480, 600, 900)),
    Work("check", "Check", "check", ThreePoint(480, 600, 900)),
)


def task(name: str, work: str = "fit", after: Sequence[str] = (), **more: Any) -> Task:
    """Return a task; `after` are its plain holds, before those in `holds`."""
    holds = (*(Hold("after", until=until) for until in after), *more.pop("holds", ()))
    return Task(name, more.pop("title", name.capitalize()), "wing", work, holds=holds, **more)


def project(*tasks: Task, done: Sequence[str] = (), progress: Progress | None = None, **more: Any) -> Project:
    """Return a project of these tasks; those in `done` were finished an hour before the session."""
    earlier = START.replace(hour=8)
    states = {name: TaskProgress(next(t.count for t in tasks if t.id == name), earlier, earlier) for name in done}
    plan = Plan(
        works=WORKS,
        assemblies=(Assembly("wing", "Wing"),),
        tools=(Tool("table", "Flat table"), *more.pop("tools", ())),
        items=(Item("goo", "Goo", unit="g", lots=(Lot(50),), temperature=(21, 32), humidity=(30, 70)),),
        clecos=(Cleco("3/32", 20),),
        tasks=tasks,
        **more,
    )
    return Project(plan, progress or Progress(tasks=states))


def question(minutes: int = 120, **more: Any) -> Question:
    """Return a question from 09:00 UTC with no clean-up kept free."""
    return Question(START, minutes, clean_up=more.pop("clean_up", 0), **more)


def line(
    name: str, begin: int, end: int, count: int = 1, who: Who = "builder", set_up: int = 0, clean_up: int = 0
) -> Line:
    """Return a line of a sheet."""
    return Line(name, count, begin, end, set_up, clean_up, who)


def proved(found: Project, asked: Question, prover: Prover) -> Sheet:
    """Return the sheet of a question once nothing better will come."""
    pursuit = Pursuit(Planning(found, asked), prover)
    while not pursuit.done:
        pursuit.poll(0.5)
    return pursuit.sheet


def faults_of(found: Project, asked: Question, *lines: Line) -> tuple[str, ...]:
    """Return what the audit says about these lines."""
    return audit(found, asked, Sheet(asked, lines))
