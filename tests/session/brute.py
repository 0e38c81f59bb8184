"""Every sheet that a tiny session allows, one after another: the best worth there is, by exhaustion.

Lines are put in every order on the builder's and the helper's hands, in every count; for each the
earliest times are found from all the minima and maxima between lines. What the audit then accepts is
judged by the public sum of worth. Only for sessions of about six candidates.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from math import ceil

from fitup.model.sheet import Line, Who
from fitup.session.audit import faults
from fitup.session.audit_case import Standing
from fitup.session.problem import Candidate, Problem, Window
from fitup.session.worth import asked_for, terms_of

Choice = tuple[int, int, Who]
"""A candidate, its count, and who does it."""

Bound = tuple[int, int, int]
"""(earlier, later, minutes): the second begins at least so long after the first begins; -1 is the session's start."""


@dataclass(frozen=True)
class Best:
    """The best rank found (minutes asked for, worth) with one sheet that has it."""

    rank: tuple[int, int]
    lines: tuple[Line, ...]


def best_of(problem: Problem, standing: Standing, most: int = 400_000) -> Best | None:
    """Return the best of all sheets; None when there are more than `most` to look at."""
    best = Best((0, 0), ())
    for seen, hands in enumerate(_hands(problem)):
        if seen >= most:
            return None
        for lines in _timed(problem, hands):
            rank = _rank(problem, lines)
            if rank > best.rank and not faults(standing, lines):
                best = Best(rank, lines)
    return best


def _rank(problem: Problem, lines: Sequence[Line]) -> tuple[int, int]:
    per_line, whole = terms_of(problem.scale, lines)
    worth = sum(v for terms in per_line for _, v in terms) + sum(v for _, v in whole)
    return asked_for(problem.question, {line.task: line.work_minutes for line in lines}), worth


def _hands(problem: Problem) -> Iterator[tuple[Choice, ...]]:
    """Yield every order of choices in which each comes after what it waits for; hands that read the same, once."""
    known: set[tuple[tuple[Choice, ...], tuple[Choice, ...]]] = set()
    stack: list[tuple[Choice, ...]] = [()]
    while stack:
        hands = stack.pop()
        builder = tuple(choice for choice in hands if choice[2] != "helper")
        helper = tuple(choice for choice in hands if choice[2] != "builder")
        if (builder, helper) in known:
            continue
        known.add((builder, helper))
        if hands:
            yield hands
        finished = {index for index, count, _ in hands if count == problem.candidates[index].open}
        on = {index for index, _, _ in hands}
        used = sum(problem.candidates[i].minutes(count) for i, count, who in hands if who != "helper")
        for c in problem.candidates:
            if c.index in on or any(before not in finished for before, _ in c.before):
                continue
            for count in range(c.least, c.open + 1):
                if c.two:
                    if used + c.minutes(count) <= problem.usable:
                        stack.append((*hands, (c.index, count, "both")))
                    continue
                if used + c.minutes(count) <= problem.usable:
                    stack.append((*hands, (c.index, count, "builder")))
                if c.alone:
                    stack.append((*hands, (c.index, count, "helper")))


def _timed(problem: Problem, hands: Sequence[Choice]) -> Iterator[tuple[Line, ...]]:
    """Yield the order with the earliest times, for every choice of helper windows and of what comes first where."""
    candidates = problem.candidates
    builder = [choice for choice in hands if choice[2] != "helper"]
    helper = [choice for choice in hands if choice[2] != "builder"]
    extra = _set_ups(problem, builder)
    if extra is None:
        return
    count = {index: count for index, count, _ in hands}
    length = {i: sum(extra.get(i, (0, 0))) + candidates[i].minutes(n) for i, n, _ in hands}
    bounds: list[Bound] = [(-1, i, candidates[i].release) for i in count]
    bounds += [(i, -1, length[i] - candidates[i].latest) for i in count]
    for lane in (builder, helper):
        bounds += [(a[0], b[0], length[a[0]]) for a, b in pairwise(lane)]
    for i in count:
        bounds += [(before, i, length[before] + lag) for before, lag in candidates[i].before]
    windows = _window_bounds(problem, count, length)
    if windows is None:
        return
    bounds += windows
    choices: list[list[list[Bound]]] = []
    for i, _, who in hands:
        if who != "builder":
            choices.append([[(-1, i, a), (i, -1, length[i] - b)] for a, b in problem.helper])
    choices += _group_choices(problem, builder, helper, count, length)
    alone = [choice[0] for choice in hands if choice[2] == "helper"]
    for i in alone:
        for j, _, who in builder:
            if who == "builder" and _may_clash(problem, candidates[i], candidates[j]):
                choices.append([[(i, j, length[i])], [(j, i, length[j])], []])
    for chosen in product(*choices):
        begins = _earliest([*bounds, *(bound for option in chosen for bound in option)], list(count))
        if begins is not None:
            lines = [
                Line(candidates[i].task, n, begins[i], begins[i] + length[i], *extra.get(i, (0, 0)), who)
                for i, n, who in hands
            ]
            yield tuple(sorted(lines, key=lambda line: (line.begin, line.end)))


