"""What candidates can bring at most: never less than the best sheets with them on, so that nothing is lost."""

from __future__ import annotations

from math import inf

import pytest
from tests.session.generate import project_of, question_of, wishes_of

from fitup.session import cpsat
from fitup.session.candidates import problem_of
from fitup.session.cpsat import Model, prove, reach, stages
from fitup.session.greedy import Greedy
from fitup.session.planned import Planned
from fitup.session.problem import Problem


def small(seed: int, tasks: int) -> Problem:
    """Return a session with every rule in it."""
    found = project_of(seed, tasks, share_done=0.25, tiny=True, few=True)
    return problem_of(found, wishes_of(seed, found, question_of(seed, (30, 45, 60, 75)[seed % 4])))


def best_with(problem: Problem, index: int) -> float:
    """Return the worth of the best sheet that this candidate is on."""
    model = Model(problem)
    model.model.add(model.lines[index].on == 1)
    proof = model.solve(10, 1)
    assert proof is None or proof.proven
    return -inf if proof is None else proof.worth


@pytest.mark.parametrize("block", range(3))
def test_no_sheet_with_a_candidate_on_it_is_worth_more_than_its_reach(block: int) -> None:
    compared = tight = 0
    for seed in range(block * 20, block * 20 + 20):
        problem = small(seed, 9)
        most = reach(problem.frame(), inf)
        if most is None:
            continue
        for index, at_most in enumerate(most):
            best = best_with(problem, index)
            assert best <= at_most + 0.01, (seed, problem.candidates[index].task)
            compared += 1
            tight += at_most < best * 1.1 + 1
    assert compared > 20
    assert tight > compared / 4


def test_reach_from_the_bound_of_all_alone_loses_nothing_either() -> None:
    for seed in range(60, 75):
        problem = small(seed, 9)
        most = reach(problem.frame(), -inf)
        proof = prove(problem)
        assert proof is not None
        if most is not None:
            assert all(most[line.candidate] >= proof.worth - 0.01 for line in proof.lines), seed


@pytest.mark.parametrize("seed", range(100, 130))
def test_leaving_out_what_cannot_matter_proves_the_same_worth(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cpsat, "FEW", 3)
    problem = small(seed, 22)
    whole = prove(problem)
    draft = Greedy(problem).best(3)
    hint = [Planned(e.candidate, e.count, e.begin, e.end, e.set_up, e.clean_up, e.who) for e in draft.entries]
    last, final = list(stages(problem.frame(), hint, frozenset(), 30))[-1]
    assert final
    assert whole is not None
    assert last is not None
    assert last.proven
    assert (last.asked, last.worth, last.bound) == (whole.asked, whole.worth, whole.worth)


def test_where_something_is_asked_for_first_worth_alone_rules_nothing_out() -> None:
    asked = [small(seed, 9) for seed in range(40)]
    asked = [problem for problem in asked if any(c.asked for c in problem.candidates)]
    assert asked
    assert all(reach(problem.frame(), inf) is None for problem in asked)
