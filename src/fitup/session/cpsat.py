"""The exact planner: the session as a constraint model, whose best sheet is proved to be the best there is.

OR-Tools is imported inside the functions only, so that nothing else pays for it. Every line has its
own begin and end; the builder's lines fall into stays at one kind of work, at most two per kind, and
tools are got out in the first table-timed line of a stay and put away in the last. One method per
rule; the rules are those of `draft.py` and, independently of both, of the audit.
"""

from __future__ import annotations

import os
import pickle
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import groupby
from math import floor, inf
from queue import SimpleQueue
from threading import Thread
from time import monotonic
from typing import TYPE_CHECKING, Any, BinaryIO

from fitup.session.draft import BOTH, BUILDER, HELPER, MOST_STAYS
from fitup.session.exact_parts import solver_of
from fitup.session.exact_reach import Reach
from fitup.session.exact_rules import Ruled
from fitup.session.narrowed import Narrowed
from fitup.session.planned import Planned, Proof
from fitup.session.problem import Frame
from fitup.session.worth import PER_SET_UP_MINUTE, WINDOW_SAVED

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

FEW = 60
"""Candidates that are looked at first, those with which a sheet can be worth most."""

SHORT = 150
"""Minutes of a session up to which two stays per kind of work, and the light relaxation, are all that is tried."""

STEP_SHARE = 0.3
"""Share of the time that each step on the way gets at most."""

REACH_SHARE = 0.15
"""Share of the time for working out what each candidate can bring at most."""

NUMERIC = 0.1
"""Worth below which two sums of the linear programme count as equal; true worths are whole."""

LIGHT, FULL = 1, 2
"""How much of the model is relaxed to a linear programme. Measured on seeded sessions the light one proves most
sooner; where it has not, the full one says far better how much there is at most."""

BOUNDLESS = 10**9
"""More than any sheet is worth."""

HINT_LIMIT = 1.0
"""Seconds after which the attempt to lay down a known sheet in the model is given up."""


def prove(
    problem: Frame,
    hint: Sequence[Planned] = (),
    limit: float = 10,
    stays: int = MOST_STAYS,
    workers: int = 1,
    spare: Sequence[Planned] = (),
    relaxation: int = LIGHT,
) -> Proof | None:
    """Return the best sheet found within `limit` seconds with its bound; None when none was found.

    `hint` and `spare` are the lines of good sheets, of which the better is started from; `stays` how
    often a kind of work may be come back to. With fewer stays the bound holds for just that.
    """
    model = Model(problem, stays, relaxation)
    model.known = [lines for lines in (hint, spare) if lines]
    return model.solve(limit, workers)


