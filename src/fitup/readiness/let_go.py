"""What a waived hold lets go besides itself.

A check that is set aside no longer makes its task wait for what came before the check: the skin may
then be riveted that was never clecoed. That is sometimes meant, and must never happen unseen.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from fitup.model.amounts import day_clock
from fitup.model.holds import TASK_KINDS
from fitup.model.marks import HOLDS
from fitup.readiness.values import HoldState, Readiness

_OUTSIDE = ("cure", "sign-off", "stop", "access", "check")
"""Kinds of hold that may stand without an unfinished task, and are lost on the task behind the waived one."""

_NAMED = 3
"""How many tasks a sentence names before it counts the rest."""


@dataclass(frozen=True, slots=True)
class LetGo:
    """What no longer holds a task, once `hold` on it is waived.

    `tasks` are unfinished, nearest first; `outside` are standing holds of those or of the waived
    task that no unfinished task lifts: a running cure, a signature, a stop, a photo owed.
    """

    hold: HoldState
    tasks: tuple[str, ...] = ()
    outside: tuple[HoldState, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """What is let go, as ids: of a task, or "kind:task" for what stands on it from outside."""
        return (*self.tasks, *(f"{found.kind}:{found.task}" for found in self.outside))


def let_go(readiness: Readiness, hold: HoldState) -> LetGo:
    """Return what ceases to hold a task when `hold`, standing or waived already, is set aside."""
    until = hold.hold.until
    if hold.kind not in TASK_KINDS or until is None or readiness.states[until] == "done":
        return LetGo(hold)
    others = [other for other in readiness.standing(hold.task) if other.key != hold.key]
    starts = (other.hold.until for other in others if other.hold.until is not None)
    kept = _down(readiness, (start for start in starts if readiness.states[start] != "done"), frozenset())
    if until in kept:
        return LetGo(hold)
    lost = _down(readiness, (until,), frozenset(kept))
    still = {_sense(other) for task in kept for other in readiness.standing(task)} | {_sense(o) for o in others}
    outside = {
        _sense(found): found
        for task in lost
        for found in readiness.standing(task)
        if found.kind in _OUTSIDE and _from_outside(readiness, found) and _sense(found) not in still
    }
    return LetGo(hold, tuple(lost)[1:], tuple(outside.values()))


def _down(readiness: Readiness, starts: Iterable[str], without: frozenset[str]) -> dict[str, None]:
    """Return the unfinished tasks from `starts` down through standing holds, nearest first."""
    seen = dict.fromkeys(starts)
    queue = list(seen)
    for here in queue:
        for until in readiness.waits_for.get(here, ()):
            if until not in seen and until not in without:
                seen[until] = None
                queue.append(until)
    return seen


def _from_outside(readiness: Readiness, hold: HoldState) -> bool:
    return hold.hold.until is None or readiness.states[hold.hold.until] == "done"


def _sense(hold: HoldState) -> tuple[str, str]:
    """Return what a hold from outside is about: one cure of one task is the same wherever it holds."""
    return hold.kind, hold.hold.until or ":".join(hold.key)


def mind(found: LetGo, now: datetime) -> tuple[str, ...]:
    """Say in sentences what nothing holds a task for any more; none where nothing is let go."""
    sentences = []
    task = found.hold.task
    waited = "the check" if found.hold.kind == "check" else found.hold.hold.until
    if found.tasks:
        many = len(found.tasks) > 1
        says = f"Mind: {waited} waited for {_listed(found.tasks)}, which {'are' if many else 'is'} not done"
        sentences.append(f"{says}; nothing else holds {task} for {'them' if many else 'it'}")
    for outside in found.outside:
        by = waited if outside.task == found.hold.hold.until else outside.task
        sentences.append(f"Mind: {by} waited for {_what(outside, now)}; nothing else holds {task} for it")
    return tuple(sentences)


def _listed(tasks: tuple[str, ...]) -> str:
    if len(tasks) > _NAMED + 1:
        return f"{', '.join(tasks[:_NAMED])} and {len(tasks) - _NAMED} tasks more"
    return " and ".join(part for part in (", ".join(tasks[:-1]), tasks[-1]) if part)


def _what(hold: HoldState, now: datetime) -> str:
    if hold.kind == "cure":
        over = isinstance(hold.expected, datetime) and hold.expected > now
        when = f" (until {day_clock(hold.expected, now)})" if isinstance(hold.expected, datetime) and over else ""
        return f"the cure of {hold.hold.until}{when}"
    if hold.kind == "sign-off":
        return f"the {hold.hold.by} to sign"
    if hold.kind == "stop":
        return f"its stop ({hold.why})" if hold.why else "its stop"
    if hold.kind == "access":
        return f"the photo owed for {hold.hold.until}"
    return f"{HOLDS[hold.kind].word} {hold.hold.until} to pass"
