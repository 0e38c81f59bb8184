"""The critical chain of what is left: the work that nothing may delay if the whole is to end soonest.

A cure takes no hands but takes time: a builder at the bench eight hours a day of twenty-four gets
`hours / 8` hours of work's worth of waiting out of it (fitup's own convention).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from fitup.model.holds import hold_book
from fitup.model.plan import Hold
from fitup.model.progress import Project
from fitup.readiness.judging import Judging
from fitup.readiness.network import cpm, tails

CURE_SHARE = 1 / 8
"""How much of a cure's clock time counts as working time."""

_CRITICAL_HOURS = 0.01

_ANY_TIME = datetime(2000, 1, 1, tzinfo=UTC)
"""Stands in where no instant is given; nothing judged here then depends on it."""


@dataclass(frozen=True, slots=True)
class Chain:
    """The critical tasks, every task's float in hours (None for a done one), and what waits behind it.

    `tail_minutes` is the longest remaining chain after the task, its own minutes left out, 0 for a
    done one; `length_minutes` is the longest chain of the whole plan.
    """

    critical: frozenset[str]
    float_hours: Mapping[str, float | None]
    tail_minutes: Mapping[str, float]
    length_minutes: float


def critical_chain(project: Project, remaining: Mapping[str, float], now: datetime | None = None) -> Chain:
    """Return the longest chain over `remaining` minutes and what every task may slip.

    A cure that runs already counts with what is left of it at `now`; without `now` it counts as over.
    Waived holds do not count.
    """
    left = _left_of(project, remaining, now)
    network = cpm(left.durations, left.before, left.lags, left.not_before, left.order)
    floats: dict[str, float | None] = dict.fromkeys(project.plan.task)
    for task_id in left.order:
        floats[task_id] = max(0.0, network.total_float(task_id)) / 60
    critical = frozenset(task for task, hours in floats.items() if hours is not None and hours < _CRITICAL_HOURS)
    return Chain(critical, floats, {**dict.fromkeys(floats, 0.0), **network.tail}, network.length)


def tails_of(project: Project, remaining: Mapping[str, float]) -> dict[str, float]:
    """Return the `tail_minutes` of the open tasks, for those who need no more of the chain."""
    left = _left_of(project, remaining, None)
    return tails(left.durations, left.before, left.lags, left.order)


class _Left(NamedTuple):
    """The network of what is left: the open tasks in the order of work, their minutes, and what they wait for."""

    order: list[str]
    durations: dict[str, float]
    before: dict[str, list[str]]
    lags: dict[tuple[str, str], float]
    not_before: dict[str, float]


def _left_of(project: Project, remaining: Mapping[str, float], now: datetime | None) -> _Left:
    book, judging, waivers = hold_book(project.plan), Judging(project, now or _ANY_TIME), project.progress.waivers
    order = [task_id for task_id in book.order if task_id not in judging.done]
    before: dict[str, list[str]] = {}
    lags: dict[tuple[str, str], float] = {}
    not_before: dict[str, float] = {}
    for task_id in order:
        before[task_id] = []
        for hold in book.holds[task_id]:
            if hold.until is None:
                continue
            if hold.until not in judging.done:
                # what waits for unfinished work stands unless it is waived
                if not waivers or judging.word(task_id, hold) == "standing":
                    before[task_id].append(hold.until)
                    if hold.kind == "cure":
                        pair = hold.until, task_id
                        lags[pair] = max(lags.get(pair, 0.0), judging.hours(task_id, hold) * 60 * CURE_SHARE)
            elif hold.kind == "cure" and now is not None:
                not_before[task_id] = max(not_before.get(task_id, 0.0), _still(judging, task_id, hold, now))
    durations = {task_id: remaining.get(task_id, 0.0) for task_id in order}
    return _Left(order, durations, before, lags, not_before)


def _still(judging: Judging, task_id: str, hold: Hold, now: datetime) -> float:
    """Return the minutes that a running cure still counts."""
    return max(0.0, (judging.cured(task_id, hold) - now) / timedelta(minutes=1)) * CURE_SHARE
