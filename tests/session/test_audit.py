"""The audit: each rule broken on purpose is reported, and the same sheet put right is accepted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.session.small import START, faults_of, line, project, question, task

from fitup.model.plan import ClecoLoan, Hold, Occupy, ThreePoint, Within
from fitup.model.progress import Progress, Project, TaskProgress, Waiver
from fitup.model.sheet import Line, Question

Lines = Sequence[Line]


def check(found: Project, asked: Question, good: Lines, bad: Lines, words: str) -> None:
    """The good sheet is accepted; of the bad one the audit says these words."""
    assert faults_of(found, asked, *good) == ()
    said = faults_of(found, asked, *bad)
    assert any(words in sentence for sentence in said), said


ONE = project(task("rib"))
TWO = project(task("rib"), task("skin", after=["rib"]))
HOLES = project(task("holes", "drill", count=30))
PAIR = project(task("rivets", "buck", count=10))


@pytest.mark.parametrize(
    ("found", "asked", "good", "bad", "words"),
    [
        (ONE, question(), [line("rib", 0, 10)], [line("spar", 0, 10)], "no task 'spar'"),
        (ONE, question(), [line("rib", 0, 10)], [line("rib", 0, 10), line("rib", 10, 20)], "twice"),
        (project(task("rib"), done=["rib"]), question(), [], [line("rib", 0, 10)], "done already"),
        (ONE, question(), [line("rib", 0, 10)], [line("rib", -5, 5)], "whole minutes"),
        (ONE, question(), [line("rib", 0, 10)], [line("rib", 0, 9)], "takes 10 min and has 9 min"),
        (ONE, question(10), [line("rib", 0, 10)], [line("rib", 1, 11)], "ends 1 min after"),
        (ONE, question(20, clean_up=5), [line("rib", 5, 15)], [line("rib", 6, 16)], "ends 1 min after"),
        (ONE, question(without=("rib",)), [], [line("rib", 0, 10)], "was to be left out"),
        (TWO, question(), [line("rib", 0, 10), line("skin", 10, 20)], [line("skin", 10, 20)], "does not finish"),
        (
            TWO,
            question(),
            [line("rib", 0, 10), line("skin", 10, 20)],
            [line("skin", 0, 10), line("rib", 10, 20)],
            "20 min too early",
        ),
        (
            HOLES,
            question(),
            [line("holes", 0, 38, 30, set_up=5, clean_up=3)],
            [line("holes", 0, 39, 31, set_up=5, clean_up=3)],
            "30 left to do",
        ),
        (
            HOLES,
            question(),
            [line("holes", 0, 23, 15, set_up=5, clean_up=3)],
            [line("holes", 0, 22, 14, set_up=5, clean_up=3)],
            "fewer than 15",
        ),
        (
            project(task("holes", "drill", count=30, split=False)),
            question(),
            [line("holes", 0, 38, 30, set_up=5, clean_up=3)],
            [line("holes", 0, 33, 25, set_up=5, clean_up=3)],
            "half way",
        ),
        (
            HOLES,
            question(),
            [line("holes", 0, 38, 30, set_up=5, clean_up=3)],
            [line("holes", 0, 35, 30, set_up=5)],
            "should have 5 and 3",
        ),
        (
            HOLES,
            question(quiet_from=40),
            [line("holes", 2, 40, 30, set_up=5, clean_up=3)],
            [line("holes", 3, 41, 30, set_up=5, clean_up=3)],
            "is loud",
        ),
        (
            PAIR,
            question(helper=((30, 60),)),
            [line("rivets", 30, 46, 10, "both", set_up=4, clean_up=2)],
            [line("rivets", 50, 66, 10, "both", set_up=4, clean_up=2)],
            "needs a helper from",
        ),
        (
            PAIR,
            question(helper=((30, 60),)),
            [line("rivets", 44, 60, 10, "both", set_up=4, clean_up=2)],
            [line("rivets", 30, 46, 10, set_up=4, clean_up=2)],
            "needs two people",
        ),
        (
            project(task("rib")),
            question(helper=((0, 60),)),
            [line("rib", 0, 10)],
            [line("rib", 0, 10, who="helper")],
            "not work for a helper alone",
        ),
        (
            project(task("edges", "deburr", count=20)),
            question(helper=((0, 60),)),
            [line("edges", 40, 60, 20, "helper")],
            [line("edges", 41, 61, 20, "helper")],
            "needs a helper from",
        ),
        (
            project(task("rib"), task("skin")),
            question(),
            [line("rib", 0, 10), line("skin", 10, 20)],
            [line("rib", 0, 10), line("skin", 9, 19)],
            "at once",
        ),
    ],
)
def test_one_rule_broken_is_reported(found: Project, asked: Question, good: Lines, bad: Lines, words: str) -> None:
    check(found, asked, good, bad, words)


@pytest.mark.parametrize(
    "hold",
    [
        Hold("sign-off", by="inspector", why="inspection before closing"),
        Hold("stop", why="ask the maker first"),
        Hold("supply", item="goo", quantity=500),
    ],
)
def test_what_waits_for_the_world_outside_cannot_be_planned(hold: Hold) -> None:
    assert faults_of(project(task("rib", holds=[hold])), question(), line("rib", 0, 10))


def test_a_hold_that_is_waived_needs_no_order() -> None:
    waiver = Waiver("skin", "after", "rib", "fits anyway", "Robin", START)
    waived = Project(TWO.plan, Progress(waivers={("skin", "after", "rib"): waiver}))
    assert faults_of(waived, question(), line("skin", 0, 10)) == ()


def test_a_cure_started_in_the_session_keeps_its_minutes() -> None:
    found = project(task("glue"), task("sand", holds=[Hold("cure", until="glue", hours=0.5)]))
    good = [line("glue", 0, 10), line("sand", 40, 50)]
    check(found, question(), good, [line("glue", 0, 10), line("sand", 39, 49)], "cured")


def test_a_cure_from_earlier_is_waited_for() -> None:
    cured = task("sand", holds=[Hold("cure", until="glue", hours=1.5)])
    found = project(task("glue"), cured, done=["glue"])
    check(found, question(), [line("sand", 30, 40)], [line("sand", 29, 39)], "a cure runs until")


def test_a_witnessed_cure_waits_for_a_persons_word() -> None:
    cured = task("sand", holds=[Hold("cure", until="glue", hours=0.5, witness=True)])
    assert faults_of(project(task("glue"), cured, done=["glue"]), question(), line("sand", 30, 40))


def window(hours: float, start: str = "begin", margin: float = 0) -> Within:
    return Within("mix", hours, "finish" if start == "finish" else "begin", margin)


def test_a_window_from_begin_is_met_with_the_high_time_and_the_margin() -> None:
    # 10 min likely, 15 high: 5 min over, and 10 min of margin
    found = project(task("mix", "mix"), task("seal", within=(window(1, margin=10),)))
    good = [line("mix", 0, 10), line("seal", 35, 45)]
    check(found, question(), good, [line("mix", 0, 10), line("seal", 36, 46)], "its window closes")


def test_the_high_times_of_everything_between_are_reckoned_with() -> None:
    found = project(
        task("mix", "mix"), task("lay", after=["mix"]), task("seal", after=["lay"], within=(window(1, margin=0),))
    )
    good = [line("mix", 0, 10), line("lay", 10, 20), line("seal", 40, 50)]
    bad = [line("mix", 0, 10), line("lay", 10, 20), line("seal", 41, 51)]
    check(found, question(), good, bad, "its window closes")


def test_a_window_from_finish_is_met() -> None:
    found = project(task("mix"), task("seal", within=(window(1, "finish"),)))
    good = [line("mix", 0, 10), line("seal", 60, 70)]
    check(found, question(), good, [line("mix", 0, 10), line("seal", 61, 71)], "its window closes")


def test_a_window_that_is_opened_is_met_unless_it_lasts_into_the_next_session() -> None:
    found = project(task("mix", "mix"), task("seal", within=(window(4),)))
    # the next session begins 225 min after the start, and 15 min are the high time of the seal
    assert faults_of(found, question(next_start=225), line("mix", 0, 10)) == ()
    assert faults_of(found, question(next_start=226), line("mix", 0, 10))
    assert faults_of(found, question(), line("mix", 0, 10))


def opened(hours: float) -> Project:
    plan = project(task("mix", "mix"), task("seal", within=(window(hours),))).plan
    begun = START - timedelta(minutes=30)
    return Project(plan, Progress(tasks={"mix": TaskProgress(1, begun, begun + timedelta(minutes=10))}))


def test_a_window_opened_earlier_is_met() -> None:
    # closes at minute 30; the seal's high time is 5 min over its likely one
    check(opened(1), question(), [line("seal", 15, 25)], [line("seal", 16, 26)], "its window closes")


def test_a_window_that_ran_out_holds() -> None:
    assert faults_of(opened(0.25), question(), line("seal", 0, 10))


def test_a_limit_that_is_waived_is_no_limit() -> None:
    waiver = Waiver("seal", "within", "mix", "scuffed", "Robin", START)
    late = opened(1)
    late = Project(late.plan, replace(late.progress, waivers={("seal", "within", "mix"): waiver}))
    assert faults_of(late, question(), line("seal", 100, 110)) == ()


def test_one_go_is_all_or_nothing_and_without_a_break() -> None:
    found = project(task("mix", "mix", one_go="cup"), task("seal", after=["mix"], one_go="cup"), task("rib"))
    good = [line("mix", 0, 10), line("seal", 10, 20), line("rib", 20, 30)]
    check(found, question(), good, [line("mix", 0, 10)], "which is not finished")
    check(found, question(), good, [line("mix", 0, 10), line("rib", 10, 20), line("seal", 20, 30)], "breaks into")


def test_the_helper_may_go_on_with_other_work_beside_one_go() -> None:
    found = project(
        task("mix", "mix", one_go="cup"), task("seal", after=["mix"], one_go="cup"), task("edges", "deburr", count=20)
    )
    lines = [line("mix", 0, 10), line("edges", 5, 25, 20, "helper"), line("seal", 10, 20)]
    assert faults_of(found, question(helper=((0, 60),)), *lines) == ()


def test_clecos_are_lent_at_the_begin_and_come_back_in_proportion() -> None:
    first = task("one", clecos=(ClecoLoan("3/32", 12, "rivet"),))
    found = project(
        first,
        task("rivet", "buck", count=30, after=["one"]),
        task("two", clecos=(ClecoLoan("3/32", 14, "later"),)),
        task("later", after=["two"]),
    )
    rivet = line("rivet", 10, 31, 15, "both", set_up=4, clean_up=2)
    good = [line("one", 0, 10), rivet, line("two", 31, 41)]
    bad = [line("one", 0, 10), line("two", 10, 20)]
    check(found, question(helper=((0, 120),)), good, bad, "6 clecos of 3/32 short")


def test_a_table_that_is_occupied_serves_only_the_work_on_it() -> None:
    taken = task("one", occupies=(Occupy("table", "three"),))
    found = project(
        taken,
        task("two", after=["one"], tools=("table",)),
        task("three", after=["two"]),
        task("other", tools=("table",)),
    )
    chain = [line("one", 0, 10), line("two", 10, 20)]
    good = [*chain, line("three", 20, 30), line("other", 30, 40)]
    check(found, question(), good, [*chain, line("other", 20, 30)], "taken by One")


def test_a_tool_is_in_one_hand_at_a_time() -> None:
    found = project(task("edges", "deburr", count=20, tools=("file",)), task("rib", tools=("file",)))
    good = [line("edges", 0, 20, 20, "helper"), line("rib", 20, 30)]
    bad = [line("edges", 0, 20, 20, "helper"), line("rib", 19, 29)]
    check(found, question(helper=((0, 60),)), good, bad, "taken by Edges")


def test_all_lines_together_take_no_more_than_is_there() -> None:
    found = project(task("one", needs=(("goo", 30.0),)), task("two", needs=(("goo", 30.0),)))
    check(found, question(), [line("one", 0, 10)], [line("one", 0, 10), line("two", 10, 20)], "short of 10 g of Goo")


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (question(celsius=18.0), "too cold to apply: 18 C, needs 21 C"),
        (question(celsius=33.0), "too warm to apply: 33 C, at most 32 C"),
        (question(humidity=20.0), "too dry to apply: 20 % humidity, needs 30 % humidity"),
        (question(humidity=90.0), "too damp to apply"),
    ],
)
def test_what_is_applied_has_its_range(asked: Question, words: str) -> None:
    found = project(task("seal", needs=(("goo", 30.0),)))
    assert faults_of(found, question(celsius=21.0, humidity=70.0), line("seal", 0, 10)) == ()
    assert faults_of(found, question(), line("seal", 0, 10)) == ()
    assert any(words in sentence for sentence in faults_of(found, asked, line("seal", 0, 10)))


def test_a_third_stay_at_one_kind_of_work_is_reported() -> None:
    own = ThreePoint(8, 10, 12)
    tasks = [task(f"drill-{n}", "drill", minutes=own) for n in range(3)] + [task(f"fit-{n}") for n in range(2)]
    names = ["drill-0", "fit-0", "drill-1", "fit-1", "drill-2"]
    bad = [line(name, 10 * place, 10 * place + 10) for place, name in enumerate(names)]
    names = ["drill-0", "fit-0", "drill-1", "drill-2", "fit-1"]
    good = [line(name, 10 * place, 10 * place + 10) for place, name in enumerate(names)]
    check(project(*tasks), question(), good, bad, "third stay")


def test_set_up_is_in_the_first_table_timed_line_of_a_stay_and_clean_up_in_the_last() -> None:
    found = project(
        task("own", "drill", minutes=ThreePoint(8, 10, 12)), task("a", "drill", count=15), task("b", "drill", count=15)
    )
    good = [line("own", 0, 10), line("a", 10, 30, 15, set_up=5), line("b", 30, 48, 15, clean_up=3)]
    bad = [line("own", 0, 10), line("a", 10, 33, 15, set_up=5, clean_up=3), line("b", 33, 48, 15)]
    check(found, question(), good, bad, "should have")


def test_a_closing_task_waits_for_what_is_inside() -> None:
    found = project(task("line", inside=("bay",)), task("close", closes=("bay",)))
    good = [line("line", 0, 10), line("close", 10, 20)]
    check(found, question(), good, [line("close", 0, 10)], "does not finish")
