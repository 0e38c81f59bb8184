"""What an act came to, for the faces to tell: who is free now, what runs now, what is held no more."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from fitup.model.edits import Act, Entry, Tick, Waive
from fitup.model.progress import Measurement, Project

if TYPE_CHECKING:
    from fitup.acts.starting import Started
    from fitup.readiness import Readiness


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an ask came to: the journal entry, what it says, and the tasks that became free by it.

    `task`, `state` and `done` tell of the task concerned; `measurement` of a check just judged,
    `finished_at` when the work of a tick was finished, `started` which clocks run since then;
    `warnings` are sentences about what a waiver lets go besides its hold.
    """

    entry: int
    name: str
    says: str
    freed: tuple[str, ...] = ()
    task: str | None = None
    state: str | None = None
    done: int = 0
    measurement: Measurement | None = None
    finished_at: datetime | None = None
    started: tuple[Started, ...] = ()
    warnings: tuple[str, ...] = ()


def make_outcome(
    entry: Entry, says: str, before: Project, after: Project, task: str | None, made: Act, readiness: Readiness
) -> Outcome:
    """Return the outcome of `entry`, which said `says` and brought the project from `before` to `after`.

    `made` is the act that holds since: of a redo the one made again. `readiness` is that of `after`.
    """
    from fitup.acts.starting import started
    from fitup.readiness import judge

    now = readiness.now
    former = judge(before, now).states if before.plan.tasks else {}
    freed = tuple(
        name
        for name, state in readiness.states.items()
        if state in ("ready", "under way") and former.get(name, "held") == "held"
    )
    known = task if task in after.plan.task else None
    ticked = made if isinstance(made, Tick) and known is not None else None
    return Outcome(
        entry.number,
        entry.name,
        says,
        freed,
        known,
        readiness.states[known] if known is not None else None,
        after.progress.of(known).done if known is not None else 0,
        after.progress.measurements[-1] if entry.name == "measure" else None,
        ticked.finished_at if ticked is not None else None,
        started(before, after, ticked.task, now) if ticked is not None else (),
        _minds(made, readiness) if isinstance(made, Waive) and known is not None else (),
    )


def _minds(made: Waive, readiness: Readiness) -> tuple[str, ...]:
    from fitup.readiness import let_go, mind

    waived = (hold for hold in readiness.holds[made.task] if hold.key == (made.task, made.kind, made.until))
    return tuple(says for hold in waived for says in mind(let_go(readiness, hold), readiness.now))
