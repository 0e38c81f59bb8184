"""The order of a sheet's lines where its worth leaves that open: what nothing waits for comes last.

On a slow day the last lines are what falls off the sheet. So what no other line waits for goes behind
the rest, the less worth per minute the later, and part of a task last of all, since it may be cut short.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fitup.model.sheet import Line
from fitup.session.draft import earliest_times
from fitup.session.planned import Planned
from fitup.session.problem import Problem
from fitup.session.rules import Rules
from fitup.session.sheets import lines_of, planned_lines

Rank = tuple[int, int]


def settled(
    problem: Problem,
    lines: Sequence[Planned],
    rank: Callable[[tuple[Line, ...]], Rank],
    faultless: Callable[[tuple[Line, ...]], bool],
) -> tuple[Line, ...]:
    """Return the lines as early as they may be, in an order that costs neither worth nor time.

    `rank` orders sheets and `faultless` judges them; an order that it finds fault with is not taken.
    """
    rules = Rules(problem)
    order = [(line.candidate, line.count, line.who) for line in lines]
    best, kept = planned_lines(problem, lines), order
    worth, end = rank(best), max((line.end for line in best), default=0)
    for index in [None, *_loose(rules, lines)]:
        tried = kept if index is None else [*(x for x in kept if x[0] != index), *(x for x in kept if x[0] == index)]
        draft = earliest_times(rules, tried)
        if draft is None:
            continue
        found = lines_of(draft)
        latest = max((line.end for line in found), default=0)
        if latest <= end and rank(found) >= worth and faultless(found):
            best, kept, worth, end = found, tried, rank(found), latest
    return best


def _loose(rules: Rules, lines: Sequence[Planned]) -> list[int]:
    """Return the candidates that nothing on the sheet waits for, in the order in which they are put behind the rest."""
    on = {line.candidate for line in lines}

    def free(line: Planned) -> bool:
        c = rules.problem.candidates[line.candidate]
        pressing = c.asked or c.group or c.clock or c.index in rules.opens or c.index in rules.problem.saves
        return not pressing and not on.intersection(rules.followers[c.index])

    def goes_last(line: Planned) -> tuple[bool, float]:
        c = rules.problem.candidates[line.candidate]
        return line.count < c.open, -(c.per_minute + c.finished / max(1, c.minutes(line.count)))

    return [line.candidate for line in sorted(filter(free, lines), key=goes_last)]
