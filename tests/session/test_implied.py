"""The order that a taken jig imposes: it loses no sheet, and says what has to come first."""

from __future__ import annotations

from dataclasses import replace

from ortools.sat.python import cp_model
from tests.session.frames import job as made_job
from tests.session.frames import made
from tests.session.generate import project_of, question_of

from fitup.session.candidates import problem_of
from fitup.session.cpsat import prove
from fitup.session.exact_model import Model
from fitup.session.implied import with_implied_order
from fitup.session.narrowed import Narrowed
from fitup.session.problem import Candidate, Frame, Occupation


def job(index: int, *before: int, group: str = "", tools: tuple[str, ...] = ()) -> Candidate:
    """Return a job of ten minutes."""
    plain = made_job(index, "fit", 10, (0, 0), *before, group=group)
    return replace(plain, tools=tools)


def jobs(*candidates: Candidate, jigs: int = 1, until: int | None = 1, serves: tuple[int, ...] = ()) -> Frame:
    """Return a session of these jobs and so many jigs; one was left full before it, until a job is done."""
    taken = (Occupation("jig", None, until, frozenset(serves)),)
    return replace(made(60, *candidates), have_tools={"jig": jigs}, occupations=taken)


def told(frame: Frame) -> dict[int, set[int]]:
    """Return what is left, by its former index, with what it waits for."""
    found = with_implied_order(frame)
    return {
        old: {found.old[index] for index, _ in c.before}
        for old, c in zip(found.old, found.frame.candidates, strict=True)
    }


JIG = ("jig",)


def test_what_needs_the_jig_waits_for_what_gives_it_back() -> None:
    assert told(jobs(job(0, tools=JIG), job(1), job(2, tools=JIG))) == {1: set(), 0: {1}, 2: {1}}


def test_of_two_jigs_one_is_free() -> None:
    assert told(jobs(job(0, tools=JIG), job(1), jigs=2)) == {0: set(), 1: set()}


def test_what_works_on_what_lies_in_the_jig_need_not_wait() -> None:
    assert told(jobs(job(0, tools=JIG), job(1), serves=(0,))) == {0: set(), 1: set()}


def test_what_the_giving_back_waits_for_cannot_have_the_jig_and_neither_can_be_done() -> None:
    assert told(jobs(job(0, tools=JIG), job(1, 0), job(2))) == {2: set()}


def test_without_anything_to_give_it_back_nothing_has_the_jig_nor_the_rest_of_its_one_go() -> None:
    frame = jobs(job(0, group="g", tools=JIG), job(1, group="g"), job(2), until=None)
    assert told(frame) == {2: set()}


def test_what_comes_too_late_by_that_order_is_left_off_and_all_else_is_not() -> None:
    long = replace(job(1), rate=55)
    proof = Model(with_implied_order(jobs(job(0, tools=JIG), long, job(2))).frame, cp_model).solve(10)
    assert proof is not None
    assert sum(line.end - line.begin for line in proof.lines) == 55


def test_no_sheet_is_lost() -> None:
    ruled_out = ordered = 0
    for seed in range(60):
        frame = problem_of(project_of(seed, 50, parts_open=0.4, share_done=0.5), question_of(seed, 90)).frame()
        found = with_implied_order(frame)
        whole = prove(frame)
        left = Model(found.frame, cp_model).solve(10)
        if whole is None or not whole.proven:
            continue
        assert left is not None
        assert left.proven
        assert (left.asked, left.worth) == (whole.asked, whole.worth), seed
        before = {c.index: len(c.before) for c in frame.candidates}
        ruled_out += len(frame.candidates) - len(found.old)
        ordered += sum(len(c.before) > before[old] for old, c in zip(found.old, found.frame.candidates, strict=True))
    assert ruled_out > 0
    assert ordered > 0


def test_without_a_taken_tool_nothing_changes() -> None:
    frame = replace(jobs(job(0), job(1, 0), job(2, tools=JIG)), occupations=())
    assert with_implied_order(frame).frame == Narrowed(frame, range(3)).frame
