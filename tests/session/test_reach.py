"""What candidates can bring at most: never less than the best sheets with them on, so that nothing is lost."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest
from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model
from tests.session.generate import project_of, question_of, wishes_of

from fitup.session import cpsat
from fitup.session.candidates import problem_of
from fitup.session.cpsat import most_by_candidate, prove, stages
from fitup.session.exact_linear import Relaxed
from fitup.session.exact_model import Model
from fitup.session.exact_outline import outline
from fitup.session.exact_reach import Reach
from fitup.session.greedy import Greedy
from fitup.session.planned import planned_of
from fitup.session.problem import Occupation, Problem


def small(seed: int, tasks: int) -> Problem:
    """Return a session with every rule in it."""
    found = project_of(seed, tasks, share_done=0.25, tiny=True, few=True)
    return problem_of(found, wishes_of(seed, found, question_of(seed, (30, 45, 60, 75)[seed % 4])))


def best_with(problem: Problem, index: int) -> float:
    """Return the worth of the best sheet that this candidate is on."""
    model = Model(problem, cp_model, bounded=False)
    model.model.add(model.lines[index].on == 1)
    proof = model.solve(10)
    assert proof is None or proof.proven
    return -inf if proof is None else proof.worth


@pytest.mark.parametrize("block", range(3))
def test_no_sheet_with_a_candidate_on_it_is_worth_more_than_its_reach(block: int) -> None:
    compared = tight = 0
    for seed in range(block * 20, block * 20 + 20):
        problem = small(seed, 9)
        if any(c.asked for c in problem.candidates):
            continue
        reach = Reach(problem)
        for index, candidate in enumerate(problem.candidates):
            best = best_with(problem, index)
            more = best * 1.1 + 1
            at_most = most_by_candidate(reach, more, inf)[index]
            assert best <= at_most + 0.01, (seed, candidate.task)
            compared += 1
            tight += at_most < more
    assert compared > 20
    assert tight > compared / 4


def test_reach_from_the_bound_of_all_alone_loses_nothing_either() -> None:
    for seed in range(60, 75):
        problem = small(seed, 9)
        most = most_by_candidate(Reach(problem), -inf, -inf)
        proof = prove(problem)
        assert proof is not None
        assert all(most[line.candidate] >= proof.worth - 0.01 for line in proof.lines), seed


def test_what_is_not_looked_into_would_have_told_nothing_more() -> None:
    ruled_out = 0
    for seed in range(6):
        found = project_of(seed, 60, parts_open=0.3, share_done=0.5)
        reach = Reach(problem_of(found, question_of(seed, 120)))
        if reach.programme.asked:
            continue
        relaxed = Relaxed(reach.programme, pywraplp.Solver.CreateSolver("GLOP"))
        highest = max(most_by_candidate(reach, -inf, inf))
        for worth in (0.9 * highest, 0.97 * highest):
            alone = [relaxed.at_most([on], [()], worth, inf) for on in reach.on]
            short = [found is not None and found[0] < worth for found in alone]
            assert [most < worth for most in most_by_candidate(reach, worth, inf)] == short
            ruled_out += sum(short)
    assert ruled_out > 20


@pytest.mark.parametrize("block", range(4))
def test_no_sheet_is_worth_more_than_the_outline_which_mostly_is_one(block: int) -> None:
    reached = compared = 0
    for seed in range(block * 30, block * 30 + 30):
        problem = small(seed, 14)
        outlined = outline(Reach(problem), cp_model, 10)
        proof = prove(problem)
        assert proof is not None
        assert proof.proven
        assert outlined is not None
        assert outlined.sure
        assert (proof.asked, proof.worth) <= (outlined.asked, outlined.worth), seed
        compared += 1
        reached += outlined.reached_by(proof)
    assert reached > compared / 3


def test_the_rows_without_clock_times_change_no_answer() -> None:
    for seed in range(200, 230):
        problem = small(seed, 18)
        plain, bounded = (Model(problem, cp_model, bounded=with_rows).solve(20) for with_rows in (False, True))
        assert plain is not None
        assert bounded is not None
        assert plain.proven
        assert bounded.proven
        assert (plain.asked, plain.worth) == (bounded.asked, bounded.worth), seed


def test_work_on_what_a_tool_is_taken_for_may_be_done_though_it_is_taken_twice() -> None:
    found = next(
        p for p in (small(seed, 12) for seed in range(61, 200)) if p.candidates and p.candidates[0].work == "clean"
    )
    user = replace(found.candidates[0], tools=("jig",))
    problem = replace(
        found,
        candidates=(user, *found.candidates[1:]),
        have_tools={**found.have_tools, "jig": 1},
        occupations=(Occupation("jig", None, None, frozenset({0})), Occupation("jig", None, None, frozenset())),
    )
    best = best_with(problem, 0)
    assert best > 0
    assert best <= most_by_candidate(Reach(problem), best + 1, inf)[0] + 0.01


@pytest.mark.parametrize("seed", range(100, 130))
@pytest.mark.parametrize("outlined", [True, False])
def test_leaving_out_what_cannot_matter_proves_the_same_worth(
    seed: int, outlined: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not outlined:
        monkeypatch.setattr(cpsat, "outline", lambda *_: None)
    problem = small(seed, 22)
    whole = prove(problem)
    last, final = list(stages(problem.frame(), planned_of(Greedy(problem).best(3)), 30, workers=1 + seed % 2))[-1]
    assert final
    assert whole is not None
    assert last is not None
    assert last.proven
    assert (last.asked, last.worth, last.bound) == (whole.asked, whole.worth, whole.worth)


@pytest.mark.parametrize("seed", [0, 12, 13])
def test_no_answer_is_worse_than_the_sheet_that_was_there_at_first(seed: int) -> None:
    found = project_of(seed, 300, parts_open=0.3, share_done=0.5)
    problem = problem_of(found, question_of(seed, 480))
    greedy = Greedy(problem)
    draft = greedy.best()
    answers = [proof for proof, _ in stages(problem.frame(), planned_of(draft), 0.4)]
    assert answers
    assert all(proof is not None and (proof.asked, proof.worth) >= greedy.rank(draft)[:2] for proof in answers)


def test_where_something_is_asked_for_first_worth_alone_rules_nothing_out() -> None:
    asked = [small(seed, 9) for seed in range(40)]
    asked = [problem for problem in asked if any(c.asked for c in problem.candidates)]
    assert asked
    assert all(set(most_by_candidate(Reach(problem), -inf, inf)) == {inf} for problem in asked)
