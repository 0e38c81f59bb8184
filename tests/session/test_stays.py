"""What the order of work says about stays holds on every sheet; a few orders by hand say what it says."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.session.generate import project_of, question_of
from tests.session.test_reach import small

from fitup.session.candidates import problem_of
from fitup.session.cpsat import prove
from fitup.session.draft import HELPER
from fitup.session.exact_stays import Key, StayRows, again, alone, comes, first, last, out, own, waited
from fitup.session.greedy import Greedy
from fitup.session.planned import Planned, planned_of
from fitup.session.problem import Candidate, Frame, Problem


def quantities(problem: Frame, rows: StayRows, lines: tuple[Planned, ...]) -> dict[Key, int]:
    """Return what a sheet makes of the quantities in the rows; those it says nothing of are 0."""
    builder = sorted((x for x in lines if x.who != HELPER), key=lambda x: (x.begin, x.end))
    found: dict[Key, int] = {}
    for line in lines:
        found[alone(line.candidate) if line.who == HELPER else own(line.candidate)] = 1
    kinds = [problem.candidates[line.candidate] for line in builder]
    begins = [0, *(place + 1 for place, (a, b) in enumerate(pairwise(kinds)) if a.work != b.work), len(kinds)]
    for begin, after in pairwise(begins):
        if any(c.timed for c in kinds[begin:after]):
            work = kinds[begin].work
            found[again(work) if found.get(out(work)) else out(work)] = 1
        inside = {c.index for c in kinds[begin:after]}
        for place, wait in enumerate(rows.waits):
            if inside.issuperset(wait[:2]):
                found[waited(place)] = 1
    for place, c in enumerate(kinds):
        for here, earlier in enumerate(kinds[:place]):
            if c.timed and earlier.timed and rows.ahead[c.index] >> earlier.index & 1:
                found[comes(earlier.work, c.work)] = 1
                if not any(x.timed and x.work == c.work for x in kinds[:here]):
                    found[first(earlier.work, c.work)] = 1
                if not any(x.timed and x.work == earlier.work for x in kinds[place:]):
                    found[last(earlier.work, c.work)] = 1
    return found


def broken(problem: Frame, lines: tuple[Planned, ...]) -> list[object]:
    """Return the rows that a sheet does not keep."""
    rows = StayRows(problem)
    found = quantities(problem, rows, lines)
    return [row for row in rows.rows() if sum(by * found.get(key, 0) for key, by in row.terms) > row.high]


@pytest.mark.parametrize("block", range(3))
def test_every_sheet_keeps_the_rows(block: int) -> None:
    kept = 0
    for seed in range(200 + 20 * block, 220 + 20 * block):
        problem = small(seed, 14)
        proof = prove(problem)
        assert proof is not None
        for lines in (proof.lines, planned_of(Greedy(problem).best(5))):
            assert broken(problem, lines) == [], seed
            kept += len(lines) > 1
    assert kept > 6


@pytest.mark.parametrize("seed", range(8))
def test_long_sheets_of_large_plans_keep_them_too(seed: int) -> None:
    problem = problem_of(project_of(seed, 300, parts_open=0.05, share_done=0.4), question_of(seed, 480))
    draft = planned_of(Greedy(problem).best(5))
    assert len(draft) > 3
    assert broken(problem, draft) == []


def chain(problem: Problem, *steps: tuple[str, tuple[int, ...]], group: str = "") -> Frame:
    """Return a session whose candidates are these: kind of work, and what they wait for."""
    one = next(c for c in problem.candidates if c.timed and not c.alone)
    made = [
        replace(one, index=place, work=work, before=tuple((b, 0) for b in before), group=group, takes=())
        for place, (work, before) in enumerate(steps)
    ]
    groups = {group: tuple(range(len(made)))} if group else {}
    return replace(problem.frame(), candidates=tuple(made), groups=groups, loans=(), occupations=(), windows=())


def says(frame: Frame) -> set[tuple[frozenset[tuple[Key, int]], int]]:
    return {(frozenset(row.terms), row.high) for row in StayRows(frame).rows()}


@pytest.fixture(scope="module")
def any_problem() -> Problem:
    return next(p for p in (small(seed, 14) for seed in range(61, 90)) if any(_plain(c) for c in p.candidates))


def _plain(c: Candidate) -> bool:
    return c.timed and not c.alone


def test_the_drill_that_waits_for_deburring_that_waits_for_the_drill_has_it_out_twice(any_problem: Problem) -> None:
    frame = chain(any_problem, ("drill", ()), ("deburr", (0,)), ("drill", (1,)))
    assert (frozenset({(own(2), 1), (again("drill"), -1)}), 0) in says(frame)
    assert (frozenset({(own(0), 1), (again("drill"), -1)}), 0) not in says(frame)


def test_a_third_time_is_not_to_be_had(any_problem: Problem) -> None:
    frame = chain(any_problem, ("drill", ()), ("deburr", (0,)), ("drill", (1,)), ("deburr", (2,)), ("drill", (3,)))
    assert (frozenset({(own(4), 1)}), 0) in says(frame)


def test_of_two_kinds_that_come_before_each_other_one_is_come_back_to(any_problem: Problem) -> None:
    frame = chain(any_problem, ("drill", ()), ("deburr", (0,)), ("deburr", ()), ("drill", (2,)))
    turns = {(comes("deburr", "drill"), 1), (comes("drill", "deburr"), 1)}
    assert (frozenset({*turns, (again("deburr"), -1), (again("drill"), -1)}), 1) in says(frame)


def test_a_wait_within_a_kind_of_work_is_spent_there_or_brings_the_tools_out_again(any_problem: Problem) -> None:
    frame = chain(any_problem, ("mark", ()), ("prime", (0,)), ("prime", ()), ("mark", (2,)))
    candidates = [replace(c, before=((1, 300),)) if c.index == 2 else c for c in frame.candidates]
    rows = says(replace(frame, candidates=tuple(candidates)))
    assert (frozenset({(own(2), 1), (again("prime"), -1), (waited(0), -1)}), 0) in rows
    # what comes before the first coat comes before all priming, what comes after the second one after all
    assert (frozenset({(own(2), 1), (waited(0), -1), (first("mark", "prime"), -1)}), 0) in rows
    assert (frozenset({(own(3), 1), (waited(0), -1), (last("prime", "mark"), -1)}), 0) in rows
    # so that it is the marking that is come back to, and priming twice spares it nothing
    ring = {(first("mark", "prime"), 1), (last("prime", "mark"), 1)}
    assert (frozenset({*ring, (again("mark"), -1)}), 1) in rows
    assert (frozenset({*ring, (again("mark"), -1), (again("prime"), -1)}), 1) not in rows


def test_what_lies_inside_one_go_shares_its_stay_with_nothing_else(any_problem: Problem) -> None:
    frame = chain(any_problem, ("mix", ()), ("seal", (0,)), ("squeeze", (1,)), group="cup")
    other = replace(frame.candidates[1], index=3, before=(), group="")
    frame = replace(frame, candidates=(*frame.candidates, other))
    stays = {(out("seal"), -1), (again("seal"), -1)}
    assert (frozenset({(own(1), 1), (own(3), 1), *stays}), 0) in says(frame)