def _set_ups(problem: Problem, builder: Sequence[Choice]) -> dict[int, tuple[int, int]] | None:
    """Return set-up and clean-up minutes by candidate; None for a third stay at one kind of work."""
    stays: list[list[Candidate]] = []
    for index, _, _ in builder:
        c = problem.candidates[index]
        if stays and stays[-1][0].work == c.work:
            stays[-1].append(c)
        else:
            stays.append([c])
    works = [stay[0].work for stay in stays]
    if any(works.count(work) > 2 for work in works):
        return None
    extra: dict[int, tuple[int, int]] = {}
    for stay in stays:
        timed = [c for c in stay if c.timed]
        if timed:
            first, last = timed[0], timed[-1]
            extra[first.index] = (first.set_up, 0)
            extra[last.index] = (extra.get(last.index, (0, 0))[0], last.clean_up)
    return extra


def _window_bounds(problem: Problem, count: dict[int, int], length: dict[int, int]) -> list[Bound] | None:
    bounds: list[Bound] = []
    for window in problem.windows:
        first, last = window.first, window.last
        finished = last is not None and count.get(last) == problem.candidates[last].open
        if first is None:
            if last is not None and last in count and window.closes is not None:
                if finished:
                    bounds.append((last, -1, length[last] + _reserve(window, count) - window.closes))
                elif not _lasting(problem, window, count, window.closes):
                    return None
            continue
        opened = first in count and (not window.from_finish or count[first] == problem.candidates[first].open)
        if not opened:
            continue
        lead = length[first] if window.from_finish else 0
        if finished and last is not None:
            bounds.append((last, first, length[last] + _reserve(window, count) - window.span - lead))
        elif problem.next_start is None:
            return None
        else:
            bounds.append((-1, first, problem.next_start + _left(window, count) - window.true_span - lead))
    return bounds


def _reserve(window: Window, count: dict[int, int]) -> int:
    over = sum(spread * count.get(-1 if i is None else i, 0) for i, _, _, spread in window.chain) if window.high else 0
    return ceil(round(over + window.margin, 6))


def _left(window: Window, count: dict[int, int]) -> int:
    left = window.margin
    for i, open_count, likely, spread in window.chain:
        left += (likely + (spread if window.high else 0)) * (open_count - (0 if i is None else count.get(i, 0)))
    return ceil(round(left, 6))


def _lasting(problem: Problem, window: Window, count: dict[int, int], closes: int) -> bool:
    return problem.next_start is not None and closes >= problem.next_start + _left(window, count)


def _group_choices(
    problem: Problem,
    builder: Sequence[Choice],
    helper: Sequence[Choice],
    count: dict[int, int],
    length: dict[int, int],
) -> list[list[list[Bound]]]:
    """Return, for each line of the builder's and each one-go group it is not of, before or after all of it."""
    choices = []
    for members in problem.groups.values():
        planned = [index for index in members if index in count]
        if not planned:
            continue
        for index, _, _ in builder:
            if index not in members:
                before = [(index, member, length[index]) for member in planned]
                after = [(member, index, length[member]) for member in planned]
                choices.append([before, after])
    return choices


def _may_clash(problem: Problem, c: Candidate, other: Candidate) -> bool:
    """Return whether it may matter which of two lines on different hands comes first."""
    lent = {loan.lender for loan in problem.loans} | {loan.until for loan in problem.loans}
    held = {held.lender for held in problem.occupations} | {held.until for held in problem.occupations}
    tools = {held.tool for held in problem.occupations}
    touches = (lent & {c.index, other.index}) or (held & {c.index, other.index})
    return bool(touches or set(c.tools) & set(other.tools) or tools & {*c.tools, *other.tools})


def _earliest(bounds: Sequence[Bound], nodes: Sequence[int]) -> dict[int, int] | None:
    """Return the earliest begins that keep all bounds, by Bellman and Ford; None when none do."""
    begin = {-1: 0, **dict.fromkeys(nodes, 0)}
    for _ in range(len(begin) + 1):
        changed = False
        for earlier, later, minutes in bounds:
            if begin[earlier] + minutes > begin[later]:
                if later == -1:
                    return None
                begin[later] = begin[earlier] + minutes
                changed = True
        if not changed:
            return begin
    return None
