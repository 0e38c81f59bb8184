"""Times of tasks against figures worked out by hand."""

from datetime import UTC, datetime

import pytest

from fitup.estimate import (
    clean_up_of,
    cure_minutes,
    remaining_minutes,
    set_up_of,
    unit_likely,
    unit_time,
    whole_minutes,
    work_time,
)
from fitup.model.plan import Hold, Plan, Task, ThreePoint, Work
from fitup.model.progress import CureHours, Progress, Project, ShopTemperature, TaskProgress

AT = datetime(2026, 11, 28, 9, 0, tzinfo=UTC)
DIMPLE = Work("dimple", "Dimple", "hole", ThreePoint(6, 9, 15), set_up_minutes=4.5, clean_up_minutes=2)
TABLE = Task("a", "Dimple the row", "wing", "dimple", count=40)
OWN = Task("b", "Dimple the skin", "wing", "dimple", count=40, minutes=ThreePoint(30, 40, 60))
PLAN = Plan(works=(DIMPLE,), tasks=(TABLE, OWN))


def test_the_table_times_each_unit() -> None:
    assert work_time(PLAN, TABLE, 20) == ThreePoint(2, 3, 5)


def test_the_likely_minutes_alone_are_those_of_the_three() -> None:
    assert unit_likely(PLAN, TABLE) == unit_time(PLAN, TABLE).likely == pytest.approx(9 / 60)
    assert unit_likely(PLAN, OWN) == unit_time(PLAN, OWN).likely == pytest.approx(1)


def test_own_minutes_are_those_of_the_whole_task() -> None:
    assert work_time(PLAN, OWN, 40).likely == pytest.approx(40)
    assert work_time(PLAN, OWN, 10) == ThreePoint(7.5, 10, 15)


def test_set_up_is_in_whole_minutes_and_part_of_a_tasks_own_minutes() -> None:
    assert (set_up_of(PLAN, TABLE), clean_up_of(PLAN, TABLE)) == (5, 2)
    assert (set_up_of(PLAN, OWN), clean_up_of(PLAN, OWN)) == (0, 0)


def test_a_builder_twice_as_slow_takes_twice_as_long() -> None:
    assert work_time(PLAN, TABLE, 20, pace=2) == ThreePoint(4, 6, 10)


def test_remaining_minutes_count_what_is_open() -> None:
    project = Project(PLAN, Progress(tasks={"a": TaskProgress(done=30), "b": TaskProgress(done=40)}))
    assert remaining_minutes(project) == {"a": 1.5, "b": 0}
    assert remaining_minutes(project, {"dimple": 2.0}) == {"a": 3, "b": 0}


def test_an_unknown_kind_of_work_takes_no_time_but_a_line_lasts_a_minute() -> None:
    plan = Plan(tasks=(Task("c", "Odd", "wing", "juggle"),))
    assert work_time(plan, plan.tasks[0], 1).likely == 0
    assert whole_minutes(0, 1) == 1


def cure_plan(law: str) -> Project:
    hold = Hold("cure", until="a", hours=2, law="double-18F" if law else "none")
    return Project(Plan(works=(DIMPLE,), tasks=(TABLE, Task("d", "Sand", "wing", "dimple", holds=(hold,)))))


@pytest.mark.parametrize(
    ("fahrenheit", "hours"),
    # epoxy makers' support pages: every 18 F colder than 77 F doubles the time, every 18 F warmer halves it
    [(59, 4), (77, 2), (95, 1)],
)
def test_a_cure_with_a_law_follows_the_temperature(fahrenheit: float, hours: float) -> None:
    project = cure_plan("law")
    hold = project.plan.tasks[1].holds[0]
    assert cure_minutes(project, "d", hold, (fahrenheit - 32) * 5 / 9) == hours * 60


def test_a_cure_without_a_law_leaves_the_hours_alone() -> None:
    project = cure_plan("")
    assert cure_minutes(project, "d", project.plan.tasks[1].holds[0], 5) == 120


def test_a_cure_takes_the_last_reading_where_no_temperature_is_given_and_the_hours_a_person_corrected() -> None:
    project = cure_plan("law")
    readings = (ShopTemperature(AT, 15),)
    cures = {("d", "a"): CureHours("d", "a", 3, "thick", "Robin", AT)}
    project = Project(project.plan, Progress(temperatures=readings, cures=cures))
    assert cure_minutes(project, "d", project.plan.tasks[1].holds[0]) == 360
