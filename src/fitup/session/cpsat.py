"""The exact planner: answers that get better and better, the last of them proved to be the best there is.

First the session without its clock times, whose best bounds all sheets and is found in a blink; then
whether the clock allows that, which mostly was the proof. If not, the best sheet is looked for downwards
from that bound, in models with clock times only where there must be some, whose best the clock is asked for
in its turn. OR-Tools is imported inside the functions only, so that nothing else pays for it.
"""

from __future__ import annotations

import os
import pickle
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from queue import SimpleQueue
from threading import Thread
from time import monotonic
from typing import Any, BinaryIO

from fitup.session.exact_descent import BOUNDLESS, CLOCK_SHARE, Descent
from fitup.session.exact_look import Solvers
from fitup.session.exact_model import Model
from fitup.session.exact_outline import Outline, by_the_clock, outline
from fitup.session.exact_reach import Reach
from fitup.session.exact_sketch import Sketch, Sketched
from fitup.session.greedy import Greedy
from fitup.session.implied import with_implied_order
from fitup.session.narrowed import Narrowed
from fitup.session.planned import Planned, Proof, planned_of
from fitup.session.problem import Frame

OUTLINE_SHARE = 0.3
"""The share of the time that the outline gets at most."""

CUT_SHARE = 0.0027
"""The share that the look at the outline's own candidates gets for each of them. Measured on seeded sessions."""

ROUGH_RUNS = 200
"""Greedy sheets of the outline's own candidates, of which the best is shown while a better one is looked for."""

MOST_WORKERS = 2
"""Searchers at work at the same time where there are processors for them."""

POLITE = 10
"""By how much the process steps back behind the screens that wait for keys."""

SKETCH_SHARE = 0.6
"""The share of the time for some candidates that their sketch gets; the rest is for asking the clock."""

LEAST_TIME = 0.5
"""Seconds that the last step gets in any case."""


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


def solvers() -> Solvers:
    """Return the solvers that looks are taken with."""
    from ortools.linear_solver import pywraplp
    from ortools.sat.python import cp_model

    return Solvers(cp_model, partial(pywraplp.Solver.CreateSolver, "GLOP"))


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

    def answers(self) -> Iterator[tuple[Proof | None, bool]]:
        """Yield every better answer, and at last what is known."""
        for look in (self._outlined, self._given, self._roughly, self._as_asked):
            if look():
                reached = self.outlined is not None and self.best is not None and self.outlined.reached_by(self.best)
                yield self._said(BOUNDLESS, reached), reached
                if reached:
                    return
        known = self.outlined
        if known is None or not known.sure or self._asked() != known.asked:
            last = self._over(range(len(self.frame.candidates)), max(LEAST_TIME, self.until - monotonic()))
            self._took(last)
            yield self._said(BOUNDLESS if last is None else last.bound, last is not None and last.proven), True
            return
        until = max(self.until, monotonic() + LEAST_TIME)
        best, limit, workers = self.best, self.limit, self.workers
        descent = Descent(self.reach, solvers(), known, best, limit, until, workers, self._of_the_outline)
        for better in descent.better():
            self._took(better)
            yield self._said(descent.at_most, False), False
        yield self._said(descent.at_most, descent.met), True

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
        self._took(self._judged(self.hint))
        return False

    def _roughly(self) -> bool:
        """Look for a better sheet among greedy ones of what the outline has on it."""
        if self.outlined is None:
            return False
        narrowed = Narrowed(self.frame, self.outlined.counts)
        return self._took(self._judged(narrowed.outside(planned_of(Greedy(narrowed.frame).best(ROUGH_RUNS)))))

    def _judged(self, lines: Sequence[Planned]) -> Proof | None:
        """Return these lines with what they are worth; None where they cannot be a sheet."""
        from ortools.sat.python import cp_model

        narrowed = Narrowed(self.frame, {line.candidate for line in lines})
        known = Model(narrowed.frame, cp_model, bounded=False).judged(narrowed.inside(lines), BOUNDLESS)
        return None if known is None else replace(known, lines=narrowed.outside(known.lines))

    def _as_asked(self) -> bool:
        """Where something is asked for first, look for as much of it as the outline has."""
        known = self.outlined
        if known is None or self._asked() == known.asked:
            return False
        return self._took(self._of_the_outline(CUT_SHARE * len(known.counts) * self.limit))

    def _of_the_outline(self, limit: float) -> Proof | None:
        """Return the best sheet of the outline's own candidates, or what is found in so many seconds."""
        assert self.outlined is not None
        return self._over([*self.outlined.counts], limit)

    def _took(self, found: Proof | None) -> bool:
        """Keep what is better than the best so far; return whether it is."""
        if found is None or (self.best is not None and _rank(found) <= _rank(self.best)):
            return False
        self.best, self.hint = found, found.lines
        return True

    def _over(self, candidates: Sequence[int], limit: float) -> Proof | None:
        """Return what is found over these candidates and those of the sheet at hand, as lines over all.

        The best sketch, and where the clock does not allow it, what the exact model finds in the time that
        is left.
        """
        from ortools.sat.python import cp_model

        until = monotonic() + limit
        narrowed = Narrowed(self.frame, {*candidates, *(line.candidate for line in self.hint)})
        frame, known = narrowed.frame, narrowed.inside(self.hint)
        sketch = Sketch(frame, cp_model)
        sketch.known = known
        sketched, found = sketch.solve(SKETCH_SHARE * limit, workers=self.workers), None
        if isinstance(sketched, Sketched):
            found = self._sheet_of(sketched, frame, until)
        left = until - monotonic()
        if found is None and (left > 0 or self.best is None):
            model = Model(frame, cp_model)
            model.known = known
            found = model.solve(max(LEAST_TIME, left), workers=self.workers)
        return None if found is None else replace(found, lines=narrowed.outside(found.lines))

    def _sheet_of(self, sketched: Sketched, frame: Frame, until: float) -> Proof | None:
        """Return a sheet with what the sketch has on it, in its stays or else in others, if the clock allows it."""
        from ortools.sat.python import cp_model

        counts, worth = sketched.counts, sketched.worth
        for stays in (sketched.stays, None):
            limit = max(LEAST_TIME / 2, min(CLOCK_SHARE * self.limit, until - monotonic()))
            found = by_the_clock(frame, counts, worth, cp_model, limit, stays, self.workers)
            if found is not None:
                return replace(found, bound=max(sketched.bound, found.worth), proven=sketched.proven)
        return None


def _rank(proof: Proof) -> tuple[int, int]:
    return proof.asked, proof.worth


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(POLITE)
    serve(sys.stdin.buffer, sys.stdout.buffer, partial(os._exit, 0))
