"""The Bench page: lots in their order, warnings at their fastener, and what to order at its end."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from tests.tui.screens import lines_of, press, screens, text_of

from fitup.model.plan import Cleco, ClecoLoan, Fasteners, Item, Lot, OnOrder, Plan
from fitup.tui.wording.bench import lay_rows

LOTS = (Lot(20, date(2027, 3, 1)), Lot(30, date(2026, 12, 20)))


def stocked(plan: Plan) -> Plan:
    """Return the plan with two lots of glue and a rivet that is too long for its sheets in the first task."""
    glue = replace(plan.item["glue"], lots=LOTS, on_order=None, spare=0.0)
    items = tuple(glue if item.id == "glue" else item for item in plan.items)
    nutplates = replace(
        plan.task["nutplates"],
        count=80,
        needs=(),
        fasteners=Fasteners("universal", "AD", "3/32", 1.32, "MS20470AD3-4"),
        clecos=(ClecoLoan("5/32", 2, "hinge"),),
    )
    tasks = tuple(nutplates if task.id == "nutplates" else task for task in plan.tasks)
    return replace(plan, items=items, tasks=tasks, clecos=(*plan.clecos, Cleco("5/32", 2)))


def ordered(plan: Plan) -> Plan:
    """Return the plan with nuts from a shop that takes a week."""
    nuts = Item("nuts", "Nutplates", "part", "piece", lead_days=7, supplier="Fastener shop")
    return replace(plan, items=tuple(nuts if item.id == "nuts" else item for item in plan.items))


def late(plan: Plan) -> Plan:
    """Return the plan with nuts that come after their work."""
    nuts = Item("nuts", "Nutplates", "part", "piece", on_order=OnOrder(4, date(2026, 12, 24)))
    return replace(plan, items=tuple(nuts if item.id == "nuts" else item for item in plan.items))


async def test_lots_are_laid_out_the_first_to_expire_first(tmp_path: Path) -> None:
    async with screens(tmp_path, (120, 40), stocked) as (app, pilot):
        await press(pilot, "4")
        assert "take 30 g good to 20 Dec 2026, then 10 g good to 1 Mar 2027" in text_of(app)


async def test_a_rivet_tells_how_far_it_stands_out_and_warns_where_it_would_bend(tmp_path: Path) -> None:
    """A -4 rivet of 3/32 at 1.32 mm stands out 2.1 D: (0.25 - 0.05197) / 0.09375 = 2.11."""
    async with screens(tmp_path, (120, 40), stocked) as (app, pilot):
        await press(pilot, "4")
        row = next(line for line in lines_of(app) if "MS20470AD3-4" in line)
        assert "tail 2.11 D" in row
        assert any("! The tail stands out 2.1 D, outside 1.3 to 1.8 D" in line for line in lines_of(app))


async def test_a_cleco_shows_its_size_before_its_colour(tmp_path: Path) -> None:
    async with screens(tmp_path, (120, 40), stocked) as (app, pilot):
        await press(pilot, "4")
        assert any("clecos 5/32 (" in line for line in lines_of(app))
        assert any("clecos 3/32 (" in line for line in lines_of(app))


async def test_what_to_order_stands_last_and_stock_is_entered_from_it(tmp_path: Path) -> None:
    async with screens(tmp_path, (80, 24), ordered) as (app, pilot):
        await press(pilot, "4", "end")
        lines = lines_of(app)
        row = next(line for line in lines if line.startswith(">"))
        assert "order now" in row
        assert "Nutplates" in row
        assert any("To order until" in line for line in lines)
        await press(pilot, "tab")
        assert "order from Fastener shop by" in text_of(app)
        await press(pilot, "tab", "k")
        form = app.panel.form
        assert form is not None
        assert form.answers["item"] == "nuts"


async def test_what_comes_late_is_told_where_it_is_ordered(tmp_path: Path) -> None:
    async with screens(tmp_path, (120, 40), late) as (app, pilot):
        await press(pilot, "4", "end")
        assert "Nutplates: comes 24 Dec 2026, wanted 28 Nov 2026 for Fit nutplates" in text_of(app)


async def test_of_two_that_come_late_only_the_chosen_one_is_told_at_length(tmp_path: Path) -> None:
    def both(plan: Plan) -> Plan:
        glue = replace(plan.item["glue"], lots=(), on_order=OnOrder(100, date(2026, 12, 23)))
        changed = late(plan)
        return replace(changed, items=tuple(glue if item.id == "glue" else item for item in changed.items))

    async with screens(tmp_path, (80, 24), both) as (app, pilot):
        await press(pilot, "4", "end", "tab")
        told = " ".join(row.text for row in lay_rows(app.board, app.list.chosen, 200))
        assert told.count("comes ") == 1


async def test_each_warning_is_read_once_and_names_its_handbook(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, _):
        squeeze = app.board.desk.cautions("rivet")
        assert len(squeeze) == 1
        assert "NAVEDTRA 14001" in squeeze[0]
        told = [caution for task in app.board.project.plan.tasks for caution in app.board.desk.cautions(task.id)]
        assert "Eye protection." not in told
        assert "Gloves, ventilation." not in told
