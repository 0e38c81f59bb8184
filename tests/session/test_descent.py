"""Looks tell the truth about what they looked at, and the way down from the outline ends at the best sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from time import monotonic

import pytest
from ortools.sat.python import cp_model
from tests.session.frames import job, made
from tests.session.test_reach import small
from tests.session.test_sketch import larger

from fitup.session.cpsat import prove, solvers
from fitup.session.exact_descent import BOUNDLESS, Descent
from fitup.session.exact_look import Answer, Look
from fitup.session.exact_outline import Outline, outline
from fitup.session.exact_reach import Reach
from fitup.session.greedy import Greedy
from fitup.session.planned import Proof, planned_of
from fitup.session.problem import Frame


def proved(seeds: range) -> Iterator[tuple[int, Frame, Proof]]:
    """Yield sessions with their proven best sheets."""
    for seed in seeds:
        problem = small(seed, 14) if seed % 2 else larger(seed)
        best = prove(problem, planned_of(Greedy(problem).best()))
        if problem.candidates and best is not None and best.proven:
            yield seed, problem.frame(), best


def outlined(seeds: range) -> Iterator[tuple[int, Reach, Outline, Proof]]:
    """Yield sessions with their outlines and best sheets, which have as much of what was asked for."""
    for seed, frame, best in proved(seeds):
        reach = Reach(frame)
        known = outline(reach, cp_model, 10)
        assert known is not None
        if known.asked == best.asked:
            yield seed, reach, known, best


def nothing(seconds: float) -> None:
    """Find no fair sheet."""


def itself(proof: Proof, seconds: float) -> Proof:
    """Find this sheet."""
    return proof


def answer(frame: Frame, least: int, asked: int) -> Answer:
    """Return what a look over all candidates tells."""
    look = Look(frame, solvers(), least, BOUNDLESS, asked)
    return look.answer(range(len(frame.candidates)), monotonic() + 20, 5)


@pytest.mark.parametrize("block", range(3))
def test_a_look_finds_the_best_sheet_and_tells_that_there_is_none_above_it(block: int) -> None:
    compared = 0
    for seed, frame, best in proved(range(400 + 20 * block, 420 + 20 * block)):
        for least in (best.worth, best.worth - 40):
            told = answer(frame, least, best.asked)
            assert told.found is not None, seed
            assert (told.found.asked, told.found.worth, told.bound) == (best.asked, best.worth, best.worth), seed
        assert answer(frame, best.worth + 1, best.asked) == Answer(None, best.worth), seed
        compared += 1
    assert compared > 10


@pytest.mark.parametrize("workers", [1, 2])
def test_the_way_down_ends_at_the_best_sheet_with_no_sheet_to_begin_with(workers: int) -> None:
    compared = 0
    for seed, reach, known, best in outlined(range(500, 530)):
        descent = Descent(reach, solvers(), known, None, 20, monotonic() + 20, workers, nothing)
        worths = [better.worth for better in descent.better()]
        assert descent.met, seed
        assert worths == sorted(set(worths)), seed
        assert worths[-1] == descent.at_most == best.worth, seed
        compared += 1
    assert compared > 15


@pytest.mark.parametrize("workers", [1, 2])
def test_where_all_work_costs_more_than_it_brings_the_way_down_ends_at_the_empty_sheet(workers: int) -> None:
    frame = made(60, job(0, "fit", 1, (20, 20)))
    best = prove(frame)
    assert best is not None
    assert (best.lines, best.worth) == ((), 0)
    reach = Reach(frame)
    known = outline(reach, cp_model, 5)
    assert known is not None
    descent = Descent(reach, solvers(), known, None, 5, monotonic() + 5, workers, nothing)
    assert [better.lines for better in descent.better()] == [()]
    assert descent.met


@pytest.mark.parametrize("less", [0, 1])
def test_where_there_is_no_time_left_a_fair_sheet_is_taken_that_has_as_much_of_what_was_asked_for(less: int) -> None:
    compared = 0
    for seed, reach, known, best in outlined(range(530, 550)):
        given = replace(best, asked=best.asked - less)
        descent = Descent(reach, solvers(), known, None, 20, monotonic() - 1, 1, partial(itself, given))
        assert list(descent.better()) == ([] if less else [best]), seed
        assert descent.at_most == known.worth, seed
        assert descent.met == (not less and best.worth == known.worth), seed
        compared += 1
    assert compared > 8
