"""Holds that fitup makes by itself, and circles among those that are written."""

from __future__ import annotations

import pytest

from fitup.model.holds import hold_book
from fitup.model.plan import Bay, Hold, Item, Plan, Task, Within


def task(name: str, *waits: str, **more: object) -> Task:
    return Task(name, name, "a", "fit", holds=tuple(Hold("after", until=until) for until in waits), **more)  # type: ignore[arg-type]


def made(plan: Plan, name: str) -> list[tuple[str, str | None]]:
    return [(hold.kind, hold.until or hold.item) for hold in hold_book(plan).holds[name] if not hold.own]


def test_what_closes_a_bay_waits_for_everything_inside_it() -> None:
    plan = Plan(
        bays=(Bay("b", "bay"),),
        tasks=(task("wire", inside=("b",)), task("skin", closes=("b",)), task("tube", inside=("b",)), task("paint")),
    )
    assert made(plan, "skin") == [("access", "wire"), ("access", "tube")]
    assert hold_book(plan).closed_in == ()
    assert hold_book(plan).waiters["tube"] == ("skin",)


def test_what_comes_after_the_closing_makes_no_circle_but_is_named() -> None:
    plan = Plan(
        bays=(Bay("b", "bay"),),
        tasks=(task("skin", closes=("b",)), task("paint", "skin"), task("wire", "paint", inside=("b",))),
    )
    assert made(plan, "skin") == []
    assert hold_book(plan).closed_in == (("skin", "wire", "b"),)
    assert hold_book(plan).loop == ()


def test_two_that_close_one_bay_from_inside_do_not_wait_for_each_other() -> None:
    plan = Plan(
        bays=(Bay("b", "bay"),),
        tasks=(task("left", inside=("b",), closes=("b",)), task("right", inside=("b",), closes=("b",))),
    )
    assert len(hold_book(plan).order) == 2


def test_a_window_implies_order_once() -> None:
    window = (Within("mix", 2),)
    plan = Plan(tasks=(task("mix"), task("bead", within=window), task("rivet", "mix", within=window)))
    assert made(plan, "bead") == [("after", "mix")]
    assert made(plan, "rivet") == []


def test_what_a_task_needs_makes_a_supply_hold() -> None:
    plan = Plan(items=(Item("nut", "Nut"),), tasks=(task("fit", needs=(("nut", 4), ("gone", 1))),))
    assert made(plan, "fit") == [("supply", "nut")]


@pytest.mark.parametrize("size", [2, 3, 7])
def test_the_shortest_loop_is_named_in_the_order_of_waiting(size: int) -> None:
    ring = [task(f"r{n}", f"r{(n + 1) % size}") for n in range(size)]
    long = [task(f"l{n}", f"l{(n + 1) % 9}") for n in range(9)]
    book = hold_book(Plan(tasks=(task("free"), *long, *ring)))
    assert len(book.loop) == size
    assert set(book.loop) == {f"r{n}" for n in range(size)}
    for here, following in zip(book.loop, (*book.loop[1:], book.loop[0]), strict=True):
        assert following in book.before(here)
    assert book.order == ("free",)
