"""What the answer to an act tells besides the act: clocks that run, and what a waiver lets go."""

from __future__ import annotations

from pathlib import Path

from tests.shop_floor import NINE, PLAN, Wall, open_desk

from fitup.desk import Desk
from fitup.model import asks as a
from fitup.readiness import HoldState

LOCKED = PLAN.replace('after = ["cleco"]\n\n[task.check]', 'after = ["cleco", "wire"]\n\n[task.check]')
"""The check waits for two tasks."""


def hold(desk: Desk, task: str, kind: str) -> HoldState:
    return next(found for found in desk.readiness().holds[task] if found.kind == kind)


def waive_check(desk: Desk) -> tuple[str, ...]:
    return desk.do(a.AskWaive("rivet", "check", "looked straight", second="Sam")).warnings


def test_waiving_a_check_names_the_work_before_it_that_nothing_else_waits_for(desk: Desk) -> None:
    says = ("Mind: the check waited for cleco, which is not done; nothing else holds rivet for it",)
    assert desk.let_go(hold(desk, "rivet", "check")) == says, "it can be told before the waiver"
    assert waive_check(desk) == says
    assert desk.let_go(hold(desk, "rivet", "check")) == says, "and afterwards as long as it is so"


def test_the_log_keeps_what_a_waiver_let_go_when_the_work_has_long_been_done(desk: Desk) -> None:
    waive_check(desk)
    desk.do(a.AskTick("cleco"))
    assert desk.let_go(hold(desk, "rivet", "check")) == ()
    told = [says for entry, _, says in desk.told_journal() if entry.name == "waive"]
    assert told[0].endswith("; not done then, and holding it no more: cleco")


def test_what_holds_the_task_by_another_way_is_not_let_go(tmp_path: Path, wall: Wall) -> None:
    desk = open_desk(tmp_path, wall, LOCKED)
    assert waive_check(desk) == (
        "Mind: the check waited for cleco, which is not done; nothing else holds rivet for it",
    ), "wire is inside the bay that rivet closes"


def test_a_check_that_could_be_made_now_lets_nothing_go(desk: Desk) -> None:
    desk.do(a.AskTick("cleco"))
    assert waive_check(desk) == ()


def test_a_cure_that_only_the_check_waited_for_is_named_with_its_end(tmp_path: Path, wall: Wall) -> None:
    cure = 'holds = [{kind = "cure", until = "mix", hours = 24}]\n\n[task.check]'
    desk = open_desk(tmp_path, wall, PLAN.replace('after = ["cleco"]\n\n[task.check]', cure))
    desk.do(a.AskTick("mix"))
    assert waive_check(desk) == (
        "Mind: the check waited for the cure of mix (until Sun 09:00); nothing else holds rivet for it",
    )


def test_the_review_tells_of_a_waived_check_until_the_work_before_it_is_done(desk: Desk) -> None:
    waive_check(desk)
    (finding,) = (found for found in desk.review() if found.rule == "waived")
    assert (finding.level, finding.where) == ("warning", "rivet")
    assert "waited for cleco" in finding.says
    desk.do(a.AskTick("cleco"))
    assert [found for found in desk.review() if found.rule == "waived"] == []


def test_redoing_a_waiver_warns_again_and_undoing_it_does_not(desk: Desk) -> None:
    warned = waive_check(desk)
    assert desk.do(a.AskUndo()).warnings == ()
    assert desk.do(a.AskRedo()).warnings == warned


def test_a_tick_tells_when_the_work_was_finished_and_what_cures_until_when(desk: Desk) -> None:
    outcome = desk.do(a.AskTick("glue-rib"))
    assert outcome.finished_at == NINE
    assert [one.says for one in outcome.started] == ["cures until 21:00; rivet waits for it"]


def test_a_tick_tells_by_when_a_window_must_be_met_and_from_when_it_counts(desk: Desk) -> None:
    outcome = desk.do(a.AskTick("mix", minutes=6))
    assert [one.says for one in outcome.started] == ["counted from 08:54: bead must be finished by 10:54"]


def test_a_tick_of_the_rest_tells_of_no_window_that_was_open_already(tmp_path: Path, wall: Wall) -> None:
    desk = open_desk(tmp_path, wall, PLAN.replace('work = "mix"', 'work = "mix"\ncount = 2'))
    assert desk.do(a.AskTick("mix", count=1)).started
    assert desk.do(a.AskTick("mix", count=1)).started == ()
