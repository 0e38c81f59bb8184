"""The exact planner: answers that get better and better, the last of them proved to be the best there is.

First the session without its clock times, whose best bounds all sheets and is found in a blink; then
whether the clock allows that, which mostly was the proof. If not, the best sketch over what looks
best, and at last over all that could still matter; each time the clock is asked for a sheet that has
just that on it, and where it refuses, the exact model. OR-Tools is imported inside the functions only,
so that nothing else pays for it.
"""

from __future__ import annotations

import os
import pickle
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from math import inf
from queue import SimpleQueue
from threading import Thread
from time import monotonic
from typing import Any, BinaryIO

from fitup.session.exact_linear import Relaxed, Row, most_with_each
from fitup.session.exact_model import Model, Way
from fitup.session.exact_outline import Outline, by_the_clock, outline
from fitup.session.exact_reach import Reach
from fitup.session.exact_sketch import Sketch, Sketched
from fitup.session.implied import with_implied_order
from fitup.session.narrowed import Narrowed
from fitup.session.planned import Planned, Proof
from fitup.session.problem import Frame

OUTLINE_SHARE, CLOCK_SHARE, REACH_SHARE = 0.3, 0.05, 0.15
"""Shares of the time that the outline, a look at the clock, and what each candidate can bring get at most."""

CUT_SHARE, PROMISING_SHARE = 0.0027, 0.006
"""Shares that the steps on the way get at most for every candidate on the outline. Measured on seeded sessions."""

PROMISING = 1.25
"""How many times as many candidates as are on the outline are looked at before all."""

NEAR_OUTLINE = 0.985
"""The part of the outline's worth above which it is told apart which candidate can bring more."""

MOST_WORKERS = 2
"""Searchers at work at the same time where there are processors for them."""

POLITE = 10
"""By how much the process steps back behind the screens that wait for keys."""

LEAST_TIME = 0.5
"""Seconds that the last step gets in any case."""

BOUNDLESS = 10**9
"""More than any sheet is worth."""

NUMERIC = 0.1
"""Worth below which two sums of the linear programme count as equal; true worths are whole."""


def prove(problem: Frame, hint: Sequence[Planned] = (), limit: float = 10) -> Proof | None:
    """Return the exact model's answer over all candidates within `limit` seconds; None when none was found.

    `hint` are the lines of a good sheet to start from. The yardstick for what `stages` yields: it takes
    nothing from the session without clock times.
    """
    from ortools.sat.python import cp_model

    model = Model(problem, cp_model, bounded=False)
    model.known = hint
    return model.solve(limit)


def serve(source: BinaryIO, sink: BinaryIO, ended: Callable[[], None]) -> None:
    """Answer requests until `source` ends: the life of the process that proves sheets.

    Each request is a pickled (frame, hint, limit); each answer a pickled (proof, final):
    the best so far, and last of all the answer over all candidates, or None where there is none.
    `ended` is called when whoever asked is gone, also in the middle of a proof.
    """
    requests: SimpleQueue[tuple[Frame, Sequence[Planned], float] | None] = SimpleQueue()
    # begun first: loading the solver takes seconds, in which whoever asked may be gone as well
    Thread(target=_take_in, args=(source, requests, ended), daemon=True).start()

    from ortools.sat.python import cp_model  # noqa: F401  what takes longest is ready before it is needed

    while (request := requests.get()) is not None:
        for answer in stages(*request, workers=min(MOST_WORKERS, os.cpu_count() or 1)):
            pickle.dump(answer, sink)
            sink.flush()


def _take_in(source: BinaryIO, requests: SimpleQueue[Any], ended: Callable[[], None]) -> None:
    """Pass on what is asked; the solver lets other threads go on while it works."""
    try:
        while True:
            requests.put(pickle.load(source))
    except EOFError:
        ended()
        requests.put(None)


