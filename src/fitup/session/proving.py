"""The proof behind a sheet: asked for in a process of its own, which can be stopped dead at any moment.

The process is started before it is needed, since loading the solver takes longer than most proofs.
"""

from __future__ import annotations

import pickle
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass, replace
from queue import Empty, Queue
from threading import Thread
from types import TracebackType
from typing import IO

from fitup.estimate.times import AS_TABLE
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.model.sheet import Line, Question, Sheet
from fitup.readiness import Readiness
from fitup.session.audit import faults
from fitup.session.draft import earliest_times
from fitup.session.greedy import Greedy
from fitup.session.planned import Planned, Proof
from fitup.session.planning import Planning
from fitup.session.problem import Problem
from fitup.session.rules import Rules
from fitup.session.sheets import WHO, lines_of, sheet_of

SLACK = 15.0
"""Seconds beyond the limit after which a process that says nothing is given up."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the process found: the best lines so far, and whether that is all it has to say."""

    proof: Proof | None
    final: bool


class Prover:
    """The process that proves sheets; one question at a time, a new one after `stop` needs a new prover."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "fitup.session.cpsat"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._answers: Queue[Answer | None] = Queue()
        if self._process.stdout is not None:
            Thread(target=_listen, args=(self._process.stdout, self._answers), daemon=True).start()

    def ask(self, problem: Problem, hint: tuple[Planned, ...], promising: frozenset[int], limit: float) -> None:
        """Ask for the proof of one session; answers come through `answer`."""
        if self._process.stdin is None or self._process.poll() is not None:
            raise Refused("the process that proves sheets has ended; the sheet shown is not proven")
        try:
            pickle.dump((problem.frame(), hint, promising, limit), self._process.stdin)
            self._process.stdin.flush()
        except BrokenPipeError:
            raise Refused("the process that proves sheets has ended; the sheet shown is not proven") from None

    def answer(self, seconds: float) -> Answer | None:
        """Return the next answer, or None when there is none within `seconds`; a dead process answers finally."""
        try:
            found = self._answers.get(timeout=seconds)
        except Empty:
            return None
        return found or Answer(None, True)

    def stop(self) -> None:
        """End the process at once."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                pipe.close()

    def __enter__(self) -> Prover:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.stop()


def _listen(pipe: IO[bytes], answers: Queue[Answer | None]) -> None:
    """Put what the process says into the queue; None when it has ended."""
    try:
        while True:
            answers.put(Answer(*pickle.load(pipe)))
    except (EOFError, OSError, ValueError, pickle.UnpicklingError):
        answers.put(None)


def prove_session(
    project: Project,
    question: Question,
    pace: Mapping[str, float] = AS_TABLE,
    readiness: Readiness | None = None,
    prover: Prover | None = None,
) -> Sheet:
    """Return the best sheet that `question.limit` seconds give, with its bound, proven or not.

    Never worse than the sheet found at once, and accepted by the audit. With `sure` the limits are
    divided by the factor that the sheet found at once needs, and a little more where that is too bold.
    """
    planning = Planning(project, question, pace, readiness)
    own = prover or Prover()
    try:
        return planning.explained(_proved(planning, own))
    finally:
        if prover is None:
            own.stop()


def _proved(planning: Planning, prover: Prover) -> Sheet:
    problem, lines = planning.at_once()
    best = planning.sheet(problem, lines)
    squeeze = planning.squeeze
    for _ in range(3):
        found = _better(planning, prover, problem, planning.sheet(problem, lines))
        if planning.question.sure is None or found.chance >= planning.question.sure:
            return found
        squeeze *= 1.06
        problem, lines = planning.squeezed(squeeze)
    return best


def _better(planning: Planning, prover: Prover, problem: Problem, sheet: Sheet) -> Sheet:
    greedy = Greedy(problem)
    index = {c.task: c.index for c in problem.candidates}
    hint = tuple(
        Planned(index[x.task], x.count, x.begin, x.end, x.set_up, x.clean_up, WHO.index(x.who)) for x in sheet.lines
    )
    limit = planning.question.limit
    prover.ask(problem, hint, greedy.likely() | frozenset(index[x.task] for x in sheet.lines), limit)
    best = sheet
    while True:
        answer = prover.answer(limit + SLACK)
        if answer is None:
            return best
        if answer.proof is not None:
            best = _taken(planning, problem, best, answer.proof, answer.final)
        if answer.final:
            return best


def _taken(planning: Planning, problem: Problem, best: Sheet, proof: Proof, final: bool) -> Sheet:
    """Return the better of the sheet so far and the proof's, with the proof's bound where it is final."""
    lines = _early(planning, problem, proof)
    found = sheet_of(planning.question, problem, planning.true_limits, lines)
    if planning.rank(found) > planning.rank(best) and not faults(planning.standing, lines):
        best = found
    if not final:
        return best
    proven = proof.proven and planning.rank(best) == (proof.asked, proof.worth)
    return replace(best, bound=max(proof.bound, best.worth), proven=proven)


def _early(planning: Planning, problem: Problem, proof: Proof) -> tuple[Line, ...]:
    """Return the proof's lines moved as early as they may be, where that changes nothing else."""
    lines = planned_lines(problem, proof.lines)
    order = ((line.candidate, line.count, line.who) for line in proof.lines)
    draft = earliest_times(Rules(problem), order)
    if draft is None or faults(planning.standing, early := lines_of(draft)):
        return lines
    sheets = (planning.sheet(problem, early), planning.sheet(problem, lines))
    return early if planning.rank(sheets[0]) >= planning.rank(sheets[1]) else lines


def planned_lines(problem: Problem, lines: tuple[Planned, ...]) -> tuple[Line, ...]:
    """Return a planner's lines as a sheet shows them."""
    return tuple(
        Line(problem.candidates[x.candidate].task, x.count, x.begin, x.end, x.set_up, x.clean_up, WHO[x.who])
        for x in lines
    )
