"""Greedy sheets on plans with every rule in them: accepted by the audit, worth what they say, sensible."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from tests.session.generate import project_of, question_of, wishes_of
from tests.session.small import START, line, project, question, task

from fitup.model.plan import Hold, ThreePoint, Within
from fitup.model.progress import Project, Waiver
from fitup.model.sheet import Line, Question, Sheet
from fitup.session import audit, plan_session, worth_of
from fitup.session.audit import faults, standing_at
from fitup.session.candidates import problem_of
from fitup.session.greedy import Greedy
from fitup.session.sheets import lines_of
from fitup.session.worth import scale_of, terms_of


def case(seed: int) -> tuple[Project, Question]:
    tiny = seed % 2 == 0
    found = project_of(seed, 12 if tiny else 120, share_done=0.2 if tiny else 0.35, tiny=tiny)
    return found, wishes_of(seed, found, question_of(seed))


def summed(terms: Sequence[tuple[str, int]]) -> int:
    return sum(value for _, value in terms)


@pytest.mark.parametrize("block", range(10))
def test_every_greedy_draft_is_accepted_and_worth_what_the_public_sum_says(block: int) -> None:
    planned = 0
    for seed in range(block * 40, block * 40 + 40):
        found, asked = case(seed)
        scale = scale_of(found, asked)
        standing = standing_at(found, asked, readiness=scale.readiness)
        greedy = Greedy(problem_of(found, asked, scale=scale))
        draft = greedy.best(6)
        lines = lines_of(draft)
        assert faults(standing, lines) == (), seed
        per_line, whole = terms_of(scale, lines)
        assert greedy.rank(draft)[1] == sum(summed(terms) for terms in per_line) + summed(whole), seed
        planned += len(lines)
    assert planned > 40


def test_what_waits_for_unfinished_tasks_alone_is_seen_as_if_all_its_holds_were_put_into_words() -> None:
    cures = 0
    for seed in range(40):
        found = project_of(seed, 60, share_done=0.4)
        bare = replace(found, progress=replace(found.progress, waivers={}))
        # with a waiver somewhere, every hold is looked at by itself
        aside = Waiver("nowhere", "after", "nobody", "", "", START)
        worded = replace(bare, progress=replace(bare.progress, waivers={("nowhere", "after", "nobody"): aside}))
        asked = question_of(seed, 480)
        one, other = problem_of(bare, asked), problem_of(worded, asked)
        assert one.frame() == other.frame(), seed
        cures += sum(lag > 0 for c in one.candidates for _, lag in c.before)
    assert cures > 10


def naive_worth(found: Project, asked: Question, sheet: Sheet) -> int:
    """The public sum once more, from the page that defines it, for the terms that a plan alone decides."""
    plan = found.plan
    worth = 0
    for each in sheet.lines:
        of = plan.task[each.task]
        minutes = each.end - each.begin - each.set_up - each.clean_up
        terms = dict(each.terms)
        work = terms.get("work", 0)
        assert work == minutes * 5 if plan.fills(of) else 0 <= work - minutes * 10 <= minutes * 10
        if each.count == found.open_count(each.task):
            assert terms.get("finished", 0) == (5 * minutes // 2 if plan.splits(of) else 5 * minutes)
        else:
            assert "finished" not in terms
            assert "clock started" not in terms
        assert terms.get("set-up", 0) == -10 * (each.set_up + each.clean_up)
        worth += sum(terms.values())
    return worth + sum(value for _, value in sheet.sheet_terms)


@pytest.mark.parametrize("seed", range(1000, 1030))
def test_sheets_are_accepted_and_carry_their_terms(seed: int) -> None:
    found, asked = case(seed)
    sheet = plan_session(found, asked)
    assert audit(found, asked, sheet) == ()
    assert sheet.worth == naive_worth(found, asked, sheet)
    per_line, whole = worth_of(found, asked, sheet.lines)
    assert per_line == tuple(each.terms for each in sheet.lines)
    assert whole == sheet.sheet_terms
    assert sheet.usable_minutes == asked.usable
    assert not sheet.proven
    assert sheet.bound is None
    assert sheet.two_people_minutes == sum(x.end - x.begin for x in sheet.lines if x.who == "both")
    assert all(each.why for each in sheet.lines)


def test_the_same_question_gives_the_same_sheet() -> None:
    found, asked = case(1001)
    assert plan_session(found, asked) == plan_session(found, asked)


@pytest.mark.parametrize("seed", range(40))
def test_pruning_loses_no_better_greedy_sheet(seed: int) -> None:
    found, asked = case(seed * 2)
    pruned = Greedy(problem_of(found, asked))
    whole = Greedy(problem_of(found, asked, prune=False))
    assert len(pruned.problem.candidates) <= len(whole.problem.candidates)
    names = {c.task for c in pruned.problem.candidates}
    best = whole.best(30)
    assert {c.task for c in whole.problem.candidates if best.at[c.index]} <= names


@pytest.mark.parametrize("seed", range(300, 320))
def test_a_sheet_that_is_to_be_sure_reaches_its_chance(seed: int) -> None:
    found, asked = case(seed)
    sheet = plan_session(found, replace(asked, sure=0.8), reasons=False)
    assert sheet.chance >= 0.8
    assert sheet.usable_minutes <= asked.usable
    assert audit(found, asked, sheet) == ()


@pytest.mark.parametrize("seed", range(200, 216))
def test_what_is_asked_for_first_comes_before_worth(seed: int) -> None:
    found, asked = case(seed)
    asked = replace(asked, first=(), without=())
    free = plan_session(found, asked)
    on_sheet = {each.task for each in free.lines}
    for candidate in problem_of(found, asked).candidates[:6]:
        if candidate.task not in on_sheet:
            wished = plan_session(found, replace(asked, first=(candidate.task,)), reasons=False)
            if candidate.task in {each.task for each in wished.lines}:
                assert wished.worth <= free.worth * 1.1 + 200


def test_nothing_to_do_gives_an_empty_sheet() -> None:
    sheet = plan_session(project(task("rib"), done=["rib"]), question())
    assert sheet.lines == ()
    assert sheet.worth == 0
    assert sheet.chance == 1


def test_a_filler_displaces_nothing() -> None:
    found = project(task("edges", "deburr", count=60), task("rib"), task("skin"), task("spar"))
    sheet = plan_session(found, question(30))
    assert sorted(each.task for each in sheet.lines) == ["rib", "skin", "spar"]
    sheet = plan_session(found, question(48))
    assert [each.task for each in sheet.lines][-1] == "edges"


def test_a_cure_that_ends_in_the_session_is_waited_for_with_other_work() -> None:
    sand = task("sand", holds=[Hold("cure", until="glue", hours=1.2)])
    found = project(task("glue"), sand, task("rib"), task("skin"), done=["glue"])
    sheet = plan_session(found, question(60))
    begin = {each.task: each.begin for each in sheet.lines}
    # glue was finished at 08:00, so that sanding may begin at 09:12
    assert begin["sand"] >= 12
    assert len(begin) == 3


def test_what_only_a_cure_holds_is_named_with_its_instant() -> None:
    sand = task("sand", holds=[Hold("cure", until="glue", hours=24)])
    sheet = plan_session(project(task("glue"), sand, done=["glue"]), question())
    assert [(each.task, (each.until - START).total_seconds() / 3600) for each in sheet.waiting] == [("sand", 23)]


def test_a_mix_is_only_begun_when_it_can_be_used_up() -> None:
    cup = (task("mix", "mix"), task("seal", minutes=ThreePoint(25, 30, 40), within=(Within("mix", 1),)))
    assert plan_session(project(*cup), question(39)).lines == ()
    assert [each.task for each in plan_session(project(*cup), question(40)).lines] == ["mix", "seal"]


def test_a_check_that_is_planned_is_expected_to_pass() -> None:
    found = project(task("twist", "check"), task("rivet", holds=[Hold("check", until="twist", why="twist stays")]))
    assert [each.task for each in plan_session(found, question(20)).lines] == ["twist", "rivet"]


def why(sheet: Sheet, name: str) -> str:
    return next(each.why for each in sheet.left_out if each.task == name)


def reason(found: Project, asked: Question, name: str) -> str:
    return why(plan_session(found, asked), name)


def test_left_out_tasks_say_what_keeps_them_out() -> None:
    rivets = task("rivets", "buck", count=60)
    assert reason(project(rivets), question(), "rivets") == "needs a helper"
    helped = question(60, helper=((0, 10),))
    assert reason(project(rivets), helped, "rivets").startswith("needs a helper after ")
    seal = task("seal", needs=(("goo", 30.0),))
    assert reason(project(seal), question(celsius=18.0), "seal") == "too cold to apply: 18 C, needs 21 C"
    long = task("long", minutes=ThreePoint(60, 90, 200))
    assert reason(project(long), question(78), "long") == "12 min too long for this session"
    assert reason(project(task("rib")), question(without=("rib",)), "rib") == "you asked to leave it out"
    loud = project(task("holes", "drill", count=30, split=False))
    assert reason(loud, question(quiet_from=10), "holes").startswith("loud, and quiet hours begin at ")


def test_what_is_worth_less_says_so_and_forcing_it_in_shows_the_loss() -> None:
    late = task("late", late=True, minutes=ThreePoint(5, 10, 15))
    small = task("small", "drill", minutes=ThreePoint(1, 2, 3))
    found = project(task("rib"), task("skin"), small, late)
    sheet = plan_session(found, question(22))
    for each in sheet.left_out:
        wished = plan_session(found, question(22, first=(each.task,)))
        assert "short" in each.why or wished.worth < sheet.worth


@pytest.mark.parametrize("seed", range(100, 130))
def test_every_reason_for_leaving_out_is_the_audits_own_word(seed: int) -> None:
    found, asked = case(seed)
    sheet = plan_session(found, asked)
    on_sheet = {each.task for each in sheet.lines}
    assert all(each.task not in on_sheet and each.why for each in sheet.left_out)
    for each in sheet.left_out:
        if each.why.startswith("too cold"):
            forced = Line(each.task, found.open_count(each.task), 0, 1)
            assert any("too cold" in said for said in audit(found, asked, Sheet(asked, (forced,))))


def test_the_line_of_a_helper_alone_runs_beside_the_builders() -> None:
    found = project(task("edges", "deburr", count=30), task("rib"), task("skin"), task("spar"))
    sheet = plan_session(found, question(30, helper=((0, 30),)))
    assert line("edges", 0, 30, 30, "helper") == replace(
        next(each for each in sheet.lines if each.task == "edges"), terms=(), why=""
    )
    assert len(sheet.lines) == 4
