"""The bench list against counts made by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from fitup.bench import bench_list, cautions_of, part_number_of
from fitup.model.plan import Cleco, ClecoLoan, Fasteners, Item, Lot, Plan, Task, Tool, Work
from fitup.model.progress import Progress, Project, TaskProgress
from fitup.model.refusal import Refused
from fitup.model.sheet import Line, Question, Sheet
from fitup.trade.tables import use_folder

START = datetime(2026, 11, 28, 8, tzinfo=UTC)

PLAN = Plan(
    works=(
        Work("cleco", "Cleco", "cleco", tools=("pliers",)),
        Work("buck", "Buck", "rivet", tools=("gun", "bar"), takes="Spare set of the gun", caution="Ears and eyes."),
    ),
    tools=(Tool("pliers", "Cleco pliers"), Tool("gun", "Rivet gun"), Tool("bar", "Bucking bar")),
    items=(
        Item("goo", "Sealant", unit="g", lots=(Lot(30, date(2026, 11, 27)), Lot(50, date(2026, 12, 9))), spare=0.2),
        Item("rivets", "Rivets", "fastener", lots=(Lot(40),), spare=0.1, part_number="MS20470AD4-5"),
        Item("bracket", "Bracket", "part", lots=(Lot(1),)),
    ),
    clecos=(Cleco("1/8", 24),),
    tasks=(
        Task("fit", "Fit", "a", "cleco", 20, clecos=(ClecoLoan("1/8", 20, "drive"),), needs=(("bracket", 2),)),
        Task(
            "drive",
            "Drive",
            "a",
            "buck",
            40,
            fasteners=Fasteners("universal", "AD", "1/8", 0.125),
            needs=(("goo", 60),),
        ),
        Task("again", "Fit the next", "a", "cleco", 10, clecos=(ClecoLoan("1/8", 10, "end"),)),
        Task("end", "End", "a", "buck", 10, tools=("gun",)),
    ),
    length_unit="in",
)


def sheet(*lines: Line) -> Sheet:
    return Sheet(Question(START, 180), lines)


def test_a_session_counted_by_hand() -> None:
    found = bench_list(
        Project(PLAN), sheet(Line("fit", 20, 0, 20), Line("drive", 30, 25, 80), Line("again", 10, 85, 95))
    )
    assert [(row.tool, row.minute) for row in found.tools] == [("pliers", 0), ("gun", 25), ("bar", 25)]
    rivets = found.fasteners[0]
    assert (rivets.part_number, rivets.count, rivets.lay_out, rivets.have, rivets.short) == (
        "MS20470AD4-5",
        30,
        33,
        40,
        0,
    )
    # 20 out; after 30 of 40 rivets a quarter, 5, are still out; 10 more go on: never more than 20 at once.
    clecos = found.temporary[0]
    assert (clecos.size, clecos.now, clecos.out, clecos.peak, clecos.have, clecos.short) == ("1/8", 30, 0, 20, 24, 0)
    goo = found.consumables[0]
    # 60 g for 40 rivets is 45 g for 30; a fifth to spare; the lot that expired yesterday does not count.
    assert (goo.quantity, goo.lay_out, goo.have, goo.short, goo.expires) == (45, 54, 50, 0, date(2026, 12, 9))
    assert (found.parts[0].item, found.parts[0].short) == ("bracket", 1)
    assert found.takes == ("Spare set of the gun",)
    assert found.cautions[0] == "Ears and eyes."
    assert "29 CFR 1910.95" in found.cautions[1]
    assert found.short == ("1  Bracket",) or found.short == ("1 Bracket",)


def test_clecos_lent_in_an_earlier_session_are_out_from_the_start() -> None:
    progress = Progress(tasks={"fit": TaskProgress(done=20), "drive": TaskProgress(done=10)})
    found = bench_list(Project(PLAN, progress), sheet(Line("again", 10, 0, 10), Line("drive", 30, 10, 60)))
    row = found.temporary[0]
    assert (row.out, row.now, row.peak, row.short) == (15, 10, 25, 1)


def test_a_size_that_the_shop_has_none_of_is_short_by_all_of_it() -> None:
    plan = replace(PLAN, clecos=())
    row = bench_list(Project(plan), sheet(Line("again", 10, 0, 10))).temporary[0]
    assert (row.have, row.short) == (0, 10)


def test_the_kits_callout_wins_over_the_computed_part_number() -> None:
    # Length rule: grip + 1.5 D, next sixteenth up; US Navy NAVEDTRA 14018, rivet selection rule 8: 0.3125 in is -5.
    task = PLAN.tasks[1]
    assert part_number_of(PLAN, task) == "MS20470AD4-5"
    assert task.fasteners is not None
    called = replace(task, fasteners=replace(task.fasteners, callout="KIT-17"))
    assert part_number_of(PLAN, called) == "KIT-17"
    unheard = replace(task, fasteners=replace(task.fasteners, size="M4"))
    assert part_number_of(PLAN, unheard) == "universal AD M4"
    assert part_number_of(PLAN, PLAN.tasks[0]) == ""


def test_an_empty_sheet_asks_for_nothing() -> None:
    found = bench_list(Project(PLAN), sheet())
    assert (found.tools, found.fasteners, found.temporary, found.consumables, found.parts) == ((), (), (), (), ())


def test_what_is_short_stands_first() -> None:
    plan = replace(PLAN, items=(*PLAN.items, Item("pin", "Pin", "part", lots=(Lot(9),))))
    pins = replace(plan.tasks[0], needs=(("pin", 1), ("bracket", 2)))
    found = bench_list(Project(replace(plan, tasks=(pins, *plan.tasks[1:]))), sheet(Line("fit", 20, 0, 20)))
    assert [(row.item, row.short) for row in found.parts] == [("bracket", 1), ("pin", 0)]


def test_lots_are_laid_out_first_to_expire_first_and_expired_ones_not_at_all() -> None:
    dated, undated = Lot(20, date(2026, 11, 28)), Lot(30)
    goo = Item("goo", "Sealant", unit="g", lots=(undated, dated, Lot(99, date(2026, 11, 27))), spare=0.2)
    row = bench_list(Project(replace(PLAN, items=(goo,))), sheet(Line("drive", 20, 0, 40))).consumables[0]
    # 30 g for half of the rivets, 36 with spare: all of the lot that is good to the very day, the rest from the other
    assert [(lot.quantity, lot.expires) for lot in row.lots] == [(20, date(2026, 11, 28)), (16, None)]


def test_rivets_tell_how_far_their_tails_stand_out() -> None:
    # 5/16 in 0.125 in of sheets: 0.1875 in, 1.5 D of an eighth; in 0.09 in: 0.2225 in, 1.78 D; both -5
    tasks = (PLAN.tasks[1], replace(PLAN.tasks[1], id="more", fasteners=Fasteners("universal", "AD", "1/8", 0.09)))
    found = bench_list(Project(replace(PLAN, tasks=tasks)), sheet(Line("drive", 40, 0, 60), Line("more", 10, 60, 80)))
    (row,) = found.fasteners
    assert (row.count, row.protrusion_d, row.warnings) == (50, (1.5, 1.78), ())
    long = replace(PLAN.tasks[1], fasteners=Fasteners("flush", "AD", "3/32", 0.052))
    (row,) = bench_list(Project(replace(PLAN, tasks=(long,))), sheet(Line("drive", 40, 0, 60))).fasteners
    assert row.part_number == "MS20426AD3-4"
    assert "2.1 D" in row.warnings[0]


def test_colour_words_come_with_the_size_and_with_their_trap() -> None:
    # NAVEDTRA 14018 page 13-4: 1/16 and 5/32 are both black
    tasks = (Task("fit", "Fit", "a", "cleco", 5, clecos=(ClecoLoan("5/32", 5, "fit"), ClecoLoan("clamp", 2, "fit"))),)
    rows = bench_list(Project(replace(PLAN, tasks=tasks)), sheet(Line("fit", 5, 0, 20))).temporary
    assert [row.described for row in rows] == ["5/32 (black, like 1/16: read the size stamped on it)", "clamp"]


def test_lines_ticked_as_laid_out_say_so() -> None:
    progress = Progress(laid_out=frozenset(("tool gun, 2026-11-28", "item goo, 2026-11-27")))
    found = bench_list(Project(PLAN, progress), sheet(Line("drive", 30, 0, 60)))
    assert {row.lay: row.laid_out for row in found.tools} == {
        "tool gun, 2026-11-28": True,
        "tool bar, 2026-11-28": False,
    }
    assert [(row.lay, row.laid_out) for row in found.consumables] == [("item goo, 2026-11-28", False)]


def test_two_parts_are_divided_only_by_the_ratio_that_the_shop_enters(tmp_path: Path) -> None:
    drive = sheet(Line("drive", 40, 0, 60))
    assert bench_list(Project(PLAN), drive).consumables[0].mix == ""
    ratio = '[[mix]]\nitem = "goo"\nbase = 100\naccelerator = 20\nsource = "the tin"\nstanding = "own"\n'
    (tmp_path / "clocks.toml").write_text(ratio, "utf-8")
    use_folder(lambda: tmp_path)
    try:
        mixed = bench_list(Project(PLAN), drive).consumables[0].mix
    finally:
        use_folder(lambda: None)
    # 60 g and a fifth to spare are 72
    assert mixed == "60 g base, 12 g accelerator (the tin (said by this shop))"


def test_a_broken_trade_table_of_the_shop_is_told_and_not_passed_over(tmp_path: Path) -> None:
    (tmp_path / "rivet-codes.toml").write_text("[[head", "utf-8")
    use_folder(lambda: tmp_path)
    try:
        with pytest.raises(Refused, match=r"rivet-codes\.toml is not TOML"):
            bench_list(Project(PLAN), sheet(Line("drive", 30, 0, 60)))
    finally:
        use_folder(lambda: None)


def test_cautions_name_the_handbook_and_stand_once() -> None:
    buck, fit = PLAN.tasks[1], PLAN.tasks[0]
    assert cautions_of(PLAN, fit) == ()
    found = cautions_of(PLAN, replace(buck, caution="Ears and eyes."))
    assert found[0] == "Ears and eyes."
    assert len(found) == len(set(found)) == 3
    assert all("(" in caution for caution in found[1:])
