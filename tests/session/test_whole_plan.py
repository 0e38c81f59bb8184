"""Whole plans against published best answers, and the rules one by one on plans of a few jobs."""

from __future__ import annotations

import pytest
from tests.session.published import read_rcp, read_sch, read_sm
from tests.session.published_figures import BL, J30, UBO10

from fitup.session.whole_plan import Job, Lag, Schedule, WholePlan, horizon_of, shortest

SMALL_SM = """\
jobs (incl. supersource/sink ):  4
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
***
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------
  1      1     0       0    0
  2      1     5       2    0
  3      1     3       2    1
  4      1     0       0    0
***
RESOURCEAVAILABILITIES:
  R 1  R 2
    3    1
"""


def j30(name: str) -> WholePlan:
    _, have, text = J30[name]
    jobs, lags = [], []
    for index, row in enumerate(text.split(";")):
        figures, _, later = row.partition(">")
        minutes, *amounts = (int(word) for word in figures.split())
        jobs.append(Job(minutes, tuple((f"R{k}", amount) for k, amount in enumerate(amounts, 1))))
        lags += [Lag(index, int(word) - 1, 0, "end") for word in later.split()]
    means = {f"R{k}": int(amount) for k, amount in enumerate(have.split(), 1)}
    return WholePlan(tuple(jobs), tuple(lags), means, {})


def broken(plan: WholePlan, schedule: Schedule) -> list[str]:
    """Return what a schedule breaks, minute by minute and without the model."""
    begins = schedule.begins
    ends = [begin + job.minutes for begin, job in zip(begins, plan.jobs, strict=True)]
    found = [
        f"{lag}"
        for lag in plan.lags
        if begins[lag.later] < (ends if lag.of == "end" else begins)[lag.earlier] + lag.minutes
    ]
    if max(ends) != schedule.minutes:
        found.append("minutes in all")
    for minute in range(schedule.minutes + 1):
        for name, have in plan.have.items():
            now = [
                dict(j.uses).get(name, 0) for j, b, e in zip(plan.jobs, begins, ends, strict=True) if b <= minute < e
            ]
            if sum(now) > have:
                found.append(f"{name} at {minute}")
        for name, stock in plan.stock.items():
            taken = sum(dict(j.takes).get(name, 0) for j, b in zip(plan.jobs, begins, strict=True) if b <= minute)
            given = sum(dict(j.gives).get(name, 0) for j, e in zip(plan.jobs, ends, strict=True) if e <= minute)
            if taken > stock + given:
                found.append(f"{name} at {minute}")
    return found


@pytest.mark.parametrize("name", J30)
def test_psplib_plans_end_as_soon_as_published(name: str) -> None:
    # source: Kolisch and Sprecher 1997, EJOR 96(1) 205-216
    plan = j30(name)
    schedule = shortest(plan, 60)
    assert (schedule.status, schedule.minutes, schedule.bound) == ("proven", J30[name][0], J30[name][0])
    assert broken(plan, schedule) == []


@pytest.mark.parametrize("name", UBO10)
def test_plans_with_least_and_greatest_lags_end_as_published(name: str) -> None:
    # source: Franck, Neumann and Schwindt 2001, OR Spektrum 23, 297-324
    minutes, text = UBO10[name]
    plan = read_sch(text)
    schedule = shortest(plan, 60)
    if minutes is None:
        assert schedule.status == "impossible"
        assert schedule.begins == ()
    else:
        assert (schedule.status, schedule.minutes) == ("proven", minutes)
        assert broken(plan, schedule) == []


def test_a_plan_with_things_taken_and_given_back_ends_as_published() -> None:
    # source: Kone, Artigues, Lopez and Mongeau 2013, Flexible Services and Manufacturing Journal 25, 25-47
    minutes, text = BL["bl2002"]
    plan = read_rcp(text)
    schedule = shortest(plan, 60)
    assert (schedule.status, schedule.minutes) == ("proven", minutes)
    assert broken(plan, schedule) == []


def test_the_reader_of_single_mode_files_takes_jobs_order_and_means() -> None:
    plan = read_sm(SMALL_SM)
    assert [job.minutes for job in plan.jobs] == [0, 5, 3, 0]
    assert plan.jobs[2].uses == (("R1", 2), ("R2", 1))
    assert {(lag.earlier, lag.later) for lag in plan.lags} == {(0, 1), (0, 2), (1, 3), (2, 3)}
    assert plan.have == {"R1": 3, "R2": 1}
    assert shortest(plan).minutes == 8


def test_what_is_taken_waits_for_what_is_given_back() -> None:
    first = Job(10, takes=(("3/32", 20),), gives=(("3/32", 20),))
    plan = WholePlan((first, Job(5, takes=(("3/32", 15),))), (), {}, {"3/32": 30})
    schedule = shortest(plan)
    assert (schedule.minutes, schedule.begins) == (15, (0, 10))
    assert broken(plan, schedule) == []


def test_a_greatest_lag_keeps_two_jobs_together() -> None:
    jobs = (Job(4, (("bench", 1),)), Job(6, (("bench", 1),)), Job(3, (("bench", 1),)))
    near = (Lag(0, 2, 0, "end"), Lag(2, 0, -5))
    plan = WholePlan(jobs, near, {"bench": 1}, {})
    schedule = shortest(plan)
    assert (schedule.status, schedule.minutes) == ("proven", 13)
    assert schedule.begins[2] - schedule.begins[0] <= 5


def test_lags_that_contradict_each_other_leave_no_plan() -> None:
    plan = WholePlan((Job(4), Job(1)), (Lag(0, 1, 0, "end"), Lag(1, 0, -3)), {}, {})
    assert shortest(plan).status == "impossible"


def test_the_horizon_holds_every_job_and_lag_one_after_another() -> None:
    plan = WholePlan((Job(4), Job(1)), (Lag(0, 1, 60, "end"),), {}, {})
    assert horizon_of(plan) == 65
    assert shortest(plan).minutes == 65
