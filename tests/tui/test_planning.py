"""The Session page: the morning in eight lines, and planning anew when something is wished otherwise."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.shop_floor import Wall
from tests.tui.screens import choose, fill, lines_of, press, screens, text_of

from fitup.desk_proof import Proofs
from fitup.model.amounts import local_iso
from fitup.model.asks import AskMeasure, AskNote, AskTick
from fitup.model.marks import CAUTION
from fitup.model.plan import Plan


async def test_the_first_lines_answer_the_morning(tmp_path: Path) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        desk = app.board.desk
        desk.do(AskTick("cleco", 12))
        desk.do(AskNote("wire", "start with the clips", next_time=True))
        desk.do(AskTick("glue-rib"))
        app.board.replan()
        app.paint()
        await pilot.pause()
        leads = [line[:7].strip() for line in lines_of(app)[1:9]]
        assert leads == ["First", "Note", "Cures", "Short", "Shop", "Helper", "Bays", "Ends"]
        text = text_of(app)
        assert "stopped at 12 of 20" in text
        assert "drawing 4, sheet 2" in text
        assert "start with the clips" in text
        assert "21:00 Glue the rib" in text
        assert CAUTION.split(":")[0] in text


async def test_minutes_are_changed_in_place_and_the_sheet_is_another(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "1", "i", *"30", "enter")
        assert app.board.question is not None
        assert app.board.question.minutes == 30
        assert app.board.sheet is not None
        assert all(line.end <= 20 for line in app.board.sheet.lines)


async def test_how_sure_the_sheet_should_be_is_chosen_beside_its_minutes(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        assert app.board.wishes.sure is None
        await press(pilot, "i")
        await fill(app, pilot, "60", None, "80")
        sheet = app.board.sheet
        assert sheet is not None
        assert sheet.question.sure == 0.8
        assert sheet.chance >= 0.8
        assert "sure to be finished (80% asked)" in text_of(app)
        await press(pilot, "i", "tab", "tab", *"150", "enter")
        assert "150 cannot be; give a chance such as 80 %" in text_of(app)
        await press(pilot, "ctrl+u", "enter")
        assert app.board.wishes.sure is None


async def test_an_empty_sheet_says_when_it_is_the_wanted_certainty_that_empties_it(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        sheet = app.board.sheet
        assert sheet is not None
        app.board.sheet = replace(sheet, lines=(), question=replace(sheet.question, sure=0.99))
        app.paint()
        await pilot.pause()
        assert "nothing is 99% sure to be finished in time; i asks for less" in text_of(app)


async def test_a_session_that_cannot_be_is_refused_and_the_old_one_stands(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        before = app.board.question
        await press(pilot, "i", *"9999", "enter")
        assert "cannot be planned" in text_of(app)
        assert app.board.question == before


async def test_the_helper_and_the_temperature_change_the_plan(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "h")
        await fill(app, pilot, "09:30-10:30")
        assert app.board.question is not None
        assert app.board.question.helper == ((30, 90),)
        assert "until 10:30" in text_of(app)
        await press(pilot, "d")
        await fill(app, pilot, "4", "", "yes")
        assert app.board.question.celsius == 4
        assert not app.board.project.progress.temperatures
        assert "supposed" in text_of(app)


async def test_work_for_two_that_is_ready_and_left_out_is_named_with_its_reason(tmp_path: Path) -> None:
    def for_two(plan: Plan) -> Plan:
        return replace(plan, tasks=tuple(replace(t, crew=2) if t.id == "glue-rib" else t for t in plan.tasks))

    async with screens(tmp_path, change=for_two) as (app, pilot):
        await press(pilot, "h")
        await fill(app, pilot, "09:00-09:10")
        assert "no work for two; Glue the rib: needs a helper after 09:10" in text_of(app)
        await press(pilot, "h")
        await fill(app, pilot, "09:00-10:00")
        assert "until 10:00: Glue the rib" in text_of(app)


async def test_a_long_title_leaves_room_for_the_reason(tmp_path: Path) -> None:
    def for_two(plan: Plan) -> Plan:
        title = "Glue the rib of the trim tab to both of its skins"
        return replace(
            plan, tasks=tuple(replace(t, crew=2, title=title) if t.id == "glue-rib" else t for t in plan.tasks)
        )

    async with screens(tmp_path, change=for_two) as (app, pilot):
        await press(pilot, "h")
        await fill(app, pilot, "09:00-09:10")
        assert "no work for two; Glue the rib of the trim…: needs" in text_of(app)


async def test_the_shop_line_says_from_when_it_has_to_be_warm_and_for_what(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, _):
        assert "not measured today (d); 15 to 32 C needed from 09:00: Glue the rib" in text_of(app)


async def test_the_shop_line_says_what_is_left_out_for_the_cold_and_how_warm_it_wants_it(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "d")
        await fill(app, pilot, "46F", "", "no")
        assert "7.8 C at 09:00; 1 task left out, needs 15 C: Glue the rib" in text_of(app)
        assert "shop 7.8 C (09:00)" in text_of(app)
        assert app.board.project.progress.temperatures[-1].celsius == 7.78


async def test_the_start_is_said_as_people_say_it(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "b")
        await fill(app, pilot, "sat 10:00")
        assert app.board.question is not None
        assert local_iso(app.board.question.start) == "2026-11-28T10:00"
        await press(pilot, "b")
        await fill(app, pilot, "gestern")
        assert "is not a time" in text_of(app)


async def test_the_end_of_the_session_stays_while_work_goes_on(tmp_path: Path) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        end = app.board.end
        wall.pass_hours(1)
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "t", "enter")
        question = app.board.question
        assert question is not None
        assert question.instant(question.minutes) == end
        assert question.start == wall.now


async def test_a_task_is_wished_first_or_left_off(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "wire")
        await press(pilot, "e")
        assert app.board.wishes.first == ("wire",)
        await press(pilot, "z")
        assert not app.board.wishes.first
        assert app.board.wishes.without == ("wire",)
        assert app.board.sheet is not None
        assert "wire" not in [line.task for line in app.board.sheet.lines]


async def test_what_was_left_out_is_shown_with_its_reason_on_a_key(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "i", *"20", "enter", "o")
        assert app.board.sheet is not None
        assert app.board.sheet.left_out
        assert "Not today, and why" in text_of(app)
        assert app.list.chosen == f"out {app.board.sheet.left_out[0].task}"
        await press(pilot, "o")
        assert app.list.chosen == f"line {app.board.sheet.lines[0].task}"


async def test_enter_on_a_task_left_out_tells_what_it_would_cost(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "i", *"40", "enter", "o")
        assert "Enter why not" in lines_of(app)[-1]
        await press(pilot, "enter")
        assert "can be done today without" in text_of(app)
        assert "by the best sheets found" in text_of(app)
        await press(pilot, "t")
        assert app.panel.form is not None


async def test_what_cannot_be_forced_onto_the_sheet_is_said_to_be_so(tmp_path: Path) -> None:
    def for_two(plan: Plan) -> Plan:
        return replace(plan, tasks=tuple(replace(t, crew=2) if t.id == "wire" else t for t in plan.tasks))

    async with screens(tmp_path, change=for_two) as (app, pilot):
        await choose(app, pilot, "Session", "out wire")
        await press(pilot, "enter")
        assert "Lay the wire cannot be done in this session: needs a helper." in text_of(app)


async def test_what_to_make_ready_stands_below_the_run_sheet(tmp_path: Path) -> None:
    def warm(plan: Plan) -> Plan:
        return replace(plan, tasks=tuple(replace(t, temperature=(21, 32)) if t.id == "mix" else t for t in plan.tasks))

    async with screens(tmp_path, change=warm) as (app, pilot):
        assert app.board.sheet is not None
        assert "mix" in [line.task for line in app.board.sheet.lines]
        await choose(app, pilot, "Session", "prepare 0")
        assert "To make ready" in text_of(app)
        assert "Shop at 21 C by" in text_of(app)
        assert "for Mix a cup." in text_of(app)


async def test_the_answer_waits_until_the_sheet_is_proven(tmp_path: Path) -> None:
    with Proofs() as proofs:
        async with screens(tmp_path, proofs=proofs) as (app, pilot):
            await press(pilot, "i", *"40", "enter", "o", "enter")
            assert app.asking is not None
            assert app.asking.pending
            assert "on the run sheet ..." in text_of(app)
            while app.asking.pending:
                await pilot.pause(0.1)
            await pilot.pause()
            assert "can be done today" in text_of(app)
            assert not app._proving._active.is_set()


async def test_a_bay_that_is_closed_today_is_said(tmp_path: Path) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        desk = app.board.desk
        for task in ("cleco", "wire", "glue-rib"):
            desk.do(AskTick(task))
        desk.do(AskMeasure("twist", desk.parse_readings("twist", ["root=1/1", "tip=1/1"])))
        photo = tmp_path / "wire.jpg"
        photo.write_bytes(b"\xff\xd8\xff\xe0 picture")
        await choose(app, pilot, "Tasks", "wire")
        await press(pilot, "p")
        await fill(app, pilot, str(photo))
        wall.pass_hours(13)
        app.board.begin = app.board.end = None
        app.board.replan()
        await press(pilot, "1")
        assert "closes inside of the tab today" in text_of(app)


async def test_cures_that_are_over_are_taken_in_when_the_minute_turns(tmp_path: Path) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, _pilot):
        app.board.desk.do(AskTick("glue-rib"))
        app.board.replan()
        assert app.board.catch_up() == ""
        wall.pass_hours(1)
        assert app.board.catch_up() == ""
        wall.pass_hours(12)
        assert app.board.catch_up() == "time"
        assert "cure" not in {hold.kind for hold in app.board.standing("rivet")}


async def test_the_task_list_is_narrowed_while_typing(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "2", "i", "f", *"glue")
        assert app.list._keys[1:] == ["glue-rib"]
        await press(pilot, "f4")
        assert len(app.list._keys) == 10
        await press(pilot, "f", "tab", "h", "enter")
        assert "held" in lines_of(app)[1]
        assert set(app.list._keys[1:]) == {"twist", "bead", "rivet", "nutplates", "hinge"}
        await press(pilot, "o")
        assert len(app.list._keys) == 10
