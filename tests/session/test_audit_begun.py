"""The audit's rule for work under way: each way of breaking it is reported, and what is bearable is accepted."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from tests.session.small import faults_of, line, project, question, task

from fitup.model.plan import ThreePoint
from fitup.model.sheet import Line, Question
from fitup.session import plan_session
from fitup.session.audit import audit

DULL = task("dull", minutes=ThreePoint(30, 30, 30), filler=True)
RICH = task("rich", minutes=ThreePoint(60, 60, 60))
SHOP = project(DULL, RICH, task("wish", minutes=ThreePoint(50, 50, 50)))
HOLES = project(task("holes", "drill", count=200), task("fit"))


def test_work_under_way_must_not_be_dropped() -> None:
    asked = question(60, under_way=("dull",))
    assert faults_of(SHOP, asked, line("dull", 0, 30)) == ()
    assert faults_of(SHOP, asked, line("rich", 0, 60)) == ("Dull is under way, and the sheet does not go on with it.",)
    assert faults_of(SHOP, asked) == ("Dull is under way, and the sheet does not go on with it.",)


def test_work_under_way_comes_before_other_work() -> None:
    asked = question(120, under_way=("dull",))
    assert faults_of(SHOP, asked, line("dull", 0, 30), line("rich", 30, 90)) == ()
    assert faults_of(SHOP, asked, line("dull", 5, 35), line("rich", 35, 95)) == (), "a pause is no other work"
    (said,) = faults_of(SHOP, asked, line("rich", 0, 60), line("dull", 60, 90))
    assert said == "Rich begins before Dull, which is under way."


def test_a_wish_does_not_displace_work_under_way() -> None:
    asked = question(60, under_way=("dull",), first=("wish",))
    assert faults_of(SHOP, asked, line("dull", 0, 30)) == ()
    assert "Dull is under way" in faults_of(SHOP, asked, line("wish", 0, 50))[0]


def test_part_of_what_may_be_split_is_enough() -> None:
    asked = question(60, under_way=("holes",))
    assert faults_of(HOLES, asked, line("holes", 0, 23, 15, set_up=5, clean_up=3), line("fit", 23, 33)) == ()
    assert "Holes is under way" in faults_of(HOLES, asked, line("fit", 0, 10))[0]


@pytest.mark.parametrize(
    "asked",
    [
        question(25, under_way=("dull",)),
        question(60, under_way=("dull",), without=("dull",)),
        question(60, under_way=("gone",)),
    ],
)
def test_what_cannot_be_gone_on_with_is_not_asked_for(asked: Question) -> None:
    assert faults_of(SHOP, asked) == ()


def test_held_loud_and_two_person_work_is_asked_for_only_when_it_may_be_done() -> None:
    held = project(task("rib"), task("skin", after=["rib"]))
    assert faults_of(held, question(under_way=("skin",))) == ()
    assert faults_of(HOLES, question(under_way=("holes",), quiet_from=0)) == ()
    pair = project(task("rivets", "buck", count=10))
    assert faults_of(pair, question(under_way=("rivets",))) == ()
    assert faults_of(pair, question(under_way=("rivets",), helper=((0, 60),))) != ()


def test_of_several_begun_the_earliest_counts_and_the_rest_where_there_is_time() -> None:
    asked = question(60, under_way=("dull", "rich"))
    assert faults_of(SHOP, asked, line("dull", 0, 30)) == (), "both together take 90 minutes"
    assert "Dull is under way" in faults_of(SHOP, asked, line("rich", 0, 60))[0]
    longer = replace(asked, minutes=90)
    assert "Rich is under way" in faults_of(SHOP, longer, line("dull", 0, 30))[0]
    assert faults_of(SHOP, longer, line("dull", 0, 30), line("rich", 30, 90)) == ()


def test_every_mutation_of_a_sheet_that_touches_the_work_under_way_is_found() -> None:
    chance = random.Random(5)
    for _ in range(40):
        tasks = [task(f"t{n}", minutes=ThreePoint(m, m, m)) for n, m in enumerate(chance.choices((10, 20, 30), k=5))]
        found = project(*tasks)
        asked = question(60, under_way=(chance.choice(tasks).id,))
        sheet = plan_session(found, asked)
        assert audit(found, asked, sheet) == ()
        begun = next(x for x in sheet.lines if x.task == asked.under_way[0])
        dropped = [x for x in sheet.lines if x is not begun]
        assert len(faults_of(found, asked, *dropped)) == 1
        if dropped:
            assert any("is under way" in says for says in faults_of(found, asked, *_last(sheet.lines, begun)))


def _last(lines: tuple[Line, ...], begun: Line) -> list[Line]:
    """Return the lines with one moved behind all others, no minute of them lost."""
    minute = 0
    moved = []
    for each in [*(x for x in lines if x is not begun), begun]:
        moved.append(replace(each, begin=minute, end=minute + each.end - each.begin))
        minute = moved[-1].end
    return moved
