"""Proofs of run sheets behind the two faces: one solver's process at a time, stopped dead when not wanted.

The first sheet is there at once; whoever waits polls for a better one or for the proof. A process
that has answered is kept for the next question, since loading the solver takes longer than most proofs.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from importlib.util import find_spec
from math import ceil
from typing import TYPE_CHECKING

from fitup.desk import Desk
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question, Sheet

if TYPE_CHECKING:
    from types import TracebackType

    from fitup.session.proving import Prover
    from fitup.session.pursuit import Pursuit


class Proof:
    """A session's sheet and the proof that runs behind it.

    `sheet` is the best sheet so far; `running` whether anything better may still come.
    """

    def __init__(self, pursuit: Pursuit) -> None:
        self._pursuit = pursuit
        self._stopped = False

    @property
    def sheet(self) -> Sheet:
        """The best sheet so far; the audit accepts it, and it is never worse than the one before."""
        return self._pursuit.sheet

    @property
    def running(self) -> bool:
        """Whether a better sheet or the proof may still come."""
        return not (self._stopped or self._pursuit.done)

    def poll(self, seconds: float = 0.0) -> bool:
        """Take in what has been found, waiting at most so long; return whether `sheet` is another value now."""
        return self.running and self._pursuit.poll(seconds)

    def stopped(self) -> None:
        """Take note that its process is gone."""
        self._stopped = True


class Proofs:
    """The proofs of one face: at most one runs, and the process is gone after `stop`."""

    def __init__(self) -> None:
        self._prover: Prover | None = None
        self._proof: Proof | None = None

    def warm(self) -> None:
        """Start the process ahead of the next question, where a solver is installed and none is there or it ended."""
        from fitup.session.proving import Prover

        if self._prover is not None and self._prover.ended:
            self.stop()
        if self._prover is None and solver_installed():
            self._prover = Prover()

    def start(
        self, desk: Desk, question: Question, project: Project | None = None, former: Sequence[Line] = ()
    ) -> Proof:
        """Return the sheet found at once, its proof begun; a former proof that still runs is stopped.

        `project` is the one to plan for where that may not be the desk's newest; `former` are lines planned
        before, kept to where nothing better is found at once, so that an order that is as good stays.
        """
        from fitup.session.planning import Planning
        from fitup.session.pursuit import Pursuit

        if self._proof is not None and self._proof.running:
            self.stop()
        if question.limit > 0:
            self.warm()
        prover = self._prover if question.limit > 0 else None
        self._proof = Proof(Pursuit(Planning(project or desk.project, question, former=former), prover))
        return self._proof

    def stop(self) -> None:
        """End the process at once, and with it the proof that runs."""
        if self._proof is not None:
            self._proof.stopped()
        prover, self._prover, self._proof = self._prover, None, None
        if prover is None:
            return
        with suppress(BrokenPipeError):
            prover.stop()
            return
        # what it had not read yet cannot be flushed to it; the first attempt closed that pipe, this one the other
        prover.stop()

    def __enter__(self) -> Proofs:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.stop()


def solver_installed() -> bool:
    """Return whether sheets can be proven here; without a solver they are good, and not proven."""
    return find_spec("ortools") is not None


def settled_session(desk: Desk, question: Question) -> Sheet:
    """Return the sheet that `question.limit` seconds give: the one found at once, or better, with its bound."""
    with Proofs() as proofs:
        if question.limit > 0:
            proofs.warm()
        proof = proofs.start(desk, question)
        while proof.running:
            proof.poll(0.5)
        return proof.sheet


@dataclass(frozen=True, slots=True)
class WhyNot:
    """Why a task is not on a sheet: in words, and, where it would fit, the worth that taking it on costs.

    `instead` is the best sheet found with the task on it, None where no such sheet is accepted.
    `loss` is in worth, at least 0 where the sheet is proven; `proven` whether it is exact.
    """

    task: str
    why: str
    instead: Sheet | None = None
    loss: int | None = None
    proven: bool = False


def why_not(desk: Desk, sheet: Sheet, task_id: str) -> WhyNot:
    """Force a task onto a sheet that leaves it out and tell what comes of it; takes the time of one proof.

    Raises `Refused` for an unknown task. A task that is on the sheet says why it is there.
    """
    task = desk.find_task(task_id).id
    on = next((line for line in sheet.lines if line.task == task), None)
    if on is not None:
        return WhyNot(task, f"it is on the sheet: {on.why}")
    if desk.project.done(task):
        return WhyNot(task, "it is done")
    return what_came(sheet, task, settled_session(desk, forced(sheet, task)))


def forced(sheet: Sheet, task: str) -> Question:
    """Return the question of a sheet with a task put first, whatever was wished about it."""
    without = tuple(name for name in sheet.question.without if name != task)
    return replace(sheet.question, first=(task,), under_way=(), without=without)


def what_came(sheet: Sheet, task: str, instead: Sheet) -> WhyNot:
    """Return what putting a task first comes to: `instead` is the best sheet found for the forced question."""
    if all(line.task != task for line in instead.lines):
        words = (left.why for left in (*sheet.left_out, *instead.left_out) if left.task == task)
        return WhyNot(task, next(words, "something else has to be done before it"))
    loss = sheet.worth - instead.worth
    why = next((left.why for left in sheet.left_out if left.task == task), "")
    return WhyNot(task, why or "it can follow other work", instead, loss, sheet.proven and instead.proven)


def standing_words(sheet: Sheet) -> str:
    """Return how good a sheet is known to be: proven, within so much of the best, or not proven."""
    if sheet.proven:
        return "proven best"
    if sheet.bound is None or sheet.bound <= 0:
        return "not proven"
    return f"within {shortfall(sheet)} % of the best possible"


def shortfall(sheet: Sheet) -> str:
    """Return in percent how far at most a sheet's worth is below the best possible, rounded up to a tenth."""
    bound = sheet.bound or 0
    tenths = ceil(1000 * (bound - sheet.worth) / bound - 1e-9) if bound > 0 else 0
    return f"{max(1, tenths) / 10:.1f}"
