"""The planner's door: a question in, the best sheet found at once out, checked and with its reasons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fitup.estimate.times import AS_TABLE
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question, Sheet
from fitup.readiness import Readiness
from fitup.session.audit import faults, standing_at
from fitup.session.audit_case import Standing
from fitup.session.candidates import problem_of
from fitup.session.chance import chance_of
from fitup.session.draft import earliest_times
from fitup.session.greedy import Greedy
from fitup.session.problem import Candidate, Problem
from fitup.session.reasons import with_reasons
from fitup.session.sheets import WHO, lines_of, sheet_of
from fitup.session.worth import asked_for, scale_of, sum_of

HALVINGS = 5
"""Steps by which the squeeze of a sure sheet is narrowed down."""

FIRST_SQUEEZE, MOST_SQUEEZE = 1.25, 2.5


def plan_session(
    project: Project,
    question: Question,
    pace: Mapping[str, float] = AS_TABLE,
    readiness: Readiness | None = None,
    reasons: bool = True,
) -> Sheet:
    """Return the best sheet found at once, not proven to be the best there is; the audit accepts it.

    `pace` maps kinds of work to this builder's time over the work table's. `readiness` saves
    judging again what is judged already at the question's start. Without `reasons` it is quicker.
    """
    planning = Planning(project, question, pace, readiness)
    sheet = planning.sheet(*planning.at_once())
    return planning.explained(sheet) if reasons else sheet


class Planning:
    """One question being answered: its problem, what stands at the start, and how far limits are squeezed."""

    def __init__(
        self,
        project: Project,
        question: Question,
        pace: Mapping[str, float] = AS_TABLE,
        readiness: Readiness | None = None,
        former: Sequence[Line] = (),
    ) -> None:
        """Take in a question; `former` are lines planned before, kept to where nothing better is found at once."""
        self.project, self.question, self.pace, self.former = project, question, pace, former
        self.scale = scale_of(project, question, pace, readiness)
        self.standing = standing_at(project, question, pace, self.scale.readiness)
        self.true_limits = self._problem(1.0)
        self.squeeze = 1.0

    def at_once(self) -> tuple[Problem, tuple[Line, ...]]:
        """Return the problem, its limits squeezed where the builder wants to be sure, and the best lines found."""
        problem, lines = self.true_limits, best_lines(self.true_limits, self.standing)
        kept = self._kept()
        if kept and self.rank(kept) >= self.rank(lines):
            lines = kept
        sure = self.question.sure
        if sure is None or chance_of(self.true_limits, lines) >= sure:
            return problem, lines
        return self._sure(sure)

    def squeezed(self, squeeze: float) -> tuple[Problem, tuple[Line, ...]]:
        """Return problem and best lines with every limit divided by `squeeze`."""
        problem = self._problem(squeeze)
        return problem, best_lines(problem, self.standing)

    def _problem(self, squeeze: float) -> Problem:
        """Return the problem with its limits divided, the builder still at the work that is under way."""
        return begun(problem_of(self.project, self.question, self.pace, squeeze=squeeze, scale=self.scale))

    def _kept(self) -> tuple[Line, ...]:
        """Return what can still be done of the former lines, in their order, and what fits in behind them."""
        index = {c.task: c for c in self.true_limits.candidates}
        left = [(index[x.task], x) for x in self.former if x.task in index]
        order = [(c.index, min(x.count, c.open), WHO.index(x.who)) for c, x in left]
        greedy = Greedy(self.true_limits) if order else None
        while greedy is not None and order:
            draft = earliest_times(greedy.rules, order)
            if draft is not None:
                return accepted(lines_of(greedy.filled(draft)), self.standing)
            order.pop()
        return ()

    def _sure(self, sure: float) -> tuple[Problem, tuple[Line, ...]]:
        """Divide every limit by a factor, as small a one as gives the wanted chance on the true limits."""
        low, high = 1.0, MOST_SQUEEZE
        best = self.squeezed(high)
        self.squeeze = high
        if chance_of(self.true_limits, best[1]) < sure:
            return best[0], ()
        squeeze = FIRST_SQUEEZE
        for _ in range(HALVINGS):
            found = self.squeezed(squeeze)
            if chance_of(self.true_limits, found[1]) >= sure:
                self.squeeze = high = squeeze
                best = found
            else:
                low = squeeze
            squeeze = (low + high) / 2
        return best

    def sheet(self, problem: Problem, lines: Sequence[Line]) -> Sheet:
        """Return the sheet of these lines, without reasons."""
        return sheet_of(self.question, problem, self.true_limits, lines)

    def explained(self, sheet: Sheet) -> Sheet:
        """Return the sheet with a reason for every line and every ready task left out."""
        return with_reasons(sheet, self.true_limits, self.standing)

    def rank(self, lines: Sequence[Line]) -> tuple[int, int]:
        """Return the order of sheets: minutes of what is under way and was asked for first, then worth."""
        minutes = {line.task: line.work_minutes for line in lines}
        return asked_for(self.question, minutes), sum_of(self.scale, lines)

    def goes_on(self, sheet: Sheet, lines: Sequence[Line]) -> bool:
        """Return whether `lines` go on with all work under way that the sheet goes on with."""
        planned = {line.task for line in lines}
        return all(x.task in planned for x in sheet.lines if x.task in self.question.under_way)


def begun(problem: Problem) -> Problem:
    """Return the problem with the builder at the first work under way: it is gone on with before all other work."""
    free = [
        c
        for c in problem.candidates
        if c.begun and not (c.two or c.release or c.before or c.group) and _whole(c) <= c.latest
    ]
    one = max(free, key=lambda c: c.begun, default=None)
    if one is None:
        return problem
    head, whole = one.minutes(one.least), _whole(one)
    return replace(
        problem,
        candidates=tuple(
            (c if c.splits else replace(c, latest=whole)) if c is one
            else c if c.alone
            else replace(c, release=max(c.release, head))
            for c in problem.candidates
        ),
    )  # fmt: skip


def _whole(c: Candidate) -> int:
    """Return the minutes of the least portion with its set-up and clean-up."""
    return c.set_up + c.minutes(c.least) + c.clean_up


def best_lines(problem: Problem, standing: Standing, runs: int | None = None) -> tuple[Line, ...]:
    """Return the lines of the best greedy draft; what the audit would not accept is never shown."""
    return accepted(lines_of(Greedy(problem).best(runs)), standing)


def accepted(lines: Sequence[Line], standing: Standing) -> tuple[Line, ...]:
    """Return the lines, without those from the first on that the audit finds fault with."""
    lines = tuple(lines)
    while lines:
        wrong = {fault.task for fault in faults(standing, lines)}
        if not wrong:
            break
        lines = lines[: next((place for place, line in enumerate(lines) if line.task in wrong), len(lines) - 1)]
    return lines
