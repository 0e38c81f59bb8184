"""What a piece of finished work sets going: cures that now run, and time windows that are now open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from fitup.model.amounts import day_clock, first_named
from fitup.model.holds import hold_book
from fitup.model.progress import Project
from fitup.readiness.judging import Judging


@dataclass(frozen=True, slots=True)
class Started:
    """A clock that an act has started: a cure, or a window, that ends at `until` for `tasks`.

    `since` is the instant that it counts from; with `witness` a sample is judged after the cure;
    `says` is one line about it.
    """

    kind: Literal["cure", "window"]
    tasks: tuple[str, ...]
    since: datetime
    until: datetime
    witness: bool
    says: str


def started(before: Project, after: Project, task_id: str, now: datetime) -> tuple[Started, ...]:
    """Return the clocks that run after an act on `task_id` and did not run before it, the first to end first."""
    found: dict[tuple[Literal["cure", "window"], datetime, datetime, bool], list[str]] = {}
    for kind, waiter, since, until, witness in (
        *_cures(before, after, task_id, now),
        *_windows(before, after, task_id),
    ):
        tasks = found.setdefault((kind, since, until, witness), [])
        tasks += [] if waiter in tasks else [waiter]
    made = [
        Started(kind, tuple(tasks), since, until, witness, _say(kind, tasks, since, until, witness, now))
        for (kind, since, until, witness), tasks in found.items()
    ]
    return tuple(sorted(made, key=lambda one: one.until))


_Clock = tuple[Literal["cure", "window"], str, datetime, datetime, bool]


def _cures(before: Project, after: Project, task_id: str, now: datetime) -> Iterator[_Clock]:
    since = after.progress.of(task_id).finished_at
    if since is None or since == before.progress.of(task_id).finished_at:
        return
    judging = Judging(after, now)
    for waiter in hold_book(after.plan).waiters[task_id]:
        for hold in judging.book.holds[waiter]:
            if hold.kind == "cure" and hold.until == task_id and waiter not in judging.done:
                yield "cure", waiter, since, judging.cured(waiter, hold), hold.witness


def _windows(before: Project, after: Project, task_id: str) -> Iterator[_Clock]:
    was, state = before.progress.of(task_id), after.progress.of(task_id)
    for waiter in hold_book(after.plan).waiters[task_id]:
        for window in after.plan.task[waiter].within:
            former, since = (
                (was.begun_at, state.begun_at) if window.start == "begin" else (was.finished_at, state.finished_at)
            )
            if window.of == task_id and since is not None and since != former and not after.done(waiter):
                yield "window", waiter, since, since + timedelta(hours=window.hours), False


def _say(kind: str, tasks: list[str], since: datetime, until: datetime, witness: bool, now: datetime) -> str:
    named = first_named(tasks)
    if kind == "window":
        return f"counted from {day_clock(since, now)}: {named} must be finished by {day_clock(until, now)}"
    runs = f"{'cured since' if until <= now else 'cures until'} {day_clock(until, now)}"
    judged = ", then the witness sample is judged" if witness else ""
    return f"{runs}{judged}; {named} {'waits' if len(tasks) == 1 else 'wait'} for it"
