"""The critical path method on a bare network: earliest and latest times of activities.

Source of the method: C. Hendrickson, "Project Management for Construction", chapter 10 (activity
on node, finish to start, with lags).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from fitup.model.refusal import Refused


@dataclass(frozen=True, slots=True)
class Network:
    """Times of every activity, in the unit of the durations.

    Earliest start and finish, latest start and finish that keep `length`, the length of the longest
    chain; `tail` is the longest chain after the activity's own end, lags included.
    """

    earliest_start: Mapping[str, float]
    earliest_finish: Mapping[str, float]
    latest_start: Mapping[str, float]
    latest_finish: Mapping[str, float]
    tail: Mapping[str, float]
    length: float

    def total_float(self, activity: str) -> float:
        """Return by how much an activity may slip without delaying the end."""
        return self.latest_start[activity] - self.earliest_start[activity]


def cpm(
    durations: Mapping[str, float],
    before: Mapping[str, Collection[str]],
    lags: Mapping[tuple[str, str], float] | None = None,
    not_before: Mapping[str, float] | None = None,
    order: Sequence[str] | None = None,
) -> Network:
    """Return the times of a network.

    `before` names each activity's predecessors; `lags` are waits between (predecessor, activity);
    `not_before` are earliest starts from outside; `order` is a topological order where the caller
    has one. Raises `Refused` where activities wait for each other in a circle.
    """
    order = _ordered(durations, before) if order is None else order
    lags = lags or {}
    start: dict[str, float] = {}
    finish: dict[str, float] = {}
    for activity in order:
        earliest = not_before.get(activity, 0.0) if not_before else 0.0
        for predecessor in before.get(activity, ()):
            time = finish[predecessor] + lags.get((predecessor, activity), 0.0) if lags else finish[predecessor]
            earliest = max(earliest, time)
        start[activity] = earliest
        finish[activity] = earliest + durations[activity]
    tail = tails(durations, before, lags, order)
    length = max(finish.values(), default=0.0)
    latest_finish = {activity: length - tail[activity] for activity in order}
    latest_start = {activity: latest_finish[activity] - durations[activity] for activity in order}
    return Network(start, finish, latest_start, latest_finish, tail, length)


def tails(
    durations: Mapping[str, float],
    before: Mapping[str, Collection[str]],
    lags: Mapping[tuple[str, str], float],
    order: Sequence[str],
) -> dict[str, float]:
    """Return the longest chain after every activity's own end, lags included; `order` is a topological one."""
    tail = dict.fromkeys(order, 0.0)
    for activity in reversed(order):
        behind = tail[activity] + durations[activity]
        for predecessor in before.get(activity, ()):
            wait = behind + lags.get((predecessor, activity), 0.0) if lags else behind
            if wait > tail[predecessor]:
                tail[predecessor] = wait
    return tail


def _ordered(durations: Mapping[str, float], before: Mapping[str, Collection[str]]) -> list[str]:
    missing = {activity: len(set(before.get(activity, ()))) for activity in durations}
    followers: dict[str, list[str]] = {activity: [] for activity in durations}
    for activity in durations:
        for predecessor in set(before.get(activity, ())):
            followers[predecessor].append(activity)
    order = [activity for activity, count in missing.items() if count == 0]
    for activity in order:
        for follower in followers[activity]:
            missing[follower] -= 1
            if missing[follower] == 0:
                order.append(follower)
    if len(order) < len(missing):
        left = next(activity for activity, count in missing.items() if count > 0)
        raise Refused(f"{left} waits for itself in a circle; take one of the waits out")
    return order
