"""The order of a sheet's lines where worth leaves it open."""

from __future__ import annotations

import pytest
from tests.session.generate import project_of, question_of, wishes_of
from tests.session.small import project, question, task

from fitup.model.plan import Hold, ThreePoint
from fitup.model.progress import Project
from fitup.model.sheet import Line, Question
from fitup.session.audit import faults
from fitup.session.cpsat import prove
from fitup.session.planned import Planned
from fitup.session.planning import Planning
from fitup.session.settling import settled
from fitup.session.sheets import planned_lines


def settle(found: Project, asked: Question, lines: list[Planned]) -> tuple[Line, ...]:
    """Return the settled lines of a sheet."""
    planning = Planning(found, asked)
    problem = planning.true_limits
    return settled(problem, lines, planning.rank, lambda tried: not faults(planning.standing, tried))


def test_what_is_worth_less_and_nothing_waits_for_comes_last() -> None:
    thirty = ThreePoint(30, 30, 30)
    found = project(
        task("chore", minutes=thirty, filler=True),
        task("first", minutes=thirty),
        task("then", minutes=thirty, holds=(Hold("after", until="first"),)),
    )
    chore_first = [Planned(0, 1, 0, 30, 0, 0, 0), Planned(1, 1, 30, 60, 0, 0, 0), Planned(2, 1, 60, 90, 0, 0, 0)]
    lines = settle(found, question(100), chore_first)
    assert [(line.task, line.begin) for line in lines] == [("first", 0), ("then", 30), ("chore", 60)]


def test_a_part_of_a_task_comes_last_since_it_may_be_cut_short() -> None:
    found = project(
        task("holes", "drill", count=200, least=5), task("chore", minutes=ThreePoint(30, 30, 30), filler=True)
    )
    part_first = [Planned(0, 20, 0, 28, 5, 3, 0), Planned(1, 1, 28, 58, 0, 0, 0)]
    lines = settle(found, question(60), part_first)
    assert [(line.task, line.begin, line.end) for line in lines] == [("chore", 0, 30), ("holes", 30, 58)]


@pytest.mark.parametrize("block", range(2))
def test_a_settled_sheet_is_worth_as_much_ends_no_later_and_breaks_no_rule(block: int) -> None:
    moved = 0
    for seed in range(800 + block * 40, 840 + block * 40):
        found = project_of(seed, 9, share_done=0.25, tiny=True, few=True)
        asked = wishes_of(seed, found, question_of(seed, (45, 60, 75, 90)[seed % 4]))
        planning = Planning(found, asked)
        problem = planning.true_limits
        proof = prove(problem)
        assert proof is not None
        lines = settle(found, asked, list(proof.lines))
        before = planned_lines(problem, proof.lines)
        assert faults(planning.standing, lines) == (), seed
        assert planning.rank(lines) >= (proof.asked, proof.worth), seed
        assert max((x.end for x in lines), default=0) <= max((x.end for x in before), default=0), seed
        moved += [x.task for x in lines] != [x.task for x in before]
    assert moved > 2


def test_orders_are_tried_without_working_through_a_day_for_each(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> float:
        raise AssertionError("a chance was asked for")

    monkeypatch.setattr("fitup.session.sheets.chance_of", refused)
    found = project(*(task(name, minutes=ThreePoint(30, 30, 30)) for name in ("one", "two")))
    assert len(settle(found, question(60), [Planned(0, 1, 0, 30, 0, 0, 0), Planned(1, 1, 30, 60, 0, 0, 0)])) == 2
