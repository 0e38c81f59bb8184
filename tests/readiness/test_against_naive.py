"""Readiness and roots against a second, naive implementation on thousands of random plans and histories."""

from __future__ import annotations

from datetime import datetime
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readiness import naive
from tests.readiness.histories import some_edits, some_project
from tests.strategies import plans

from fitup.model.plan import Plan
from fitup.model.progress import Project
from fitup.readiness import chain, judge, roots, roots_of


def agrees(project: Project, now: datetime) -> None:
    """Assert that both implementations say the same about every task."""
    readiness = judge(project, now)
    remaining = {task.id: float(2**place) for place, task in enumerate(project.plan.tasks)}
    sets: dict[str, set[str]] = {}
    assert list(readiness.states) == [task.id for task in project.plan.tasks]
    for task in project.plan.tasks:
        told = sorted((hold.kind, hold.key[2], hold.state) for hold in readiness.holds[task.id])
        assert told == sorted(naive.judged(project, task.id, now))
        assert readiness.states[task.id] == naive.state(project, task.id, now)
        held = readiness.states[task.id] == "held"
        if held:
            sets[task.id] = naive.root_set(project, task.id, now)
            assert sets[task.id]
        assert set(roots_of(project, readiness, task.id)) == sets.get(task.id, set())
        below = chain(readiness, task.id)
        assert len(set(below)) == len(below)
        assert below[: len(readiness.standing(task.id))] == (readiness.standing(task.id) if held else ())
    found = roots(project, readiness, remaining)
    assert {root.id for root in found} == set().union(*sets.values())
    for root in found:
        alone = [task for task, its_roots in sets.items() if its_roots == {root.id}]
        assert list(root.tasks) == alone
        assert root.frees_minutes == sum(remaining[task] for task in alone)
    assert [root.frees_minutes for root in found] == sorted((root.frees_minutes for root in found), reverse=True)


@pytest.mark.parametrize("hundred", range(25))
def test_every_state_hold_and_root_is_what_the_words_of_the_design_say(hundred: int) -> None:
    for seed in range(hundred * 100, hundred * 100 + 100):
        agrees(*some_project(seed))


@settings(deadline=None, max_examples=80)
@given(plans(least=1, most=8, rich=False), st.integers(0, 2**32), st.integers(0, 25))
def test_plans_with_everything_in_them_are_judged_alike(plan: Plan, seed: int, steps: int) -> None:
    agrees(*some_edits(Random(seed), Project(plan), steps))
