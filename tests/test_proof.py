"""Proofs behind the faces: begun at once, polled without waiting, gone when not wanted, never a worse sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from time import monotonic
from types import SimpleNamespace
from typing import cast

import pytest
from tests.shop_floor import Wall, open_desk

from fitup import desk_proof
from fitup.desk import Desk
from fitup.desk_prepare import preparations
from fitup.desk_proof import Proofs, settled_session, standing_words, why_not
from fitup.model.sheet import Line, Sheet, Wishes
from fitup.session.audit import audit
from fitup.session.proving import Prover

WISHES = Wishes(minutes=120, celsius=24, limit=20)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    opened = open_desk(tmp_path, Wall())
    yield opened
    opened.close()


def test_the_first_sheet_is_there_at_once_and_the_proof_follows(desk: Desk) -> None:
    question = desk.question(WISHES)
    first = desk.session(question)
    with Proofs() as proofs:
        proof = proofs.start(desk, question)
        assert proof.sheet.lines == first.lines
        assert proof.sheet.bound is None
        assert proof.running
        assert not proof.poll()  # the process is still loading, and nobody waits for it
        while proof.running:
            proof.poll(0.5)
        again = proofs.start(desk, replace(question, minutes=60))
        while again.running:
            again.poll(0.5)
    for sheet in (proof.sheet, again.sheet):
        assert sheet.proven
        assert sheet.bound == sheet.worth
        assert audit(desk.project, sheet.question, sheet) == ()
    assert proof.sheet.worth >= first.worth


def test_a_proof_no_longer_wanted_is_gone_with_its_process(desk: Desk) -> None:
    proofs = Proofs()
    proof = proofs.start(desk, desk.question(WISHES))
    prover = proofs._prover
    assert prover is not None
    begun = monotonic()
    proofs.stop()
    assert monotonic() - begun < 5  # killed, not waited for: it would still be loading its solver
    assert not proof.running
    assert not proof.poll()
    assert prover._process.poll() is not None
    assert proof.sheet.lines


def test_a_solver_that_ends_by_itself_proves_nothing_and_the_next_question_gets_another(desk: Desk) -> None:
    question = desk.question(WISHES)
    with Proofs() as proofs:
        proof = proofs.start(desk, question)
        first = proof.sheet
        assert proofs._prover is not None
        proofs._prover._process.kill()
        while proof.running:
            proof.poll(0.5)
        assert proof.sheet.lines == first.lines
        assert not proof.sheet.proven
        again = proofs.start(desk, question)
        while again.running:
            again.poll(0.5)
        assert again.sheet.proven


def test_a_solver_whose_pipes_are_closed_has_ended_though_the_system_does_not_count_it_as_gone_yet(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with Prover() as prover:
        monkeypatch.setattr(prover._process, "poll", lambda: None)
        assert not prover.ended
        prover._process.kill()
        answer = prover.answer(30)
        assert answer is not None
        assert answer.final
        assert prover.ended
        monkeypatch.undo()


def test_a_new_question_stops_the_proof_of_the_former(desk: Desk) -> None:
    with Proofs() as proofs:
        former = proofs.start(desk, desk.question(WISHES))
        prover = proofs._prover
        proofs.start(desk, desk.question(replace(WISHES, minutes=60)))
        assert not former.running
        assert prover is not None
        assert prover._process.poll() is not None


def test_without_a_solver_the_sheet_is_there_and_not_proven(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk_proof, "find_spec", lambda name: None)
    sheet = settled_session(desk, desk.question(WISHES))
    assert sheet.lines
    assert (sheet.bound, sheet.proven) == (None, False)
    assert standing_words(sheet) == "not proven"


def test_a_limit_of_nothing_asks_for_the_first_sheet_only(desk: Desk) -> None:
    question = desk.question(replace(WISHES, limit=0))
    assert settled_session(desk, question) == desk.session(question)


def test_a_sure_sheet_keeps_its_chance_and_stays_below_its_bound(desk: Desk) -> None:
    question = desk.question(replace(WISHES, sure=0.8, minutes=60))
    first = desk.session(question)
    sheet = settled_session(desk, question)
    assert sheet.chance >= 0.8
    assert sheet.worth >= first.worth
    assert sheet.bound is not None
    assert sheet.worth <= sheet.bound


def test_how_good_a_sheet_is_known_to_be_is_said_in_words(desk: Desk) -> None:
    sheet = desk.session(desk.question(replace(WISHES, limit=0)))
    worth = sheet.worth
    assert standing_words(replace(sheet, bound=worth, proven=True)) == "proven best"
    assert standing_words(replace(sheet, bound=2 * worth)) == "within 50.0 % of the best possible"
    assert standing_words(replace(sheet, bound=worth + 1)) == "within 0.1 % of the best possible"
    assert standing_words(Sheet(sheet.question)) == "not proven"


def test_why_a_task_is_not_there_is_found_by_putting_it_there(desk: Desk) -> None:
    sheet = settled_session(desk, desk.question(replace(WISHES, minutes=30, clean_up=0)))
    assert "wire" not in {line.task for line in sheet.lines}
    found = why_not(desk, sheet, "wire")
    assert found.instead is not None
    assert "wire" in {line.task for line in found.instead.lines}
    assert audit(desk.project, found.instead.question, found.instead) == ()
    assert found.proven
    assert found.loss is not None
    assert found.loss >= 0
    assert why_not(desk, sheet, sheet.lines[0].task).why.startswith("it is on the sheet")
    held = why_not(desk, sheet, "hinge")
    assert held.instead is None
    assert held.why


def test_what_to_make_ready_speaks_of_the_shop_and_of_what_two_people_need(desk: Desk) -> None:
    plan = desk.project.plan
    tasks = tuple(
        replace(task, temperature=(21, 32))
        if task.id == "bead"
        else replace(task, crew=2)
        if task.id == "twist"
        else task
        for task in plan.tasks
    )
    warm = SimpleNamespace(project=replace(desk.project, plan=replace(plan, tasks=tasks)))
    lines = (Line("bead", 1, 0, 12), Line("cleco", 20, 12, 20), Line("twist", 1, 20, 35, who="both"))
    sheet = Sheet(desk.question(WISHES), lines, two_people_minutes=15)
    assert preparations(cast(Desk, warm), sheet) == (
        "Shop at 21 C by 09:00 for Lay the bead.",
        "With two from 09:20, 15 min: Check for twist.",
        "Ready by then: Cleco the skin [front].",
    )
