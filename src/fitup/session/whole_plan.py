"""Whole-plan mode: every task is done, nothing is worth more than anything else, the plan ends soonest.

No command asks for it. It holds the core of the exact planner (order, lags, limited means, things
taken and given back) to problems whose best answers are published. OR-Tools is imported inside the
functions only.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from fitup.session.exact_parts import cumulated, following, reservoir, solver_of

Status = Literal["proven", "found", "impossible", "unknown"]
"""Shown to end soonest; a plan that may not end soonest; shown to have no plan; neither found nor excluded."""


@dataclass(frozen=True, slots=True)
class Job:
    """A task of `minutes`; it `uses` (means, amount) while it lasts, `takes` (store, amount) at its begin.

    What it `gives` (store, amount) is there from its end on.
    """

    minutes: int
    uses: tuple[tuple[str, int], ...] = ()
    takes: tuple[tuple[str, int], ...] = ()
    gives: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Lag:
    """Job `later` begins at least `minutes` after the begin of job `earlier`, or after its end.

    Negative minutes are a greatest lag, seen from the other side: `Lag(b, a, -5)` lets b begin no
    later than 5 minutes after a.
    """

    earlier: int
    later: int
    minutes: int = 0
    of: Literal["begin", "end"] = "begin"


@dataclass(frozen=True, slots=True)
class WholePlan:
    """All jobs with their lags, how much there is of each of the means, and what lies in each store at first."""

    jobs: tuple[Job, ...]
    lags: tuple[Lag, ...]
    have: Mapping[str, int]
    stock: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Schedule:
    """What was found: begins by job (none unless proven or found), minutes in all, and a lower bound of them."""

    status: Status
    begins: tuple[int, ...]
    minutes: int
    bound: int
    seconds: float


def horizon_of(plan: WholePlan) -> int:
    """Return minutes within which every plan that can be done can be done.

    In a plan that ends soonest no minute passes in which neither a job nor a lag runs.
    """
    longest: dict[int, int] = {}
    for lag in plan.lags:
        span = lag.minutes + (plan.jobs[lag.earlier].minutes if lag.of == "end" else 0)
        longest[lag.earlier] = max(longest.get(lag.earlier, 0), span)
    return sum(max(job.minutes, longest.get(index, 0)) for index, job in enumerate(plan.jobs))


def shortest(plan: WholePlan, limit: float = 20, workers: int = 1) -> Schedule:
    """Return the plan that ends soonest, as far as `limit` seconds show one."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    horizon = horizon_of(plan)
    begins = [model.new_int_var(0, max(0, horizon - job.minutes), f"begin {i}") for i, job in enumerate(plan.jobs)]
    ends = [begin + job.minutes for begin, job in zip(begins, plan.jobs, strict=True)]
    for lag in plan.lags:
        since = ends[lag.earlier] if lag.of == "end" else begins[lag.earlier]
        following(model, begins[lag.later], since, lag.minutes)
    _means(model, plan, begins)
    _stores(model, plan, begins, ends)
    last = model.new_int_var(0, horizon, "end of all")
    for end in ends:
        model.add(last >= end)
    model.minimize(last)
    solver = solver_of(cp_model, limit, workers)
    if not plan.stock:
        # order alone decides then, about which a linear bound says next to nothing and takes long to say it
        solver.parameters.linearization_level = 0
    found = solver.solve(model)
    status = _status(cp_model, found)
    if status in ("impossible", "unknown"):
        return Schedule(status, (), 0, 0, solver.wall_time)
    return Schedule(
        status=status,
        begins=tuple(solver.value(begin) for begin in begins),
        minutes=round(solver.objective_value),
        bound=round(solver.best_objective_bound),
        seconds=solver.wall_time,
    )


def _status(cp: Any, found: Any) -> Status:
    known: dict[Any, Status] = {cp.OPTIMAL: "proven", cp.FEASIBLE: "found", cp.INFEASIBLE: "impossible"}
    return known.get(found, "unknown")


def _means(model: Any, plan: WholePlan, begins: Sequence[Any]) -> None:
    """At no minute more of any means is in use than there is."""
    for name, have in plan.have.items():
        users = [
            (i, n) for i, job in enumerate(plan.jobs) for used, n in job.uses if used == name and n and job.minutes
        ]
        intervals = [model.new_fixed_size_interval_var(begins[i], plan.jobs[i].minutes, f"use {i}") for i, _ in users]
        cumulated(model, intervals, [amount for _, amount in users], have)


def _stores(model: Any, plan: WholePlan, begins: Sequence[Any], ends: Sequence[Any]) -> None:
    """Nothing is taken that does not lie in the store: what lay there at first, and what has come back."""
    for name, stock in plan.stock.items():
        times: list[Any] = []
        changes: list[int] = []
        for index, job in enumerate(plan.jobs):
            times += [begins[index] for taken, n in job.takes if taken == name and n]
            changes += [-n for taken, n in job.takes if taken == name and n]
            times += [ends[index] for given, n in job.gives if given == name and n]
            changes += [n for given, n in job.gives if given == name and n]
        reservoir(model, times, changes, stock)
