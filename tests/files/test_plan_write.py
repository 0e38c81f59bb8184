"""What is written of a plan reads back as an equal plan."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from tests.files.shops import plan_from
from tests.strategies import plans

from fitup.files.plan_toml import read_plan, write_plan
from fitup.files.shop import Shop
from fitup.model.holds import hold_book
from fitup.model.plan import Hold, Plan, Task, Work


def read_back(plan: Plan, folder: Path) -> Plan:
    """Write a plan and read it where no shop helps."""
    path = folder / "plan.toml"
    path.write_text(write_plan(plan), encoding="utf-8")
    return read_plan(path, Shop(folder))


@settings(deadline=None, max_examples=60)
@given(plans(most=8))
def test_a_written_plan_reads_back_equal_without_any_shop(plan: Plan) -> None:
    with tempfile.TemporaryDirectory() as folder:
        assert read_back(plan, Path(folder)) == plan


@settings(deadline=None, max_examples=60)
@given(plans(most=20, rich=False))
def test_random_plans_have_no_circle(plan: Plan) -> None:
    book = hold_book(plan)
    assert book.loop == ()
    assert len(book.order) == len(plan.tasks)


def test_odd_characters_survive(shop: Shop, tmp_path: Path) -> None:
    title = 'quote " back \\ hash # bracket [x] {y} \u00e9 \u2192 \U0001f529'
    task = Task("a", title, "", "w", note="two\nlines\tand a tab", needs=(), holds=(Hold("stop", why="ask ='''"),))
    plan = plan_from(shop, write_plan(_with(task)))
    assert plan.tasks == (Task("a", title, "x", "w", note=task.note, holds=task.holds),)


def test_items_with_dots_in_their_ids_are_quoted(tmp_path: Path) -> None:
    from fitup.model.plan import Assembly, Item

    plan = Plan(
        title="t",
        works=(Work("w", "W"),),
        assemblies=(Assembly("x", "X"),),
        items=(Item("a.b", "A"),),
        tasks=(Task("a", "A", "x", "w", needs=(("a.b", 2.5),)),),
    )
    assert read_back(plan, tmp_path) == plan


def _with(task: Task) -> Plan:
    from dataclasses import replace

    from fitup.model.plan import Assembly

    return Plan(
        title="t",
        works=(Work("w", "W"),),
        assemblies=(Assembly("x", "X"),),
        tasks=(replace(task, assembly="x"),),
    )
