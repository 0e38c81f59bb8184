"""From a planner's draft to the sheet that is shown: lines with their worth, chance, what waits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from fitup.model.sheet import Line, Question, Sheet, Waiting, Who
from fitup.session.chance import chance_of
from fitup.session.draft import HELPER, Draft
from fitup.session.planned import Planned
from fitup.session.problem import Problem
from fitup.session.worth import Scale, terms_of

WHO: tuple[Who, ...] = ("builder", "helper", "both")
"""Who does a line, by the number that drafts give."""


def lines_of(draft: Draft) -> tuple[Line, ...]:
    """Return the draft's lines in order of their begin, then of the plan."""
    candidates = draft.problem.candidates
    entries = sorted(draft.entries, key=lambda e: (e.begin, e.who == HELPER, e.end, candidates[e.candidate].place))
    return tuple(
        Line(
            task=candidates[entry.candidate].task,
            count=entry.count,
            begin=entry.begin,
            end=entry.end,
            set_up=entry.set_up,
            clean_up=entry.clean_up,
            who=WHO[entry.who],
        )
        for entry in entries
    )


def planned_lines(problem: Problem, planned: Iterable[Planned]) -> tuple[Line, ...]:
    """Return a planner's lines as a sheet shows them."""
    return tuple(
        Line(problem.candidates[x.candidate].task, x.count, x.begin, x.end, x.set_up, x.clean_up, WHO[x.who])
        for x in planned
    )


def sheet_of(question: Question, problem: Problem, true_limits: Problem, lines: Sequence[Line]) -> Sheet:
    """Return the sheet of these lines, without reasons; `true_limits` is the problem without squeeze."""
    per_line, of_sheet = terms_of(problem.scale, lines)
    return Sheet(
        question=question,
        lines=tuple(replace(line, terms=terms) for line, terms in zip(lines, per_line, strict=True)),
        sheet_terms=of_sheet,
        likely_minutes=max((line.end for line in lines), default=0),
        chance=chance_of(true_limits, lines),
        usable_minutes=problem.usable,
        waiting=waiting_of(problem.scale, lines),
        two_people_minutes=sum(line.end - line.begin for line in lines if line.who == "both"),
    )


def waiting_of(scale: Scale, lines: Iterable[Line]) -> tuple[Waiting, ...]:
    """Return the tasks off the sheet that nothing but running cures holds, with the instant they are free."""
    planned = {line.task for line in lines}
    found = []
    for task in scale.project.plan.tasks:
        if scale.readiness.states[task.id] != "held" or task.id in planned:
            continue
        standing = scale.readiness.standing(task.id)
        ends = [state.expected for state in standing if state.kind == "cure" and isinstance(state.expected, datetime)]
        if ends and len(ends) == len(standing):
            found.append(Waiting(task.id, max(ends)))
    return tuple(found)