def side_by_side(
    models: Sequence[Model],
    known: Sequence[Planned],
    limit: float,
    at_most: int | None,
    ways: Sequence[Way],
    workers: int,
) -> Proof | None:
    """Return the best of what is found in these models of one session, each on its way and in a thread of its own.

    With it the lowest bound. The first that has the proof ends the others. The workers are shared out.
    """

    def go(model: Model, way: Way) -> Proof | None:
        model.known = known
        proof = model.solve(limit, at_most, way, workers // len(ways))
        if proof is not None and proof.proven:
            for other in models:
                other.stop()
        return proof

    with ThreadPoolExecutor(len(ways)) as pool:
        proofs = [proof for proof in pool.map(go, models, ways) if proof is not None]
    if not proofs:
        return None
    best = max(proofs, key=lambda proof: (proof.asked, proof.worth, proof.proven))
    bound = min(proof.bound for proof in proofs if proof.asked == best.asked)
    return replace(best, bound=bound, proven=any(proof.proven for proof in proofs))


def stages(
    frame: Frame, hint: Sequence[Planned], limit: float, workers: int = 1
) -> Iterator[tuple[Proof | None, bool]]:
    """Yield better and better answers, each with whether it is the last."""
    told = with_implied_order(frame)
    for proof, final in _Search(told.frame, told.inside(hint), limit, workers).answers():
        yield None if proof is None else replace(proof, lines=told.outside(proof.lines)), final


class _Search:
    """One session's search: the best sheet so far, more than which none is worth, and the time that is left."""

    def __init__(self, frame: Frame, hint: Sequence[Planned], limit: float, workers: int) -> None:
        self.frame, self.limit, self.workers = frame, limit, workers
        self.hint = hint
        self.until = monotonic() + limit
        self.reach = Reach(frame)
        self.best: Proof | None = None
        self.outlined: Outline | None = None
        self.most: Sequence[float] = ()

    def answers(self) -> Iterator[tuple[Proof | None, bool]]:
        """Yield every better answer, and at last what is known."""
        for look in (self._outlined, self._given, self._cut_down, self._promising):
            if look():
                reached = self.outlined is not None and self.best is not None and self.outlined.reached_by(self.best)
                yield self._said(BOUNDLESS, reached), reached
                if reached:
                    return
        last = self._all()
        yield self._said(BOUNDLESS if last is None else last.bound, last is not None and last.proven), True

    def _said(self, bound: int, proven: bool) -> Proof | None:
        """Return the best sheet with what is known of the worth of all others."""
        if self.best is None:
            return None
        bound = max(self.best.worth, min(bound, self._at_most()))
        return replace(self.best, bound=self.best.worth if proven else bound, proven=proven)

    def _at_most(self) -> int:
        """Return what a sheet can be worth at most that has as much of what was asked for as the best so far."""
        known = self.outlined
        same = known is not None and (not self.reach.programme.asked or self._asked() == known.asked)
        return known.worth if known is not None and same else BOUNDLESS

    def _all_asked(self) -> int | None:
        """Return what the best sheet has of what was asked for, where surely none has more; None where one may."""
        known = self.outlined
        return self._asked() if known is not None and known.sure and self._asked() == known.asked else None

    def _asked(self) -> int:
        return 0 if self.best is None else self.best.asked

    def _outlined(self) -> bool:
        """Look whether the clock allows what would be best without it."""
        from ortools.sat.python import cp_model

        self.outlined = outline(self.reach, cp_model, OUTLINE_SHARE * self.limit)
        if self.outlined is None:
            return False
        counts, worth, limit = self.outlined.counts, self.outlined.own_worth, CLOCK_SHARE * self.limit
        return self._took(by_the_clock(self.frame, counts, worth, cp_model, limit, workers=self.workers))

    def _given(self) -> bool:
        """Take the sheet that was there at first for the best so far, which is nothing new to anybody."""
        from ortools.sat.python import cp_model

        narrowed = Narrowed(self.frame, {line.candidate for line in self.hint})
        known = Model(narrowed.frame, cp_model, bounded=False).judged(narrowed.inside(self.hint), BOUNDLESS)
        self._took(None if known is None else replace(known, lines=narrowed.outside(known.lines)))
        return False

    def _cut_down(self) -> bool:
        """Look for as much of the outline as the clock allows; what was there at first would mislead here."""
        if self.outlined is None:
            return False
        hint, self.hint = self.hint, ()
        share = CUT_SHARE * len(self.outlined.counts)
        better = self._took(self._over(self.outlined.counts, share * self.limit, Way.DOWNWARDS, Way.UPWARDS))
        self.hint = self.hint or hint
        return better

    def _promising(self) -> bool:
        """Look at what a sheet can be worth most with: on the best sheet there is mostly nothing else."""
        known = self.outlined
        if known is None:
            return False
        until = monotonic() + REACH_SHARE * self.limit
        most = most_by_candidate(self.reach, NEAR_OUTLINE * known.worth, until, self.workers, known.asked)
        order = sorted(range(len(most)), key=lambda index: -most[index])
        chosen = {*known.counts, *order[: round(PROMISING * len(known.counts))]}
        share = PROMISING_SHARE * len(known.counts)
        return self._took(self._over(chosen, share * self.limit, Way.DOWNWARDS, Way.UPWARDS))

    def _all(self) -> Proof | None:
        """Look at all candidates that may be on a better sheet, in one tree that the workers share."""
        until = monotonic() + REACH_SHARE * self.limit
        self.most = most_by_candidate(self.reach, self._better(), until, self.workers, self._all_asked())
        last = self._over(self._matter(), max(LEAST_TIME, self.until - monotonic()), Way.UPWARDS)
        self._took(last)
        return last

    def _took(self, found: Proof | None) -> bool:
        """Keep what is better than the best so far; return whether it is."""
        if found is None or (self.best is not None and _rank(found) <= _rank(self.best)):
            return False
        self.best, self.hint = found, found.lines
        return True

    def _over(self, candidates: Iterable[int], limit: float, *ways: Way) -> Proof | None:
        """Return what is found over these candidates and those of the sheet at hand, as lines over all.

        The best sketch, and where the clock does not allow it, what the exact model finds in the time that
        is left. With two workers two ways are gone at the same time, until one of them has the proof.
        """
        from ortools.sat.python import cp_model

        until, ways = monotonic() + limit, ways[: self.workers]
        narrowed = Narrowed(self.frame, {*candidates, *(line.candidate for line in self.hint)})
        frame, known = narrowed.frame, narrowed.inside(self.hint)
        at_most = None if self.reach.programme.asked or self.outlined is None else self.outlined.worth
        sketched = side_by_side([Sketch(frame, cp_model) for _ in ways], known, limit, at_most, ways, self.workers)
        found = None
        if isinstance(sketched, Sketched):
            found = self._sheet_of(sketched, frame)
            at_most = None if at_most is None else sketched.bound
        if found is None:
            left = max(LEAST_TIME, until - monotonic())
            found = side_by_side([Model(frame, cp_model) for _ in ways], known, left, at_most, ways, self.workers)
        return None if found is None else replace(found, lines=narrowed.outside(found.lines))

    def _sheet_of(self, sketched: Sketched, frame: Frame) -> Proof | None:
        """Return a sheet with what the sketch has on it, in its stays or else in others, if the clock allows it."""
        from ortools.sat.python import cp_model

        counts, worth, limit = sketched.counts, sketched.worth, CLOCK_SHARE * self.limit
        for stays in (sketched.stays, None):
            found = by_the_clock(frame, counts, worth, cp_model, limit, stays, self.workers)
            if found is not None:
                return replace(found, bound=max(sketched.bound, found.worth), proven=sketched.proven)
        return None

    def _better(self) -> float:
        """Return the least worth that a better sheet has."""
        return -inf if self.best is None else self.best.worth + 1 - NUMERIC

    def _matter(self) -> list[int]:
        return [index for index, most in enumerate(self.most) if most >= self._better()]


def most_by_candidate(
    reach: Reach, worth: float, until: float, workers: int = 1, asked: int | None = None
) -> list[float]:
    """Return by candidate what a sheet with it on can be worth at most; infinity where that is not known.

    Not looked into further than to below `worth`, nor after `until`, a reading of the monotonic clock.
    Where something is asked for first, worth is not what sheets are compared by first: nothing is known
    then but of sheets with so much as `asked` of it.
    """
    from ortools.linear_solver import pywraplp

    unknown = [inf] * len(reach.on)
    wishes = reach.programme.asked
    if wishes and asked is None:
        return unknown
    besides = [Row({number: -factor for number, factor in wishes.items()}, -(asked or 0))] if wishes else []
    solvers = [Relaxed(reach.programme, pywraplp.Solver.CreateSolver("GLOP"), besides) for _ in range(workers)]
    return most_with_each(solvers, reach.on, reach.ahead(), worth, until) or unknown


def _rank(proof: Proof) -> tuple[int, int]:
    return proof.asked, proof.worth


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(POLITE)
    serve(sys.stdin.buffer, sys.stdout.buffer, partial(os._exit, 0))
