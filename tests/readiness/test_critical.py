"""The critical chain of a project: what is left, with its cures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.readiness.histories import START
from tests.readiness.test_network import HENDRICKSON_BEFORE, HENDRICKSON_DURATIONS, HENDRICKSON_TABLE

from fitup.model.plan import Hold, Plan, Task
from fitup.model.progress import CureHours, Progress, Project, TaskProgress, Waiver
from fitup.readiness import critical_chain, tails_of


def task(name: str, *holds: Hold) -> Task:
    """Return a task of one unit."""
    return Task(name, name.upper(), "flap", "fit", holds=holds)


def project(*tasks: Task, done: Sequence[str] = ()) -> Project:
    """Return a project in which the tasks `done` were finished at the start."""
    ticked = {name: TaskProgress(1, START, START, START) for name in done}
    return Project(Plan(tasks=tasks), Progress(tasks=ticked))


def test_tasks_of_hendricksons_network_have_the_published_floats() -> None:
    # C. Hendrickson, "Project Management for Construction", table 10-1, its days taken as hours
    tasks = [
        task(name, *(Hold("after", until) for until in HENDRICKSON_BEFORE.get(name, "")))
        for name in HENDRICKSON_DURATIONS
    ]
    found = critical_chain(project(*tasks), {name: hours * 60 for name, hours in HENDRICKSON_DURATIONS.items()})
    assert found.float_hours == {name: row[4] for name, row in HENDRICKSON_TABLE.items()}
    assert found.critical == {"A", "C", "F", "I"}
    assert found.length_minutes == 30 * 60
    assert found.tail_minutes["A"] == 26 * 60


def test_cure_of_eight_hours_counts_as_one_hour_of_work() -> None:
    glued = project(task("a"), task("b", Hold("cure", "a", hours=8)))
    found = critical_chain(glued, {"a": 30, "b": 10})
    assert found.length_minutes == 30 + 60 + 10
    assert found.tail_minutes == {"a": 70, "b": 0}


def test_running_cure_counts_with_what_is_left_of_it() -> None:
    glued = project(task("a"), task("b", Hold("cure", "a", hours=16)), task("c"), done=["a"])
    remaining = {"a": 0, "b": 10, "c": 100}
    six_hours_on = critical_chain(glued, remaining, START + timedelta(hours=6))
    assert six_hours_on.length_minutes == 100
    assert six_hours_on.float_hours["b"] == pytest.approx((100 - 10 - 10 * 60 / 8) / 60)
    assert critical_chain(glued, remaining, START + timedelta(hours=17)).float_hours["b"] == 1.5
    assert critical_chain(glued, remaining).float_hours["b"] == 1.5


def test_corrected_hours_of_a_cure_count() -> None:
    glued = project(task("a"), task("b", Hold("cure", "a", hours=8)))
    corrected = CureHours("b", "a", 24, "cold", "Robin", START)
    glued = replace(glued, progress=replace(glued.progress, cures={("b", "a"): corrected}))
    assert critical_chain(glued, {"a": 30, "b": 10}).length_minutes == 30 + 180 + 10


def test_done_tasks_have_no_float_and_hold_nothing_up() -> None:
    found = critical_chain(project(task("a"), task("b", Hold("after", "a")), done=["a"]), {"a": 0, "b": 10})
    assert found.float_hours == {"a": None, "b": 0}
    assert found.critical == {"b"}
    assert found.tail_minutes["a"] == 0


def test_the_tails_alone_are_those_of_the_chain() -> None:
    glued = project(task("a"), task("b", Hold("cure", "a", hours=8)), task("c", Hold("after", "b")))
    remaining = {"a": 30, "b": 10, "c": 5}
    assert tails_of(glued, remaining) == critical_chain(glued, remaining).tail_minutes == {"a": 75, "b": 5, "c": 0}


def test_waived_hold_is_no_part_of_the_chain() -> None:
    waiting = project(task("a"), task("b", Hold("after", "a")))
    waiver = Waiver("b", "after", "a", "meanwhile", "Robin", START)
    waived = replace(waiting, progress=Progress(waivers={("b", "after", "a"): waiver}))
    assert critical_chain(waiting, {"a": 30, "b": 10}).length_minutes == 40
    assert critical_chain(waived, {"a": 30, "b": 10}).length_minutes == 30
