"""One session's proof under way: begun beside the sheet found at once, looked in on without waiting.

The solver works in its own process; what comes from it is judged here by the audit, so that the
sheet in view is only ever replaced by one that is accepted and better.
"""

from __future__ import annotations

from dataclasses import replace
from threading import Thread
from time import monotonic

from fitup.model.refusal import Refused
from fitup.model.sheet import Line
from fitup.session.audit import faults
from fitup.session.planned import Planned, Proof
from fitup.session.planning import Planning
from fitup.session.problem import Problem
from fitup.session.proving import Prover
from fitup.session.settling import settled
from fitup.session.sheets import WHO

ROUNDS = 3
"""How often the limits of a sure sheet are drawn tighter where the best sheet is too bold."""

TIGHTER = 1.06
"""The factor by which they are."""

SLACK = 15.0
"""Seconds beyond the limit after which a process that says nothing is given up."""


class Pursuit:
    """The search for the best sheet of one question.

    `sheet` is the best so far, with its reasons, accepted by the audit; there from the beginning.
    `done` tells that nothing better will come. `poll` takes in what the process has found.
    """

    def __init__(self, planning: Planning, prover: Prover | None) -> None:
        """Find a sheet at once and, with a process to prove it, ask for the best; needs no waiting."""
        self._planning, self._prover = planning, prover
        self._problem, lines = planning.at_once()
        self._squeeze, self._round = planning.squeeze, 1
        self._best = planning.sheet(self._problem, lines)
        self._until = monotonic() + planning.question.limit
        self._lost = False
        if not planning.true_limits.candidates:
            self._best = replace(self._best, bound=self._best.worth, proven=True)
        self.sheet = planning.explained(self._best)
        self.done = self._best.proven or planning.question.limit <= 0 or prover is None
        if not self.done:
            self._ask(lines)

    def poll(self, seconds: float = 0.0) -> bool:
        """Take in what has come, waiting for it at most so long; return whether `sheet` is another value now."""
        if self.done or self._prover is None:
            return False
        answer = self._prover.answer(seconds)
        if answer is None:
            self.done = self._lost or monotonic() > self._until + SLACK
            return False
        before = self.sheet
        lines = () if answer.proof is None else self._early(answer.proof)
        if answer.proof is not None:
            self._take(lines)
        if answer.final:
            self._conclude(answer.proof, lines)
        self._show()
        return self.sheet is not before

    def _ask(self, lines: tuple[Line, ...]) -> None:
        """Ask the process, from a thread: it may still be loading, and a full pipe waits for its reader."""
        index = {c.task: c.index for c in self._problem.candidates}
        hint = tuple(
            Planned(index[x.task], x.count, x.begin, x.end, x.set_up, x.clean_up, WHO.index(x.who)) for x in lines
        )
        limit = max(0.5, self._until - monotonic())
        Thread(target=self._send, args=(self._problem, hint, limit), daemon=True).start()

    def _send(self, problem: Problem, hint: tuple[Planned, ...], limit: float) -> None:
        assert self._prover is not None
        try:
            self._prover.ask(problem, hint, limit)
        except (Refused, OSError, ValueError):
            # a process that ended or was stopped proves nothing; the sheet found at once stands
            self._lost = True

    def _early(self, proof: Proof) -> tuple[Line, ...]:
        """Return the proof's lines as early as they may be, what nothing waits for behind the rest."""
        planning = self._planning
        return settled(self._problem, proof.lines, planning.rank, lambda lines: not faults(planning.standing, lines))

    def _take(self, lines: tuple[Line, ...]) -> None:
        """Take the lines for the best sheet where they are better, sure enough, and break no rule."""
        planning, sure = self._planning, self._planning.question.sure
        if planning.rank(lines) <= planning.rank(self._best.lines) or not planning.goes_on(self._best, lines):
            return
        found = planning.sheet(self._problem, lines)
        if (sure is None or found.chance >= sure) and not faults(planning.standing, lines):
            self._best = found

    def _conclude(self, proof: Proof | None, lines: tuple[Line, ...]) -> None:
        """Note the bound; where the best within these limits is not sure enough, look within tighter ones."""
        planning, sure = self._planning, self._planning.question.sure
        if proof is None:
            self.done = True
            return
        if self._best.usable_minutes == self._problem.usable:
            proven = proof.proven and planning.rank(self._best.lines) == (proof.asked, proof.worth)
            self._best = replace(self._best, bound=max(proof.bound, self._best.worth), proven=proven)
        bold = sure is not None and planning.sheet(self._problem, lines).chance < sure
        if not bold or self._round == ROUNDS or monotonic() >= self._until:
            self.done = True
            return
        self._round += 1
        self._squeeze *= TIGHTER
        self._problem, hint = planning.squeezed(self._squeeze)
        self._take(hint)
        self._ask(hint)

    def _show(self) -> None:
        shown = self.sheet
        same = [(x.task, x.count, x.begin, x.end) for x in shown.lines] == [
            (x.task, x.count, x.begin, x.end) for x in self._best.lines
        ]
        if not same:
            self.sheet = self._planning.explained(self._best)
        elif (shown.bound, shown.proven) != (self._best.bound, self._best.proven):
            self.sheet = replace(shown, bound=self._best.bound, proven=self._best.proven)
