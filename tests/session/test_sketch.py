"""Sketches: every sheet is one, so that none is worth more than the best; mostly the clock allows just that."""

from __future__ import annotations

import pytest
from ortools.sat.python import cp_model
from tests.session.frames import job, made
from tests.session.generate import project_of, question_of, wishes_of
from tests.session.test_reach import small

from fitup.session.candidates import problem_of
from fitup.session.cpsat import prove
from fitup.session.exact_model import Model
from fitup.session.exact_outline import by_the_clock
from fitup.session.exact_sketch import Sketch, Sketched
from fitup.session.greedy import Greedy
from fitup.session.planned import planned_of
from fitup.session.problem import Frame, Problem


def sketched(frame: Frame) -> Sketched:
    """Return the best sketch, proved."""
    found = Sketch(frame, cp_model).solve(20)
    assert isinstance(found, Sketched)
    assert found.proven
    return found


def larger(seed: int) -> Problem:
    """Return a session of two hours on sixty tasks."""
    found = project_of(seed, 60, share_done=0.3, parts_open=0.3)
    return problem_of(found, wishes_of(seed, found, question_of(seed)))


@pytest.mark.parametrize("block", range(3))
def test_no_sheet_is_worth_more_than_the_best_sketch_and_mostly_one_is_worth_as_much(block: int) -> None:
    compared = equal = 0
    for seed in range(300 + block * 20, 320 + block * 20):
        problem = small(seed, 14) if seed % 2 else larger(seed)
        proof = prove(problem, planned_of(Greedy(problem).best()))
        if not problem.candidates or proof is None or not proof.proven:
            continue
        best = sketched(problem.frame())
        assert (best.asked, best.worth) >= (proof.asked, proof.worth), seed
        compared += 1
        equal += (best.asked, best.worth) == (proof.asked, proof.worth)
    assert compared > 10
    assert equal > 0.8 * compared


def test_every_greedy_sheet_is_a_sketch() -> None:
    for seed in range(30):
        problem = larger(seed)
        lines = planned_of(Greedy(problem).best(5))
        model = Sketch(problem.frame(), cp_model)
        for line in lines:
            c = problem.candidates[line.candidate]
            model.model.add(model.lines[line.candidate].on == 1)
            if c.splits:
                model.model.add(model.lines[line.candidate].count == line.count)
        assert cp_model.CpSolver().solve(model.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE), seed


def test_a_sheet_in_the_stays_of_the_sketch_has_its_counts_and_its_worth() -> None:
    found = 0
    for seed in range(12):
        frame = larger(seed).frame()
        best = sketched(frame)
        sheet = by_the_clock(frame, best.counts, best.worth, cp_model, 5, best.stays)
        if sheet is not None:
            found += 1
            assert {line.candidate: line.count for line in sheet.lines} == best.counts
            assert sheet.worth == best.worth
    assert found > 6


@pytest.mark.parametrize("usable", [31, 32])
def test_what_a_helper_does_between_two_jobs_of_a_stay_takes_its_time_in_it(usable: int) -> None:
    fit, wipe = (2, 1), (0, 0)
    frame = made(
        usable,
        job(0, "fit", 7, fit),
        job(1, "wipe", 8, wipe, 0, alone=True),
        job(2, "fit", 7, fit, 1),
        job(3, "fit", 7, fit, 2),
        helper=True,
    )
    exact, best = Model(frame, cp_model).solve(10), sketched(frame)
    assert exact is not None
    whole = usable >= 2 + 7 + 8 + 7 + 7 + 1
    assert (len(best.counts) == 4) is (len(exact.lines) == 4) is whole


@pytest.mark.parametrize("short", [0, 1])
def test_what_has_no_times_is_not_done_inside_a_one_go_group(short: int) -> None:
    seal, close = (6, 8), (3, 1)
    frame = made(
        6 + 18 + 6 + 8 + 3 + 3 + 1 - short,
        job(0, "seal", 6, seal, group="g"),
        job(1, "close", 3, close, 0, group="g"),
        job(2, "seal", 18, seal),
    )
    exact, best = Model(frame, cp_model).solve(10), sketched(frame)
    assert exact is not None
    assert (len(best.counts) == 3) is (len(exact.lines) == 3) is (short == 0)
