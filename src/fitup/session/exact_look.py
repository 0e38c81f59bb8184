"""A look: the best sheet over some candidates that is worth so much at least, or the proof that there is none.

To ask for a worth is what makes a proof short. What no sheet of that worth has is left out, what all such
sheets have is fixed, both told by the session without its clock times; what remains is a small model.
The solvers are handed in, so that nothing here needs them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import inf
from time import monotonic
from typing import Any, NamedTuple

from fitup.session.exact_linear import Relaxed, Row, most_with_each
from fitup.session.exact_model import Model
from fitup.session.exact_outline import by_the_clock
from fitup.session.exact_reach import Reach
from fitup.session.exact_sketch import Sketch, Sketched
from fitup.session.narrowed import Narrowed
from fitup.session.planned import Proof
from fitup.session.problem import Frame

NUMERIC = 0.1
"""Worth below which two sums of the linear programme count as equal; true worths are whole."""

AS_MANY = 0.95
"""The share of candidates that remain from which on leaving out more is not tried again."""

DRAWS = 2
"""How often it is asked whether the clock allows a sketch in other stays: what is missed once is found another time."""


class Solvers(NamedTuple):
    """The constraint solver's module, and what makes a solver of linear programmes by the simplex method."""

    cp: Any
    linear: Callable[[], Any]


@dataclass(frozen=True, slots=True)
class Answer:
    """The best sheet that was found, if any; and what one over the same candidates can be worth at most."""

    found: Proof | None
    bound: int


class Look:
    """What is asked: sheets worth `least` or more with as much as `asked` of what was asked for first.

    It is known that none is worth more than `most`.
    """

    def __init__(self, frame: Frame, solvers: Solvers, least: int, most: int, asked: int, workers: int = 1) -> None:
        self.solvers, self.workers = solvers, workers
        self.frame, self.least, self.most, self.asked = frame, least, most, asked

    def answer(self, candidates: Iterable[int], until: float, clock_limit: float) -> Answer:
        """Look over these candidates until the monotonic clock reads `until`.

        `clock_limit` are the seconds in which the clock is asked whether it allows what was found without it.
        """
        cp = self.solvers.cp
        narrowed = self._narrowed(candidates, until)
        reach = Reach(narrowed.frame)
        relaxed = _relaxed(reach, self.solvers.linear, self.asked)
        choices = [number for number, high in enumerate(reach.programme.highest) if high == 1]
        reach.programme.settled = relaxed.settled(choices, self.least - NUMERIC, until)
        bound = self.most
        sketch = Sketch(narrowed.frame, cp, reach)
        sketched = self._solved(sketch, until)
        if isinstance(sketched, Sketched):
            bound = min(bound, sketched.bound)
            for seed, stays in enumerate((sketched.stays, *DRAWS * [None])):
                found = by_the_clock(
                    narrowed.frame, sketched.counts, sketched.worth, cp, clock_limit, stays, self.workers, seed
                )
                if found is not None:
                    return Answer(replace(found, lines=narrowed.outside(found.lines)), max(bound, found.worth))
        elif sketch.refuted or monotonic() > until:
            return Answer(None, self.least - 1 if sketch.refuted else bound)
        model = Model(narrowed.frame, cp, reach=reach)
        found = self._solved(model, until)
        if found is None:
            return Answer(None, self.least - 1 if model.refuted else bound)
        return Answer(replace(found, lines=narrowed.outside(found.lines)), min(bound, found.bound))

    def _solved(self, model: Model, until: float) -> Proof | None:
        model.hold_above(self.least, self.asked)
        return model.solve(max(0.1, until - monotonic()), workers=self.workers)

    def _narrowed(self, candidates: Iterable[int], until: float) -> Narrowed:
        """Return the session without what no sheet of such a worth has; the fewer remain, the more that tells."""
        worth = self.least - NUMERIC
        narrowed = Narrowed(self.frame, candidates)
        while True:
            most = most_by_candidate(Reach(narrowed.frame), self.solvers.linear, worth, until, asked=self.asked)
            kept = [narrowed.old[index] for index, reached in enumerate(most) if reached >= worth]
            # with all that they wait for, which may come to as many again
            fewer, before = Narrowed(self.frame, kept), len(narrowed.old)
            narrowed = fewer
            if len(fewer.old) >= AS_MANY * before:
                break
        return narrowed


def most_by_candidate(
    reach: Reach,
    linear: Callable[[], Any],
    worth: float,
    until: float,
    workers: int = 1,
    asked: int | None = None,
) -> list[float]:
    """Return by candidate what a sheet with it on can be worth at most; infinity where that is not known.

    Not looked into further than to below `worth`, nor after `until`, a reading of the monotonic clock.
    Where something is asked for first, worth is not what sheets are compared by first: nothing is known
    then but of sheets with so much as `asked` of it.
    """
    unknown = [inf] * len(reach.on)
    if reach.programme.asked and asked is None:
        return unknown
    solvers = [_relaxed(reach, linear, asked or 0) for _ in range(workers)]
    return most_with_each(solvers, reach.on, reach.ahead(), worth, until) or unknown


def _relaxed(reach: Reach, linear: Callable[[], Any], asked: int) -> Relaxed:
    """Return the session without clock times, parts of numbers allowed, with so much of what was asked for."""
    wishes = reach.programme.asked
    besides = [Row({number: -factor for number, factor in wishes.items()}, -asked)] if wishes else []
    return Relaxed(reach.programme, linear(), besides)
