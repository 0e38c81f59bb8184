"""The planner's door: a question in, the best sheet found at once out, checked and with its reasons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitup.estimate.times import AS_TABLE
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question, Sheet
from fitup.readiness import Readiness
from fitup.session.audit import faults, standing_at
from fitup.session.audit_case import Standing
from fitup.session.candidates import problem_of
from fitup.session.chance import chance_of
from fitup.session.greedy import Greedy
from fitup.session.problem import Problem
from fitup.session.reasons import with_reasons
from fitup.session.sheets import lines_of, sheet_of
from fitup.session.worth import scale_of

HALVINGS = 5
"""Steps by which the squeeze of a sure sheet is narrowed down."""

MOST_SQUEEZE = 2.5


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
    scale = scale_of(project, question, pace, readiness)
    standing = standing_at(project, question, pace, scale.readiness)
    true_limits = problem_of(project, question, pace, scale=scale)
    problem, lines = true_limits, best_lines(true_limits, standing)
    if question.sure is not None and chance_of(true_limits, lines) < question.sure:
        problem, lines = _sure(true_limits, standing, question.sure)
    sheet = sheet_of(question, problem, true_limits, lines)
    return with_reasons(sheet, true_limits, standing) if reasons else sheet


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


def _sure(true_limits: Problem, standing: Standing, sure: float) -> tuple[Problem, tuple[Line, ...]]:
    """Divide every limit by a factor, as small a one as gives the wanted chance on the true limits."""
    scale = true_limits.scale
    low, high = 1.0, MOST_SQUEEZE
    best: tuple[Problem, tuple[Line, ...]] = _squeezed(true_limits, standing, high)
    if chance_of(true_limits, best[1]) < sure:
        best = (_problem(scale.project, true_limits, high), ())
    squeeze = 1.25
    for _ in range(HALVINGS):
        found = _squeezed(true_limits, standing, squeeze)
        if chance_of(true_limits, found[1]) >= sure:
            high, best = squeeze, found
        else:
            low = squeeze
        squeeze = (low + high) / 2
    return best


def _squeezed(true_limits: Problem, standing: Standing, squeeze: float) -> tuple[Problem, tuple[Line, ...]]:
    problem = _problem(true_limits.project, true_limits, squeeze)
    return problem, best_lines(problem, standing)


def _problem(project: Project, true_limits: Problem, squeeze: float) -> Problem:
    scale = true_limits.scale
    return problem_of(project, true_limits.question, scale.pace, squeeze=squeeze, scale=scale)