class Model(Ruled):
    """The whole model with what a sheet is worth; building it takes some milliseconds."""

    def __init__(self, problem: Frame, stays: int = MOST_STAYS, relaxation: int = LIGHT) -> None:
        from ortools.sat.python import cp_model

        super().__init__(problem, cp_model.CpModel(), stays)
        self.cp, self.relaxation = cp_model, relaxation
        self.terms: list[Any] = []
        self.asked: list[Any] = []
        self.known: list[Sequence[Planned]] = []
        self._worth()

    def _worth(self) -> None:
        """The public sum of `worth.py`, and the minutes of what was asked for first."""
        model, problem = self.model, self.problem
        for line in self.lines:
            c = line.c
            self.terms.append(c.per_minute * line.minutes)
            self.terms.append((c.finished + c.clock) * line.full)
            if c.asked:
                self.asked.append(line.minutes + c.begun * line.on)
            for closes in problem.saves.get(c.index, ()):
                saved = model.new_bool_var(f"saved {c.index}")
                model.add_implication(saved, line.full)
                model.add(line.end <= int(closes)).only_enforce_if(saved)
                self.terms.append(WINDOW_SAVED * saved)
            if c.early:
                early = model.new_int_var(0, self.usable, f"early {c.index}")
                later = [self.lines[index].on.negated() for index in problem.needed_by[c.index]]
                model.add(early >= line.minutes).only_enforce_if(later)
                self.terms.append(-c.early * early)
        for (work, _), stay in self.stays.items():
            timed = next((line.c for line in self.lines if line.c.work == work and line.c.timed), None)
            if timed is not None:
                self.terms.append(-PER_SET_UP_MINUTE * (timed.set_up + timed.clean_up) * stay[3])
        for reward in problem.rewards:
            freed = model.new_bool_var(f"freed {reward.task}")
            for index in reward.needs:
                model.add_implication(freed, self.lines[index].full)
            if reward.candidate is not None:
                model.add_implication(freed, self.lines[reward.candidate].on.negated())
            self.terms.append(reward.worth * freed)

    def hint(self, lines: Sequence[Planned]) -> None:
        """Start from these lines."""
        model = self.model
        by_index = {line.candidate: line for line in lines}
        for line in self.lines:
            given = by_index.get(line.c.index)
            model.add_hint(line.on, given is not None)
            if given is not None and line.timed:
                model.add_hint(line.begin, given.begin)
                model.add_hint(line.end, given.end)
            if line.c.splits:
                model.add_hint(line.count, given.count if given is not None else 0)
                model.add_hint(line.full, given is not None and given.count == line.c.open)
                model.add_hint(line.minutes, line.c.minutes(given.count) if given is not None else 0)
            if line.c.alone:
                model.add_hint(line.alone, given is not None and given.who == HELPER)

    def _start(self) -> None:
        """Let the hint be the better of the known sheets, and speak of every variable where that can be.

        A solver makes far more of such a hint than of one that leaves some of them open.
        """
        best: tuple[float, list[int]] | None = None
        for lines in self.known:
            self.model.clear_hints()
            self.hint(lines)
            solver = solver_of(self.cp, HINT_LIMIT, 1)
            solver.parameters.fix_variables_to_their_hinted_value = True
            solver.parameters.cp_model_probing_level = 0
            laid_down = solver.solve(self.model) in (self.cp.OPTIMAL, self.cp.FEASIBLE)
            if laid_down and (best is None or solver.objective_value > best[0]):
                best = solver.objective_value, list(solver.response_proto.solution)
        if best is not None:
            self.model.clear_hints()
            hint = self.model.proto.solution_hint
            hint.vars.extend(range(len(best[1])))
            hint.values.extend(best[1])

    def solve(self, limit: float, workers: int) -> Proof | None:
        """Solve for what was asked first, then for worth."""
        asked, spent = 0, 0.0
        if self.asked:
            self.model.maximize(sum(self.asked))
            self._start()
            solver, status = self._run(limit / 2, workers)
            if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
                return None
            asked, spent = round(solver.objective_value), solver.wall_time
            self.model.add(sum(self.asked) >= asked)
            if status != self.cp.OPTIMAL:
                limit = limit / 2
        self.model.maximize(sum(self.terms))
        self._start()
        solver, status = self._run(max(0.1, limit - spent), workers)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        return Proof(
            lines=self._found(solver),
            asked=asked,
            worth=round(solver.objective_value),
            bound=int(solver.best_objective_bound + 1e-6),
            proven=status == self.cp.OPTIMAL,
            seconds=spent + solver.wall_time,
        )

    def _run(self, limit: float, workers: int) -> tuple[cp_model.CpSolver, Any]:
        solver = solver_of(self.cp, limit, workers)
        solver.parameters.linearization_level = self.relaxation
        # on the one pair of hands that does most of the work, the strong rules for who goes first are worth it
        solver.parameters.use_strong_propagation_in_disjunctive = True
        solver.parameters.use_dynamic_precedence_in_disjunctive = True
        solver.parameters.cut_level = 0
        solver.parameters.cp_model_probing_level = 0
        return solver, solver.solve(self.model)

    def _found(self, solver: cp_model.CpSolver) -> tuple[Planned, ...]:
        builder: list[tuple[int, Planned]] = []
        helper: list[Planned] = []
        for line in self.lines:
            if not solver.boolean_value(line.on):
                continue
            c, count = line.c, solver.value(line.count)
            number = next((v for v, stay in enumerate(line.stay) if solver.boolean_value(stay)), None)
            if number is None:
                begin, end = solver.value(line.begin), solver.value(line.end)
                helper.append(Planned(c.index, count, begin, end, 0, 0, HELPER))
                continue
            if line.timed:
                begin, end = solver.value(line.begin), solver.value(line.end)
                extra = [c.set_up, c.clean_up]
                out = any(solver.boolean_value(literal) for literal in line.first)
                away = any(solver.boolean_value(literal) for literal in line.last)
                extra = [c.set_up * out, c.clean_up * away]
            else:
                begin = solver.value(self.stays[c.work, number][1])
                end, extra = begin + c.minutes(count), [0, 0]
            who = BOTH if c.two else BUILDER
            builder.append((begin, Planned(c.index, count, begin, end, extra[0], extra[1], who)))
        return tuple(sorted([*self._laid(builder), *helper], key=lambda line: (line.begin, line.end)))

    def _laid(self, builder: list[tuple[int, Planned]]) -> list[Planned]:
        """Put lines without times one after another in the order of work; tools come out and go away once a stay."""
        order = sorted(builder, key=lambda found: (found[0], found[1].candidate))
        laid: list[Planned] = []
        for work, run in groupby(order, key=lambda found: self.lines[found[1].candidate].c.work):
            stay = [line for _, line in run]
            timed = [line for line in stay if self.lines[line.candidate].c.timed]
            free = work in self.stay_intervals
            now = stay[0].begin
            for line in stay:
                c = self.lines[line.candidate].c
                set_up = c.set_up if timed and line is timed[0] else 0
                clean_up = c.clean_up if timed and line is timed[-1] else 0
                begin = now if free else line.begin + line.set_up - set_up
                now = begin + set_up + c.minutes(line.count) + clean_up
                laid.append(replace(line, begin=begin, end=now, set_up=set_up, clean_up=clean_up))
        return laid


