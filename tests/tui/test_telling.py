"""What the screens say of an act: before it, what a waiver lets go; after it, warnings, clocks, and titles not ids."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.shop_floor import Wall
from tests.tui.screens import choose, fill, lines_of, press, screens, settle, text_of

from fitup.model.asks import AskTick
from fitup.model.plan import Hold, Plan
from fitup.tui.commands import key_words
from fitup.tui.wording.common import titled

LET_GO = (
    "Mind: the check waited for Cleco the skin [front], which is not done; nothing else holds Rivet the skin for it"
)


def only_the_check(plan: Plan) -> Plan:
    """Leave on the riveting its check alone, so that nothing else has the skin clecoed first."""
    tasks = [
        replace(task, holds=(Hold("check", until="twist"),), closes=()) if task.id == "rivet" else task
        for task in plan.tasks
    ]
    return replace(plan, tasks=tuple(tasks))


async def test_what_a_waiver_lets_go_is_said_before_it_is_done_and_after(tmp_path: Path) -> None:
    async with screens(tmp_path, change=only_the_check) as (app, pilot):
        await choose(app, pilot, "Tasks", "rivet")
        await press(pilot, "w")
        assert LET_GO in text_of(app)
        assert not app.board.project.progress.waivers
        await fill(app, pilot, None, "seen it", "Kim")
        assert app.panel.form is None
        assert LET_GO in text_of(app)
        assert "Rivet the skin: waived: check twist, seen it, seen by Kim. Free now: " in text_of(app)


async def test_a_waiver_that_lets_nothing_else_go_warns_of_nothing(tmp_path: Path) -> None:
    async with screens(tmp_path, change=only_the_check) as (app, pilot):
        app.board.desk.do(AskTick("cleco"))
        app.board.replan()
        await choose(app, pilot, "Tasks", "rivet")
        await press(pilot, "w")
        assert "shown in every record" in text_of(app)
        assert "Mind:" not in text_of(app)


async def test_the_warning_is_that_of_the_hold_chosen(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "rivet")
        await press(pilot, "w")
        form = app.panel.form
        assert form is not None
        seen = set()
        form.at = 0
        for _ in form.fields[0].choices:
            await press(pilot, "right")
            seen.add("Mind: the check waited for" in text_of(app))
        assert seen == {True, False}


async def test_a_tick_says_when_it_was_finished_and_which_clocks_it_started(tmp_path: Path) -> None:
    async with screens(tmp_path, wall=Wall()) as (app, pilot):
        await choose(app, pilot, "Tasks", "glue-rib")
        await press(pilot, "t", *"08:50", "enter")
        said = text_of(app)
        assert "Glue the rib: done. Finished 08:50." in said
        assert "cures until 20:50; Rivet the skin waits for it" in said
        await choose(app, pilot, "Tasks", "mix")
        await press(pilot, "t", *"08:58", "enter")
        assert "Lay the bead must be finished by 10:" in text_of(app)


async def test_a_tick_that_starts_nothing_says_no_more_than_before(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "t", "enter")
        assert "Finished" not in text_of(app)


@pytest.mark.parametrize(
    ("sentence", "shown"),
    [
        ("cleco is already done", "Cleco the skin [front] is already done"),
        ("Mind: twist waited for the rest", "Mind: Check for twist waited for the rest"),
        ("taken back: cleco (Cleco the skin [front]): done", "taken back: Cleco the skin [front]: done"),
        ("glue-rib: cure of glue-rib set", "Glue the rib: cure of Glue the rib set"),
        ("wait for glue-rib.", "wait for Glue the rib."),
        (
            "Mind: the check waited for mix, cleco and 3 tasks more, and for it",
            "Mind: the check waited for Mix a cup, Cleco the skin [front] and 3 tasks more, and for it",
        ),
        ("lay a wire, then mix", "lay a wire, then mix"),
        ("glue-ribs and re-glue-rib stay", "glue-ribs and re-glue-rib stay"),
    ],
)
async def test_sentences_name_tasks_by_their_titles(tmp_path: Path, sentence: str, shown: str) -> None:
    async with screens(tmp_path) as (app, _):
        assert titled(app.board, sentence) == shown


async def test_enter_offers_nothing_on_done_work_and_says_how_it_is_opened_again(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.board.desk.do(AskTick("cleco"))
        app.board.replan()
        await choose(app, pilot, "Tasks", "cleco")
        assert "Enter" not in [key for key, _ in key_words(app.here())[0]]
        await press(pilot, "enter")
        assert "Cleco the skin [front] is done; r reopens it" in text_of(app)


async def test_the_key_that_leads_to_the_detail_says_that_it_leads_back(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "twist")
        assert "Tab back" not in lines_of(app)[-1]
        await press(pilot, "tab")
        assert lines_of(app)[-1].startswith(" Tab back")
        await press(pilot, "tab")
        assert "Tab back" not in lines_of(app)[-1]


async def test_a_list_to_pick_from_says_what_enter_comes_to(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "2", "f")
        assert "Enter go there" in lines_of(app)[-1]
        await press(pilot, "f4", "f2", *"undo")
        assert "Enter run it" in lines_of(app)[-1]
        await press(pilot, "ctrl+u", *"hang the tab")
        assert "Enter go there" in lines_of(app)[-1]


async def test_a_better_sheet_is_told_in_one_row_of_the_session_page_only(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.tell("ticked")
        for _ in range(2):
            app._tell_better("A better run sheet: now with " + "a-task-of-a-long-title," * 9)
        app.paint()
        await settle(app, pilot)
        assert sum("A better run sheet" in line for line in lines_of(app)) == 1
        assert len(app._said_rows(80)) == 2
        await press(pilot, "2")
        app._tell_better("A better run sheet: without it.")
        app.paint()
        await settle(app, pilot)
        assert "A better run sheet" not in text_of(app)
