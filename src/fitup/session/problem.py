"""The session as planners see it: candidates, windows, loans and stocks, in whole minutes from the start.

Made once from project and question, shared by all planners. The audit does not use it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

from fitup.estimate import whole_minutes
from fitup.model.progress import Project
from fitup.model.sheet import Question
from fitup.session.worth import Scale


@dataclass(frozen=True, slots=True)
class Candidate:
    """A task that might stand on the sheet.

    `before` are (candidate, lag) pairs that have to be finished first; `release` is the earliest
    begin, `latest` the latest end. `rate` is minutes per unit at the table's pace, `pace` this
    builder's. `takes` and `gives` are indices of loans; `needs` are (item, quantity per unit).
    `begun` is what going on with it counts among what is asked for, 0 for work that is not under way.
    """

    index: int
    task: str
    place: int
    work: str
    timed: bool
    set_up: int
    clean_up: int
    rate: float
    pace: float
    spread: float
    open: int
    least: int
    two: bool
    alone: bool
    filler: bool
    loud: bool
    release: int
    latest: int
    before: tuple[tuple[int, int], ...] = ()
    tools: tuple[str, ...] = ()
    needs: tuple[tuple[str, float], ...] = ()
    takes: tuple[int, ...] = ()
    occupies: tuple[int, ...] = ()
    group: str = ""
    per_minute: int = 10
    finished: int = 0
    clock: int = 0
    early: int = 0
    asked: bool = False
    begun: int = 0

    def minutes(self, count: int) -> int:
        """Return the whole minutes of work for `count` units."""
        return whole_minutes(self.rate, count, self.pace)

    @property
    def splits(self) -> bool:
        """Whether less than all that is open may be planned."""
        return self.least < self.open


@dataclass(frozen=True, slots=True)
class Window:
    """A time limit on candidate or outside task `last` (None: not a candidate).

    Opened before the session it closes at minute `closes`; else it opens at begin or finish of
    candidate `first` and stays open for `span` minutes (`true_span` before limits are divided).
    `chain` are the open tasks that lie between, `last` included: (candidate or None, task's open
    count, likely minutes and high minus likely minutes per unit). `margin` and the high times
    count where `high` is set. `saves` is what meeting it is worth.
    """

    task: str
    first: int | None
    last: int | None
    from_finish: bool
    span: int
    true_span: int
    closes: int | None
    true_closes: int | None
    margin: float
    high: bool
    chain: tuple[tuple[int | None, int, float, float], ...]


@dataclass(frozen=True, slots=True)
class Loan:
    """Temporary fasteners of one size that candidate or earlier task takes until `until` is done.

    `lender` None: out already. `until` None: not given back in this session. `done` of `of` units
    of the task that gives back are done at the start.
    """

    size: str
    count: int
    lender: int | None
    until: int | None
    done: int
    of: int


@dataclass(frozen=True, slots=True)
class Occupation:
    """A tool, table or jig taken by a candidate (None: taken already) until candidate `until` is finished.

    `serves` are the candidates that work on what occupies it and need no other.
    """

    tool: str
    lender: int | None
    until: int | None
    serves: frozenset[int]


@dataclass(frozen=True, slots=True)
class Reward:
    """An outside task or candidate that becomes free when candidates `needs` are all finished."""

    task: str
    candidate: int | None
    needs: tuple[int, ...]
    worth: int


@dataclass(frozen=True)
class Frame:
    """All that a planner needs to know of one session; it can be sent to another process.

    `saves` are, by candidate, the minutes at which windows opened earlier close; `needed_by`, by
    `late` candidate, the candidates that wait for it.
    """

    usable: int
    next_start: int | None
    helper: tuple[tuple[int, int], ...]
    candidates: tuple[Candidate, ...]
    groups: Mapping[str, tuple[int, ...]]
    windows: tuple[Window, ...]
    loans: tuple[Loan, ...]
    have_clecos: Mapping[str, int]
    occupations: tuple[Occupation, ...]
    have_tools: Mapping[str, int]
    stock: Mapping[str, float]
    rewards: tuple[Reward, ...]
    saves: Mapping[int, tuple[float, ...]]
    needed_by: Mapping[int, tuple[int, ...]]


@dataclass(frozen=True)
class Problem(Frame):
    """A session's frame together with what it was made from."""

    project: Project
    question: Question
    scale: Scale

    def frame(self) -> Frame:
        """Return the frame alone."""
        return Frame(**{field.name: getattr(self, field.name) for field in fields(Frame)})