def serve(source: BinaryIO, sink: BinaryIO, ended: Callable[[], None]) -> None:
    """Answer requests until `source` ends: the life of the process that proves sheets.

    Each request is a pickled (frame, hint, promising, limit); each answer a pickled (proof, final):
    the best so far, and last of all the answer over all candidates, or None where there is none.
    `ended` is called when whoever asked is gone, also in the middle of a proof.
    """
    from ortools.sat.python import cp_model  # noqa: F401  what takes longest is ready before it is needed

    requests: SimpleQueue[tuple[Frame, Sequence[Planned], frozenset[int], float] | None] = SimpleQueue()
    Thread(target=_take_in, args=(source, requests, ended), daemon=True).start()
    while (request := requests.get()) is not None:
        for answer in stages(*request):
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


def stages(
    frame: Frame, hint: Sequence[Planned], promising: frozenset[int], limit: float, workers: int = 1
) -> Iterator[tuple[Proof | None, bool]]:
    """Yield better and better answers: from the most promising candidates, then from all that may matter.

    Candidates that cannot be on a sheet better than the best so far are left out, and where only those
    already looked at remain, that was the proof. In a long session one stay per kind of work comes
    first, which is quickly looked through and hardly worse.
    """
    begun = monotonic()
    most = reach(frame, begun + REACH_SHARE * limit) or [inf] * len(frame.candidates)
    best = sorted(range(len(most)), key=lambda index: (-most[index], index not in promising))[:FEW]
    spare: Sequence[Planned] = ()
    worth = -1
    found: Proof | None = None
    for stays in [1] * (frame.usable > SHORT) + [MOST_STAYS] * (len(best) < len(most)):
        known = {index for index in best if most[index] >= worth + 1 - NUMERIC}
        narrowed = Narrowed(frame, known | {line.candidate for line in (*hint, *spare)})
        step = _step(narrowed, hint, spare, STEP_SHARE * limit, stays, workers)
        if step is None:
            continue
        found, worth = step, step.worth
        final = step.proven and stays == MOST_STAYS and set(_beyond(most, worth)) <= set(narrowed.old)
        yield replace(step, proven=final), final
        if final:
            return
        hint, spare = step.lines, (hint if stays < MOST_STAYS else ())
    at_most = floor(min(max([0.0, *most]), BOUNDLESS) + NUMERIC)
    for relaxation, share in ((LIGHT, 0.5), (FULL, 1.0)) if frame.usable > SHORT else ((LIGHT, 1.0),):
        narrowed = Narrowed(frame, {*_beyond(most, worth), *(line.candidate for line in (*hint, *spare))})
        left = max(0.5, share * (limit - (monotonic() - begun)))
        last = _step(narrowed, hint, spare, left, MOST_STAYS, workers, relaxation)
        if last is not None:
            at_most = max(last.worth, min(last.bound, at_most))
            last = replace(last, bound=at_most, proven=last.proven or last.worth == at_most)
            hint, worth = last.lines, last.worth
        elif found is not None and at_most < BOUNDLESS:
            # too little time for even a first answer: what was found before stands, with the bound known so far
            last = replace(found, bound=max(at_most, worth), proven=False)
        found = last or found
        final = share == 1 or (last is not None and last.proven)
        yield last, final
        if final:
            return


def _step(
    narrowed: Narrowed,
    hint: Sequence[Planned],
    spare: Sequence[Planned],
    limit: float,
    stays: int,
    workers: int,
    relaxation: int = LIGHT,
) -> Proof | None:
    """Return what is found over a part of the candidates, as lines over all."""
    found = prove(narrowed.frame, narrowed.inside(hint), limit, stays, workers, narrowed.inside(spare), relaxation)
    return None if found is None else replace(found, lines=narrowed.outside(found.lines))


def _beyond(most: Sequence[float], worth: int) -> Iterator[int]:
    """Yield the candidates that may be on a sheet that is worth more than this."""
    return (index for index, at_most in enumerate(most) if at_most >= worth + 1 - NUMERIC)


def reach(frame: Frame, until: float) -> list[float] | None:
    """Return by candidate what a sheet with it on can be worth at most; None where that is not known.

    Where something is asked for first, worth is not what sheets are compared by first, and nothing is known.
    """
    from ortools.linear_solver import pywraplp

    if any(c.asked for c in frame.candidates):
        return None
    return Reach(frame, pywraplp.Solver.CreateSolver("GLOP")).at_most(until)


if __name__ == "__main__":
    serve(sys.stdin.buffer, sys.stdout.buffer, partial(os._exit, 0))
