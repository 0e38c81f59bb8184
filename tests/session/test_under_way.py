"""Work under way is gone on with when the rest of a session is planned anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest
from tests.session.generate import project_of, question_of
from tests.session.small import START, project, proved, question, task

from fitup.acts.asking import make_question
from fitup.model.apply import apply
from fitup.model.edits import StartClock
from fitup.model.plan import ThreePoint
from fitup.model.progress import Project
from fitup.model.sheet import Wishes
from fitup.readiness import judge
from fitup.session import plan_session
from fitup.session.audit import audit
from fitup.session.cpsat import prove
from fitup.session.planning import Planning
from fitup.session.proving import Prover
from fitup.session.sheets import planned_lines


def shop() -> Project:
    """Return three tasks: one worth little, one worth much, one that may be wished for."""
    dull, rich, wish = (
        task("dull", minutes=ThreePoint(30, 30, 30), filler=True),
        task("rich", minutes=ThreePoint(60, 60, 60)),
        task("wish", minutes=ThreePoint(50, 50, 50)),
    )
    return project(dull, rich, wish)


def test_a_task_begun_is_the_first_line_though_other_work_is_worth_more() -> None:
    asked = question(60)
    assert [line.task for line in plan_session(shop(), asked).lines] == ["rich"]
    kept = question(60, under_way=("dull",))
    sheet = plan_session(shop(), kept)
    assert (sheet.lines[0].task, sheet.lines[0].begin, sheet.lines[0].why) == ("dull", 0, "it is under way")
    assert audit(shop(), kept, sheet) == ()


def test_a_task_begun_is_not_dropped_for_a_wish_nor_by_the_proof() -> None:
    asked = question(60, under_way=("dull",), first=("wish",), limit=20)
    with Prover() as prover:
        sheet = proved(shop(), asked, prover)
    assert [line.task for line in sheet.lines] == ["dull"]
    assert sheet.proven
    both = plan_session(shop(), question(100, under_way=("dull",), first=("wish",)))
    assert [line.task for line in both.lines] == ["dull", "wish"]


def test_part_of_a_task_begun_is_kept_where_there_is_no_time_for_all() -> None:
    holes = project(task("holes", "drill", count=200), task("rich", minutes=ThreePoint(30, 30, 30)))
    sheet = plan_session(holes, question(60, under_way=("holes",)))
    assert sheet.lines[0].task == "holes"


def test_a_running_clock_tells_what_is_under_way_now_but_not_tomorrow() -> None:
    running = apply(shop(), StartClock("dull", START), "Robin", START)
    now = START + timedelta(minutes=20)
    assert make_question(running, now, Wishes(minutes=60)).under_way == ("dull",)
    assert make_question(running, now, Wishes(minutes=60, without=("dull",))).under_way == ()
    tomorrow = Wishes(minutes=60, start=START + timedelta(days=1))
    assert make_question(running, now, tomorrow).under_way == ()
    late = Wishes(minutes=60, under_way=("rich", "gone"))
    assert make_question(shop(), now, late).under_way == ("rich",)


@pytest.mark.parametrize("block", range(3))
def test_all_work_begun_that_can_be_gone_on_with_is_on_every_sheet_the_first_of_it_first(block: int) -> None:
    compared = 0
    for seed in range(block * 60, block * 60 + 60):
        found = project_of(seed, 7, share_done=0.25, tiny=True, few=True)
        asked = question_of(seed, (30, 45, 60)[seed % 3])
        free = [name for name, state in judge(found, asked.start).states.items() if state in ("ready", "under way")]
        random = Random(seed)
        random.shuffle(free)
        asked = replace(asked, under_way=tuple(free[:2]), first=tuple(free[2:3]) if seed % 2 else ())
        planning = Planning(found, asked)
        sheet = planning.sheet(*planning.at_once())
        assert audit(found, asked, sheet) == (), seed
        proof = prove(planning.true_limits)
        assert proof is not None
        proved = planning.sheet(planning.true_limits, planned_lines(planning.true_limits, proof.lines))
        assert audit(found, asked, proved) == (), seed
        assert planning.rank(sheet.lines) <= planning.rank(proved.lines) == (proof.asked, proof.worth), seed
        compared += len(free) > 1
    assert compared > 8
