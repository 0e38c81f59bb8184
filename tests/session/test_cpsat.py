"""The exact planner against exhaustive search, the audit and random sheets that the audit accepts."""

from __future__ import annotations

import pickle
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from random import Random

import pytest
from tests.session.brute import best_of
from tests.session.generate import project_of, question_of, wishes_of
from tests.session.small import proved

from fitup.estimate import clean_up_of, set_up_of, unit_time, whole_minutes
from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question, Who
from fitup.session import audit, plan_session
from fitup.session.audit import faults, standing_at
from fitup.session.audit_case import Standing
from fitup.session.candidates import problem_of
from fitup.session.cpsat import prove, stages
from fitup.session.greedy import Greedy
from fitup.session.narrowed import Narrowed
from fitup.session.planned import planned_of
from fitup.session.problem import Problem
from fitup.session.proving import Prover
from fitup.session.sheets import planned_lines
from fitup.session.worth import scale_of, terms_of

MOST_ORDERS = 5000


def tiny(seed: int) -> tuple[Project, Question]:
    """Return a session of some seven tasks with every rule in them."""
    found = project_of(seed, 7, share_done=0.25, tiny=True, few=True)
    return found, wishes_of(seed, found, question_of(seed, (30, 45, 60, 75)[seed % 4]))


def problems(seeds: range) -> Iterator[tuple[int, Problem, Standing]]:
    for seed in seeds:
        found, asked = tiny(seed)
        scale = scale_of(found, asked)
        problem = problem_of(found, asked, scale=scale)
        if 1 <= len(problem.candidates) <= 6:
            yield seed, problem, standing_at(found, asked, readiness=scale.readiness)


@pytest.mark.parametrize("seeds", [range(25), range(25, 50), range(50, 75), range(75, 100), range(2490, 2515)])
def test_the_proof_equals_exhaustive_search_and_greedy_never_beats_it(seeds: range) -> None:
    compared = 0
    for seed, problem, standing in problems(seeds):
        whole = problem_of(standing.project, standing.question, scale=problem.scale, prune=False)
        best = best_of(whole if len(whole.candidates) <= 6 else problem, standing, MOST_ORDERS)
        proof = prove(problem)
        assert proof is not None
        assert proof.proven
        assert proof.bound == proof.worth
        assert faults(standing, planned_lines(problem, proof.lines)) == (), seed
        greedy = Greedy(problem)
        assert greedy.rank(greedy.best(10)) <= (proof.asked, proof.worth), seed
        last, final = list(stages(problem.frame(), (), 20, workers=1 + seed % 2))[-1]
        assert final
        assert last is not None
        assert (last.asked, last.worth, last.bound) == (proof.asked, proof.worth, proof.worth), seed
        if best is not None:
            assert (proof.asked, proof.worth) == best.rank, seed
            compared += 1
    assert compared > 8


def random_sheet(random: Random, standing: Standing) -> tuple[Line, ...]:
    """Return lines of open tasks taken at random, one behind another, with set-ups where they belong."""
    plan, found = standing.plan, standing.project
    tasks = [task for task in plan.tasks if not found.done(task.id)]
    chosen = random.sample(tasks, min(len(tasks), random.randint(1, 5)))
    if random.random() < 0.8:
        chosen.sort(key=lambda task: plan.position[task.id])
    lines: list[Line] = []
    for place, task in enumerate(chosen):
        before, after = _stay(chosen, place)
        left = found.open_count(task.id)
        count = random.randint(1, left) if plan.splits(task) and random.random() < 0.5 else left
        timed = task.minutes is None
        set_up = set_up_of(plan, task) if timed and not any(t.minutes is None for t in before) else 0
        clean_up = clean_up_of(plan, task) if timed and not any(t.minutes is None for t in after) else 0
        who: Who = "both" if plan.crew_of(task) >= 2 else "builder"
        begin = lines[-1].end if lines else 0
        if random.random() < 0.2:
            begin += random.choice((5, 10, 20))
        length = set_up + whole_minutes(unit_time(plan, task).likely, count) + clean_up
        lines.append(Line(task.id, count, begin, begin + length, set_up, clean_up, who))
    return tuple(lines)


def _stay(chosen: list[Task], place: int) -> tuple[list[Task], list[Task]]:
    first = last = place
    while first > 0 and chosen[first - 1].work == chosen[place].work:
        first -= 1
    while last + 1 < len(chosen) and chosen[last + 1].work == chosen[place].work:
        last += 1
    return chosen[first:place], chosen[place + 1 : last + 1]


def test_no_sheet_that_the_audit_accepts_is_worth_more_than_the_proof_says() -> None:
    random = Random(3)
    accepted = 0
    for seed, problem, standing in problems(range(500, 540)):
        proof = prove(problem)
        assert proof is not None
        for _ in range(150):
            lines = random_sheet(random, standing)
            if faults(standing, lines):
                continue
            accepted += 1
            per_line, whole = terms_of(problem.scale, lines)
            worth = sum(v for terms in per_line for _, v in terms) + sum(v for _, v in whole)
            asked = sum(line.work_minutes for line in lines if line.task in standing.question.first)
            assert (asked, worth) <= (proof.asked, proof.worth), seed
    assert accepted > 100


