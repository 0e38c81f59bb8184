"""Holds and states as judged at one instant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date, datetime
from typing import Literal

from fitup.model.frozen import dataclass
from fitup.model.plan import Hold

TaskState = Literal["ready", "held", "under way", "done"]
HoldWord = Literal["standing", "lifted", "waived"]


@dataclass(frozen=True, slots=True)
class HoldState:
    """One hold judged at one instant.

    `kind` is the hold's, or "within" for a time window that ran out. `why` is the reason, `lifts`
    what lifts it, in words. `expected` is the instant when a cure ends, or the day of a delivery or
    a visit; `since` when it began to stand, where that is known. `key` is (task, kind, and the id of
    the task, item, role or stop), as waivers and lifts name it.
    """

    task: str
    hold: Hold
    state: HoldWord
    kind: str
    why: str
    lifts: str
    expected: date | datetime | None
    since: datetime | None
    key: tuple[str, str, str]

    @property
    def lifting(self) -> str:
        """What lifts it, said whole: "lifted when X is done", "lifted at 14:20", "lifted by 5 g more of Y"."""
        if self.kind == "cure" and isinstance(self.expected, datetime) and not self.lifts.startswith("a person"):
            return f"lifted at {self.lifts}"
        by = self.kind == "supply" and self.lifts[:1].isdigit()
        return f"lifted {'by' if by else 'when'} {self.lifts}"


@dataclass(frozen=True)
class Readiness:
    """Every task's state and holds at `now`, in plan order.

    Of a held task, `waits_for` names the unfinished tasks that hold it and `own_roots` what else
    does, each as the id of a root: a finished task that owes a verdict, a photo or a fresh start,
    or "kind:task" for something outside the plan.
    """

    now: datetime
    states: Mapping[str, TaskState]
    holds: Mapping[str, tuple[HoldState, ...]] = field(repr=False)
    waits_for: Mapping[str, tuple[str, ...]] = field(default_factory=dict, repr=False)
    own_roots: Mapping[str, tuple[str, ...]] = field(default_factory=dict, repr=False)

    def standing(self, task_id: str) -> tuple[HoldState, ...]:
        """Return the holds that stand on a task."""
        return tuple(hold for hold in self.holds[task_id] if hold.state == "standing")
