"""The bench list against counts made by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from fitup.bench import bench_list, part_number_of
from fitup.model.plan import Cleco, ClecoLoan, Fasteners, Item, Lot, Plan, Task, Tool, Work
from fitup.model.progress import Progress, Project, TaskProgress
from fitup.model.sheet import Line, Question, Sheet

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
    assert (rivets.part_number, rivets.count, rivets.lay_out, rivets.have, rivets.short) == ("MS20470AD4-5", 30, 33, 40, 0)
    # 20 out; after 30 of 40 rivets a quarter, 5, are still out; 10 more go on: never more than 20 at once.
    clecos = found.temporary[0]
    assert (clecos.size, clecos.now, clecos.out, clecos.peak, clecos.have, clecos.short) == ("1/8", 30, 0, 20, 24, 0)
    goo = found.consumables[0]
    # 60 g for 40 rivets is 45 g for 30; a fifth to spare; the lot that expired yesterday does not count.
    assert (goo.quantity, goo.lay_out, goo.have, goo.short, goo.expires) == (45, 54, 50, 0, date(2026, 12, 9))
    assert (found.parts[0].item, found.parts[0].short) == ("bracket", 1)
    assert found.takes == ("Spare set of the gun",)
    assert found.cautions == ("Ears and eyes.",)
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
    assert not (found.tools or found.fasteners or found.temporary or found.consumables or found.parts)
