"""The best sheet from below and the bound from above, until they meet.

From below: a high worth is asked for over few candidates, those a sheet can be worth most with, then a
lower one over more. From above: over all candidates that can matter, whether there is anything worth
more than a guess, and at last more than the best that is known. With two workers both go on at the same
time, each with one; what the one finds makes the other's question shorter.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from concurrent.futures import ThreadPoolExecutor
from math import floor
from queue import SimpleQueue
from threading import Lock
from time import monotonic

from fitup.session.exact_look import NUMERIC, Look, Solvers, most_by_candidate
from fitup.session.exact_outline import Outline
from fitup.session.exact_reach import Reach
from fitup.session.planned import Proof

FIRST_OFF, OFF_MORE = 0.015, 0.005
"""The part of the outline's worth that a sheet asked for from below may lack at first, and how much more each time."""

FIRST_TIMES, TIMES_MORE = 1.25, 1.4
"""How many times as many candidates as the outline has are looked at from below at first; how many times more then."""

MOST_OF_ALL = 0.8
"""The share of all that matters from which on looking from below is as much work as from above."""

FIRST_GUESS, GUESS_MORE = 0.01, 1.5
"""The part of the outline's worth that is guessed to be beyond reach at first; how many times as much then."""

LOOK_SHARE = 0.33
"""The share of the time that one look gets where there is another one to take."""

CLOCK_SHARE = 0.05
"""The share of the time in which the clock is asked whether it allows what was found without it."""

LITTLE = 100
"""A worth below which parts of it are not worth telling apart."""

BOUNDLESS = 10**9
"""More than any sheet is worth."""

REACH_SHARE = 0.15
"""The share of the time that may go into what each candidate can bring."""


class BothSides:
    """One search from both sides; `best` is the best sheet so far, `at_most` what one can be worth."""

    def __init__(
        self, reach: Reach, solvers: Solvers, outline: Outline, best: Proof | None, limit: float, until: float
    ) -> None:
        self.reach, self.solvers, self.outline = reach, solvers, outline
        self.best, self.at_most = best, outline.worth
        self.limit, self.until = limit, until
        self._lock = Lock()
        self._known_from = self._worth_asked(FIRST_OFF + OFF_MORE)
        self._most: list[float] = []
        self._looks: list[Look] = []
        self._news: SimpleQueue[Proof | None] = SimpleQueue()

    def better(self, workers: int) -> Iterator[Proof]:
        """Yield every better sheet; at the end `best` and `at_most` say what is known."""
        self._reach_from(self._known_from, workers)
        sides = [self._from_below(workers), self._from_above(workers)]
        shares = [[side] for side in sides] if workers > 1 else [sides]
        with ThreadPoolExecutor(len(shares)) as pool:
            ends = [pool.submit(self._go, share) for share in shares]
            for _ in shares:
                while (proof := self._news.get()) is not None:
                    yield proof
        for end in ends:
            # what went wrong in a thread is raised here
            end.result()

    def _go(self, sides: list[Iterator[None]]) -> None:
        """Take looks from these sides in turn."""
        try:
            while sides:
                sides = [side for side in sides if next(side, self) is not self]
        finally:
            self._news.put(None)

    @property
    def met(self) -> bool:
        """Whether the best sheet is proved to be."""
        return self.best is not None and self.best.worth >= self.at_most

    def _over(self) -> bool:
        return self.met or monotonic() >= self.until

    def _least(self) -> int:
        """Return the least worth that a better sheet has."""
        return -BOUNDLESS if self.best is None else self.best.worth + 1

    def _from_below(self, workers: int) -> Iterator[None]:
        times, off = FIRST_TIMES, FIRST_OFF
        while not self._over():
            least = self._worth_asked(off)
            matter = self._matter(least)
            few = {*matter[: round(times * len(self.outline.counts))], *self.outline.counts}
            if len(few) <= MOST_OF_ALL * len(matter):
                self._look(least, few, LOOK_SHARE, few=True)
            elif self._under_way(least):
                return
            else:
                self._look_at_all(least, workers)
            yield
            times, off = times * TIMES_MORE, off + OFF_MORE

    def _from_above(self, workers: int) -> Iterator[None]:
        off = FIRST_GUESS
        while not self._over():
            least = self._worth_asked(off)
            if self._under_way(least):
                return
            self._look_at_all(least, workers)
            yield
            off = GUESS_MORE * off

    def _under_way(self, least: int) -> bool:
        """Return whether all that matters for such a worth is being looked at already."""
        return any(look.least <= least and not look.few for look in self._looks)

    def _look_at_all(self, least: int, workers: int) -> None:
        """Look at all that matters, with all the time that is left unless there is another look to take in its turn."""
        share = 1.0 if workers > 1 or least == self._least() else LOOK_SHARE
        self._look(least, self._matter(least), share)

    def _worth_asked(self, off: float) -> int:
        """Return so much less than the outline's worth, and more than the best sheet's in any case."""
        worth = self.outline.worth
        return max(self._least(), worth - floor(off * max(abs(worth), LITTLE)))

    def _look(self, least: int, candidates: Collection[int], share: float, few: bool = False) -> None:
        """Take one look; what it tells ends those that can tell nothing more."""
        until = min(self.until, monotonic() + share * self.limit)
        look = Look(self.reach.problem, self.solvers, least, self.at_most, self.outline.asked, few)
        with self._lock:
            if least < self._least():
                # a better sheet was found in the meantime
                return
            self._looks.append(look)
        answer = look.answer(candidates, until, CLOCK_SHARE * self.limit)
        with self._lock:
            self._looks.remove(look)
            if not few:
                self.at_most = min(self.at_most, max(answer.bound, least - 1))
            found = answer.found
            if found is not None and found.worth >= self._least():
                self.best = found
                self._news.put(found)
            for other in self._looks:
                if self.met or other.least < self._least():
                    other.stop()

    # -- what can matter -------------------------------------------------------------------------

    def _matter(self, least: int) -> list[int]:
        """Return the candidates that may be on a sheet worth so much, those that it can be worth most with first."""
        with self._lock:
            if least < self._known_from:
                self._reach_from(least, 1)
            order = sorted(range(len(self._most)), key=lambda index: -self._most[index])
            return [index for index in order if self._most[index] >= least - NUMERIC]

    def _reach_from(self, least: int, workers: int) -> None:
        until = min(self.until, monotonic() + REACH_SHARE * self.limit)
        self._most = most_by_candidate(
            self.reach, self.solvers.linear, least - NUMERIC, until, workers, self.outline.asked
        )
        self._known_from = least
