"""What was planned before is kept to, in its order, where nothing better is found."""

from __future__ import annotations

from datetime import timedelta

from tests.session.generate import project_of, question_of
from tests.session.small import START, project, question, task

from fitup.model.apply import apply
from fitup.model.edits import Tick
from fitup.model.plan import ThreePoint
from fitup.session.audit import faults
from fitup.session.planning import Planning

HALF = ThreePoint(30, 30, 30)


def test_after_a_tick_the_rest_of_the_sheet_stays_in_its_order() -> None:
    found = project(*(task(name, minutes=HALF) for name in ("one", "two", "three", "four")))
    planning = Planning(found, question(120))
    lines = [line for name in ("three", "one", "four", "two") for line in planning.at_once()[1] if line.task == name]
    later = START + timedelta(minutes=30)
    ticked = apply(found, Tick("three", 1, START, later), "Robin", later)
    kept = Planning(ticked, question(90), former=lines).at_once()[1]
    assert [(line.task, line.begin) for line in kept] == [("one", 0), ("four", 30), ("two", 60)]


def test_what_no_longer_fits_is_let_go_and_what_is_free_is_filled() -> None:
    found = project(*(task(name, minutes=HALF) for name in ("one", "two", "three")))
    lines = Planning(found, question(60)).at_once()[1]
    assert len(Planning(found, question(30), former=lines).at_once()[1]) == 1
    assert [line.task for line in Planning(found, question(90), former=lines).at_once()[1]][:2] == [
        line.task for line in lines
    ]
    assert len(Planning(found, question(90), former=lines).at_once()[1]) == 3


def test_a_sheet_kept_to_is_never_worth_less_and_breaks_no_rule() -> None:
    kept = 0
    for seed in range(900, 940):
        found = project_of(seed, 20, share_done=0.3)
        asked = question_of(seed, 120)
        fresh = Planning(found, asked)
        lines = fresh.at_once()[1]
        planning = Planning(found, asked, former=lines[1:])
        again = planning.at_once()[1]
        assert faults(planning.standing, again) == (), seed
        assert planning.rank(again) >= fresh.rank(lines), seed
        kept += again != lines
    assert kept