@pytest.mark.parametrize("seed", [*range(600, 612), 2799])
def test_pruning_loses_no_optimum(seed: int) -> None:
    found, asked = tiny(seed)
    pruned = prove(problem_of(found, asked))
    whole = prove(problem_of(found, asked, prune=False))
    assert pruned is not None
    assert whole is not None
    assert (pruned.asked, pruned.worth) == (whole.asked, whole.worth)


@pytest.mark.parametrize("seed", [160, 290, 328])
def test_stock_may_be_used_up_to_the_last_bit(seed: int) -> None:
    """A third and a forty-second of something come to a whole again, however they are cut."""
    found = project_of(seed, 24, share_done=0.3, tiny=True, parts_open=0.3)
    problem = problem_of(found, wishes_of(seed, found, question_of(seed)))
    proof = prove(problem)
    last, _ = list(stages(problem.frame(), (), 20))[-1]
    assert proof is not None
    assert last is not None
    assert last.proven
    assert (proof.asked, proof.worth) == (last.asked, last.worth)


def test_a_session_seen_through_some_candidates_is_accepted_and_never_worth_more() -> None:
    random = Random(5)
    for seed, problem, standing in problems(range(700, 730)):
        whole = prove(problem)
        everything = Narrowed(problem, range(len(problem.candidates)))
        assert everything.frame == problem.frame(), seed
        kept = random.sample(range(len(problem.candidates)), (len(problem.candidates) + 1) // 2)
        some = Narrowed(problem, kept)
        part = prove(some.frame)
        assert whole is not None
        assert part is not None
        lines = some.outside(part.lines)
        assert some.inside(lines) == part.lines
        assert faults(standing, planned_lines(problem, lines)) == (), seed
        assert (part.asked, part.worth) <= (whole.asked, whole.worth), seed


@pytest.mark.parametrize("seed", range(200, 203))
def test_every_step_on_the_way_is_accepted_and_only_the_last_is_final(seed: int) -> None:
    found = project_of(seed, 60, parts_open=0.3, share_done=0.5)
    asked = question_of(seed, 180)
    problem = problem_of(found, asked)
    standing = standing_at(found, asked)
    draft = Greedy(problem).best(5)
    answers = list(stages(problem.frame(), planned_of(draft), 1.5))
    assert [final for _, final in answers] == [False] * (len(answers) - 1) + [True]
    for proof, _ in answers:
        if proof is not None:
            assert faults(standing, planned_lines(problem, proof.lines)) == ()


@pytest.mark.parametrize("seed", range(5))
def test_larger_sessions_are_accepted_and_their_bounds_hold(seed: int) -> None:
    found = project_of(seed, 150, parts_open=0.04, share_done=0.5)
    asked = question_of(seed, 60)
    problem = problem_of(found, asked)
    greedy = Greedy(problem)
    draft = greedy.best()
    proof = prove(problem, planned_of(draft), limit=2)
    if proof is not None:
        lines = planned_lines(problem, proof.lines)
        assert faults(standing_at(found, asked), lines) == ()
        assert greedy.rank(draft)[1] <= proof.bound
        assert proof.worth <= proof.bound


def test_a_session_is_proved_in_a_process_of_its_own() -> None:
    found, asked = tiny(3)
    with Prover() as prover:
        for limit in (10.0, 5.0):
            sheet = proved(found, replace(asked, limit=limit), prover)
            assert sheet.proven
            assert sheet.bound == sheet.worth
            assert sheet.worth >= plan_session(found, asked).worth
            assert audit(found, asked, sheet) == ()
            assert all(line.why for line in sheet.lines)


def test_a_proof_that_is_no_longer_wanted_is_gone() -> None:
    prover = Prover()
    problem = problem_of(*tiny(3))
    prover.ask(problem, (), 60)
    prover.stop()
    answer = prover.answer(5)
    while answer is not None and not answer.final:
        answer = prover.answer(5)
    assert answer is not None


def test_the_process_ends_with_whoever_asked_it_also_in_the_middle_of_a_proof() -> None:
    found = project_of(4, 900, parts_open=0.05, share_done=0.4)
    problem = problem_of(found, question_of(4, 480))
    command = [sys.executable, "-m", "fitup.session.cpsat"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdin is not None
        pickle.dump((problem.frame(), (), 600.0), process.stdin)
        process.stdin.close()
        assert process.wait(timeout=60) == 0


def test_the_process_ends_with_whoever_asked_it_also_before_the_solver_is_loaded() -> None:
    said = """
import io, os, sys
from fitup.session.cpsat import serve

def ended():
    print("cp_model" in vars(sys.modules.get("ortools.sat.python", sys)), flush=True)
    os._exit(0)

serve(io.BytesIO(), io.BytesIO(), ended)
"""
    done = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False"]
