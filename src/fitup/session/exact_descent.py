"""Down from the bound, level by level: is there a sheet worth so much, and if not, one worth a little less?

What a sheet has to be worth decides how much of the session can matter. Somewhat above the best it is soon
proved that there is none; from just below it the best is found as soon; but from far below it hardly ever is.
So the levels lie close together, the closer the nearer they are to the outline, which is mostly nearly right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import floor, sqrt
from time import monotonic

from fitup.session.exact_look import NUMERIC, Look, Solvers, most_by_candidate
from fitup.session.exact_outline import Outline
from fitup.session.exact_reach import Reach
from fitup.session.planned import Proof

FIRST_STEP, LEAST_STEP, MOST_STEP = 0.002, 0.0015, 0.004
"""The parts of the outline's worth by which the first level lies below it, and others below the one before them."""

OF_THE_WAY = 0.25
"""The part of the way down so far that a step may have in any case: where the outline is far off, steps get long."""

PACE, MOST_CHANGE = 0.08, 2.0
"""The share of the time that a level had best take; how many times as long or short a step may get at once."""

CLOCK_SHARE = 0.06
"""The share of the time in which the clock is asked whether it allows what was found without it."""

FAIR, FAIR_SHARE = 0.97, 0.18
"""From what part of the bound on a sheet is a fair one; the share of the time that is kept for finding one."""

LITTLE = 100
"""A worth below which parts of it are not worth telling apart."""

BOUNDLESS = 10**9
"""More than any sheet is worth."""

REACH_SHARE = 0.15
"""The share of the time that may go into what each candidate can bring."""

REACH_OFF = 0.025
"""What each candidate can bring is worked out at first for sheets that lack so much of the outline's worth."""


class Descent:
    """One way down; `best` is the best sheet so far, `at_most` what one can be worth."""

    def __init__(
        self,
        reach: Reach,
        solvers: Solvers,
        outline: Outline,
        best: Proof | None,
        limit: float,
        until: float,
        workers: int,
        fair: Callable[[float], Proof | None],
    ) -> None:
        """Take in the outline that the way begins at and the best sheet known, with as much of what was asked for.

        `fair` finds a fair sheet in so many seconds, for where the way down ends in none.
        """
        self.reach, self.solvers, self.outline, self.fair = reach, solvers, outline, fair
        self.best, self.at_most = best, outline.worth
        self.limit, self.until, self.workers = limit, until, workers
        self._reach_from(self._worth_at(REACH_OFF))

    def better(self) -> Iterator[Proof]:
        """Yield every better sheet; at the end `best` and `at_most` say what is known."""
        off, step = 0.0, FIRST_STEP
        while not self.met and monotonic() < (until := self._until()):
            off += step
            least = self._worth_at(off)
            if least > self.at_most:
                continue
            begun = monotonic()
            yield from self._took(self._look(least, until))
            change = sqrt(PACE * self.limit / (monotonic() - begun))
            step *= min(MOST_CHANGE, max(1 / MOST_CHANGE, change))
            step = min(max(MOST_STEP, OF_THE_WAY * off), max(LEAST_STEP, step))
        if not self._is_fair():
            yield from self._took(self.fair(FAIR_SHARE * self.limit))

    def _look(self, least: int, until: float) -> Proof | None:
        """Take a look at one level; return the sheet that is found there, if any."""
        look = Look(self.reach.problem, self.solvers, least, self.at_most, self.outline.asked, self.workers)
        answer = look.answer(self._matter(least), until, CLOCK_SHARE * self.limit)
        self.at_most = min(self.at_most, max(answer.bound, least - 1))
        return answer.found

    def _took(self, found: Proof | None) -> Iterator[Proof]:
        """Keep and yield what is better than the best so far."""
        if found is not None and found.asked >= self.outline.asked and found.worth >= self._least():
            self.best = found
            yield found

    def _until(self) -> float:
        """Return the monotonic clock's reading at which the way down ends: sooner while there is no fair sheet."""
        return self.until - (0.0 if self._is_fair() else FAIR_SHARE * self.limit)

    def _is_fair(self) -> bool:
        return self.best is not None and self.best.worth >= self.at_most - (1 - FAIR) * abs(self.at_most)

    @property
    def met(self) -> bool:
        """Whether the best sheet is proved to be."""
        return self.best is not None and self.best.worth >= self.at_most

    def _least(self) -> int:
        """Return the least worth that a better sheet has."""
        return -BOUNDLESS if self.best is None else self.best.worth + 1

    def _worth_at(self, off: float) -> int:
        """Return so much less than the outline's worth, and more than the best sheet's in any case."""
        worth = self.outline.worth
        return max(self._least(), worth - floor(off * max(abs(worth), LITTLE)))

    # -- what can matter -------------------------------------------------------------------------

    def _matter(self, least: int) -> list[int]:
        """Return the candidates that may be on a sheet worth so much."""
        if least < self._known_from:
            self._reach_from(least)
        return [index for index, most in enumerate(self._most) if most >= least - NUMERIC]

    def _reach_from(self, least: int) -> None:
        until = min(self.until, monotonic() + REACH_SHARE * self.limit)
        self._most = most_by_candidate(
            self.reach, self.solvers.linear, least - NUMERIC, until, self.workers, self.outline.asked
        )
        self._known_from = least
