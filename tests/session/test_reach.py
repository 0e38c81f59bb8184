"""What candidates can bring at most: never less than the best sheets with them on, so that nothing is lost."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest
from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model
from tests.session.frames import job, made
from tests.session.generate import project_of, question_of, wishes_of
from tests.session.small import project, question, task

from fitup.model.plan import ThreePoint
from fitup.session import cpsat
from fitup.session.candidates import problem_of
from fitup.session.cpsat import prove, solvers, stages
from fitup.session.exact_linear import Relaxed, most_with_each
from fitup.session.exact_look import most_by_candidate
from fitup.session.exact_model import Model
from fitup.session.exact_outline import outline
from fitup.session.exact_reach import Reach
from fitup.session.exact_stays import ahead_of
from fitup.session.greedy import Greedy
from fitup.session.planned import planned_of
from fitup.session.problem import Frame, Loan, Occupation, Problem, Window


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
            at_most = most_by_candidate(reach, solvers().linear, more, inf)[index]
            assert best <= at_most + 0.01, (seed, candidate.task)
            compared += 1
            tight += at_most < more
    assert compared > 20
    assert tight > compared / 4


def test_reach_from_the_bound_of_all_alone_loses_nothing_either() -> None:
    for seed in range(60, 75):
        problem = small(seed, 9)
        most = most_by_candidate(Reach(problem), solvers().linear, -inf, -inf)
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
        highest = max(most_by_candidate(reach, solvers().linear, -inf, inf))
        for worth in (0.9 * highest, 0.97 * highest):
            alone = [most_with_each([relaxed], [on], [()], worth, inf) for on in reach.on]
            short = [found is not None and found[0] < worth for found in alone]
            for workers in (1, 2):
                assert [
                    most < worth for most in most_by_candidate(reach, solvers().linear, worth, inf, workers)
                ] == short
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


def test_half_of_what_holds_a_task_does_not_both_free_that_task_and_let_half_of_it_be_done() -> None:
    thirty = ThreePoint(30, 30, 30)
    found = project(task("rib", minutes=thirty), task("skin", minutes=thirty, after=("rib",)))
    reach = Reach(problem_of(found, question(60)))
    relaxed = Relaxed(reach.programme, pywraplp.Solver.CreateSolver("GLOP"))
    for number in reach.on:
        relaxed.variables[number].SetBounds(0.5, 0.5)
    assert relaxed.solved()
    half = sum(0.5 * reach.programme.worth[number] for number in reach.on)
    assert relaxed.solver.Objective().Value() == pytest.approx(half)


def test_what_frees_a_candidate_has_to_be_finished_before_it() -> None:
    rewards = 0
    for seed in range(150):
        problem = small(seed, 12)
        ahead = ahead_of(problem.candidates)
        for reward in problem.rewards:
            if reward.candidate is not None:
                assert all(ahead[reward.candidate] >> index & 1 for index in reward.needs), seed
                rewards += 1
    assert rewards > 50


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
    assert best <= most_by_candidate(Reach(problem), solvers().linear, best + 1, inf)[0] + 0.01


def outlined_and_best(frame: Frame) -> tuple[set[int], int, int]:
    """Return what is on the outline, its worth, and the best sheet's; finishing is worth any set-up here."""
    frame = replace(frame, candidates=tuple(replace(c, finished=500) for c in frame.candidates))
    outlined, proof = outline(Reach(frame), cp_model, 10), prove(frame)
    assert outlined is not None
    assert proof is not None
    assert proof.proven
    return set(outlined.counts), outlined.worth, proof.worth


def test_priming_twice_with_a_long_wait_between_does_not_spare_marking_twice() -> None:
    """What is marked for the first coat lies before all priming, so that marking a primed part has its own stay."""
    marked, coat = job(0, "mark", 10, (8, 2)), job(1, "prime", 10, (20, 2), 0)
    second = replace(job(2, "prime", 10, (20, 2)), before=((1, 300),))
    primed, marked_after = job(3, "prime", 10, (20, 2)), job(4, "mark", 10, (8, 2), 3)
    frame = made(475, marked, coat, second, primed, marked_after, job(5, "fit", 290, (0, 0)))
    on, worth, best = outlined_and_best(frame)
    assert on == set(range(6))
    assert worth == best


@pytest.mark.parametrize("short", [0, 1])
def test_a_cup_of_sealant_has_time_for_the_gun_to_be_cleaned(short: int) -> None:
    """Mixed with its tools out in 6 minutes, gun out 6, bead 5, gun cleaned 8, squeezer out 3, set 4: 32 minutes."""
    mix, seal, squeeze = job(0, "mix", 5, (1, 0)), job(1, "seal", 5, (6, 8), 0), job(2, "squeeze", 4, (3, 0), 1)
    chain = ((2, 1, 4.0, 0.0), (1, 1, 5.0, 0.0))
    window = Window("squeeze 2", 0, 2, False, 32 - short, 32 - short, None, None, 0.0, True, chain)
    frame = replace(made(200, mix, seal, squeeze), windows=(window,), next_start=24 * 60)
    on, worth, best = outlined_and_best(frame)
    assert (2 in on) == (not short)
    assert worth == best


def test_fasteners_that_are_out_at_first_have_to_come_back_before_others_can_be_taken() -> None:
    takes = replace(job(0, "cleco", 10, (0, 0)), takes=(1,))
    gives, slow = job(1, "squeeze", 10, (0, 0), 0), job(2, "rivet", 100, (0, 0))
    loans = (Loan("3/32", 8, None, 2, 0, 1), Loan("3/32", 5, 0, 1, 0, 1))
    frame = replace(made(60, takes, gives, slow), loans=loans, have_clecos={"3/32": 10})
    assert outlined_and_best(frame) == (set(), 0, 0)
    frame = replace(frame, usable=120)
    on, worth, best = outlined_and_best(frame)
    assert on == {0, 1, 2}
    assert worth == best


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
    assert all(set(most_by_candidate(Reach(problem), solvers().linear, -inf, inf)) == {inf} for problem in asked)


def test_of_sheets_with_as_much_of_what_was_asked_for_it_is_known_what_they_can_be_worth_at_most() -> None:
    told = 0
    for seed in range(240):
        problem = small(seed, 9)
        if not any(c.asked for c in problem.candidates):
            continue
        best = prove(problem)
        assert best is not None
        more = best.worth * 1.1 + 1
        most = most_by_candidate(Reach(problem), solvers().linear, more, inf, asked=best.asked)
        assert all(most[line.candidate] >= best.worth - 0.01 for line in best.lines), seed
        told += any(found < more for found in most)
        last, _ = list(stages(problem.frame(), (), 10))[-1]
        assert last is not None
        assert (last.asked, last.worth, last.proven) == (best.asked, best.worth, True), seed
    assert told > 4
