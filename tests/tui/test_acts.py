"""Acts on the screens: what is asked, what comes of it, what is refused, and that undo says what it undid."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.shop_floor import Wall
from tests.tui.screens import choose, fill, press, screens, text_of

from fitup.desk import Desk
from fitup.model.asks import AskTick


async def test_a_reading_that_is_missing_is_asked_for_by_the_name_of_its_field(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "twist")
        await press(pilot, "m")
        await fill(app, pilot, "402,5", "402.0", "", "x")
        assert app.panel.trouble.endswith(": a figure is needed")
        assert app.panel.form is not None
        asked_for = app.panel.form.field
        assert asked_for.text == ""
        assert app.panel.trouble.startswith(asked_for.label.removesuffix(" mm"))
        await fill(app, pilot, None, None, "402.1", "x")
        assert app.panel.trouble.endswith("'x' is not a figure; write it as 12 or 12.5")


async def test_a_task_is_ticked_in_part_and_the_session_is_planned_anew(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        before = app.board.sheet
        await press(pilot, "t", *"12", "tab", *"7", "enter")
        assert app.board.project.progress.of("cleco").done == 12
        assert app.board.project.progress.of("cleco").minutes == 7
        assert app.board.sheet is not before
        assert "12 done of 20" in text_of(app)
        assert "12 of 20" in text_of(app)
        assert "u takes it back" in text_of(app)


async def test_undo_says_what_it_undid_and_redo_makes_it_again(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "t", "enter", "u")
        assert "taken back: Cleco the skin [front]" in text_of(app)
        assert app.board.project.progress.of("cleco").done == 0
        await press(pilot, "y")
        assert app.board.project.progress.of("cleco").done == 20
        await press(pilot, "u", "u")
        assert "there is nothing to undo" in text_of(app)


async def test_a_refusal_is_shown_in_the_panel_and_nothing_typed_is_lost(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "rivet")
        await press(pilot, "t", *"12", "enter")
        assert "Rivet the skin is held and cannot be ticked" in text_of(app)
        assert app.panel.form is not None
        assert app.panel.form.answers["count"] == "12"
        await press(pilot, "f4")
        assert app.panel.form is None
        assert app.board.project.progress.of("rivet").done == 0


async def test_bad_figures_are_refused_with_a_sentence(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "t", *"many", "enter")
        assert "count: 'many' is not a figure" in text_of(app)


async def test_work_that_starts_a_clock_asks_first_when_it_was_finished(tmp_path: Path) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        await choose(app, pilot, "Tasks", "glue-rib")
        await press(pilot, "t")
        assert app.panel.form is not None
        assert app.panel.form.field.label == "finished when?"
        assert app.panel.form.field.text == "now"
        await press(pilot, *"08:50", "enter")
        finished = app.board.project.progress.of("glue-rib").finished_at
        assert finished is not None
        assert (wall.now - finished).total_seconds() == 600
        assert "20:50" in text_of(app)


async def test_a_check_that_passes_is_ticked_and_frees_what_waited(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.board.desk.do(AskTick("cleco"))
        app.board.replan()
        await choose(app, pilot, "Tasks", "twist")
        await press(pilot, "enter")
        await fill(app, pilot, "402.5", "402.4", "402.5", "402.3")
        assert app.board.project.done("twist")
        assert "√ pass: 0.2 mm against 1 mm" in text_of(app)


async def test_a_check_that_fails_is_told_and_not_ticked(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.board.desk.do(AskTick("cleco"))
        app.board.replan()
        await choose(app, pilot, "Tasks", "twist")
        await press(pilot, "m")
        await fill(app, pilot, "402.5", "405", "402.5", "402.3")
        assert "× fail" in text_of(app)
        assert not app.board.project.done("twist")


async def test_a_close_call_is_decided_with_a_reason(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.board.desk.do(AskTick("cleco"))
        app.board.replan()
        await choose(app, pilot, "Tasks", "twist")
        await press(pilot, "m")
        await fill(app, pilot, "402.5", "403.4", "402.5", "402.3")
        assert "Too close to call" in text_of(app)
        await press(pilot, "right", "enter")
        assert "needs a reason" in text_of(app)
        await press(pilot, *"feeler", "enter")
        assert app.board.project.done("twist")
        assert "decided by Robin: feeler" in text_of(app)


@pytest.mark.parametrize(
    ("task", "key", "answers", "kind"),
    [
        ("cleco", "x", ("the rib is bent", None), "stop"),
        ("cleco", "n", ("row 2 next", "yes"), "note"),
        ("wire", "g", None, "clock-start"),
        ("hinge", "l", (None, "they said fine"), "lift"),
        ("rivet", "w", (None, "seen it", "Kim", "yes"), "waive"),
        ("rivet", "c", (None, "20", "cold week"), "cure"),
        ("hinge", "s", ("inspector",), "sign"),
        ("hinge", "v", ("glue", "2027-05-01"), "arrived"),
        ("nutplates", "k", ("nuts", "+8"), "stock"),
        ("cleco", "d", ("18", "6", "no"), "temperature"),
        ("cleco", "f6", None, "clock-start"),
    ],
)
async def test_every_act_is_written_down_from_the_chosen_task(
    tmp_path: Path, task: str, key: str, answers: tuple[str | None, ...] | None, kind: str
) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", task)
        await press(pilot, key)
        if answers is not None:
            await fill(app, pilot, *answers)
        assert app.panel.form is None, app.panel.trouble
        assert app.board.desk.journal()[-1].name == kind


async def test_done_work_is_reopened_in_part_with_a_reason(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.board.desk.do(AskTick("cleco"))
        app.board.replan()
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "r")
        await fill(app, pilot, "5", "")
        assert "needs a reason" in text_of(app)
        await fill(app, pilot, "5", "wrong size")
        assert app.board.project.progress.of("cleco").done == 15
        assert "reopened" in text_of(app)


async def test_a_mix_is_started_again_without_marks(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.board.desk.do(AskTick("mix"))
        app.board.replan()
        await choose(app, pilot, "Tasks", "mix")
        await press(pilot, "a", "enter")
        assert app.board.project.progress.of("mix").done == 0


async def test_a_photo_that_is_not_there_is_refused_and_one_that_is_goes_on_file(tmp_path: Path) -> None:
    photo = tmp_path / "wire.jpg"
    photo.write_bytes(b"\xff\xd8\xff\xe0 picture")
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "wire")
        await press(pilot, "p")
        await fill(app, pilot, str(tmp_path / "none.jpg"))
        assert "cannot be read" in text_of(app)
        await fill(app, pilot, str(photo))
        assert app.board.project.progress.photographed("wire")


async def test_a_thing_on_the_bench_is_ticked_as_laid_out_and_put_back(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "4", "enter")
        assert len(app.board.project.progress.laid_out) == 1
        assert ": laid out for 2026-11-28. u takes it back." in text_of(app)
        assert "tool " not in app.said[0].text
        assert "[x]" in text_of(app)
        await press(pilot, "enter")
        assert not app.board.project.progress.laid_out


async def test_a_hold_is_answered_from_the_holds_page(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "3")
        stop = next(row for row in app.list._keys if row.startswith("hold hinge\nstop"))
        await choose(app, pilot, "Holds", stop)
        await press(pilot, "enter")
        assert "Lift a hold of: Hang the tab" in text_of(app)
        await fill(app, pilot, None, "they said fine")
        assert app.board.desk.journal()[-1].name == "lift"
        assert stop not in app.list._keys


async def test_what_another_terminal_wrote_appears_by_itself(tmp_path: Path) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        await press(pilot, "2", "i")
        other = Desk.open(app.board.desk.path, "Kim", wall)
        other.do(AskTick("cleco", 4))
        other.close()
        app._keep_up()
        await pilot.pause()
        assert "written elsewhere by Kim: Cleco the skin" in text_of(app)
        assert "4 of 20" in text_of(app)


async def test_what_another_terminal_did_first_is_refused_here_with_a_sentence(tmp_path: Path) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "t")
        other = Desk.open(app.board.desk.path, "Kim", wall)
        other.do(AskTick("cleco"))
        other.close()
        await press(pilot, "enter")
        assert "Cleco the skin [front] is already done" in text_of(app)
