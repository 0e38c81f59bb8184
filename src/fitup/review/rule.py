"""What a rule of the plan review is, and what it looks at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property

from fitup.model.finding import Level
from fitup.model.frozen import dataclass
from fitup.model.holds import HoldBook, hold_book
from fitup.model.plan import Hold, Plan


@dataclass(frozen=True, slots=True)
class Sourced:
    """What a rule found, with a source of its own and, where it differs from the rule's, a level."""

    where: str
    says: str
    mend: str
    source: str
    level: Level | None = None


Remark = tuple[str, str, str] | Sourced
"""What a rule found: where (an id or a key), the sentence, and how to mend it."""


class Ground:
    """A plan with its holds and the order that follows from them.

    Tasks that wait for each other in a circle have no order; they come neither before nor after others.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    @property
    def book(self) -> HoldBook:
        """All holds of the plan."""
        return hold_book(self.plan)

    @cached_property
    def _before(self) -> Mapping[str, int]:
        return self._bits(lambda hold: True)

    @cached_property
    def _before_as_written(self) -> Mapping[str, int]:
        return self._bits(lambda hold: hold.own or hold.kind == "after")

    def _bits(self, counts: Callable[[Hold], bool]) -> dict[str, int]:
        """Return for every task the tasks before it, as bits at their places in the plan."""
        place = self.plan.position
        found: dict[str, int] = {}
        for task_id in self.book.order:
            bits = 0
            for hold in self.book.holds[task_id]:
                if hold.until is not None and counts(hold):
                    bits |= found.get(hold.until, 0) | 1 << place[hold.until]
            found[task_id] = bits
        return found

    def comes_before(self, first: str, later: str) -> bool:
        """Return whether `later` waits for `first`, directly or through others."""
        return self._has(self._before, first, later)

    def comes_before_as_written(self, first: str, later: str) -> bool:
        """Return the same with the holds of the plan file alone, without bays."""
        return self._has(self._before_as_written, first, later)

    def _has(self, bits: Mapping[str, int], first: str, later: str) -> bool:
        return bool(bits.get(later, 0) >> self.plan.position[first] & 1)

    def before(self, task_id: str) -> Iterator[str]:
        """Yield every task that comes before this one, in plan order."""
        bits = self._before.get(task_id, 0)
        tasks = self.plan.tasks
        while bits:
            lowest = bits & -bits
            yield tasks[lowest.bit_length() - 1].id
            bits ^= lowest

    def between(self, first: str, last: str) -> tuple[str, ...]:
        """Return the tasks on the ways from `first` to `last`, without the two, in plan order."""
        return tuple(task_id for task_id in self.before(last) if self.comes_before(first, task_id))


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what it looks for, where it comes from ("" for the plan's own logic), and its function.

    `switches` are further names that may be switched off in a project to leave out part of the rule.
    """

    id: str
    level: Level
    looks_for: str
    find: Callable[[Ground], Iterable[Remark]]
    source: str = ""
    switches: tuple[str, ...] = ()
