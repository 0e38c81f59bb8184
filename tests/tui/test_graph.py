"""The Graph page: walking along edges, jumps, acts from the drawing, the whole plan, and every poor terminal."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from tests.shop_floor import Wall
from tests.tui.screens import fill, lines_of, press, screens, text_of
from tests.tui.test_looks import HOSTILE, SIZES, renamed

from fitup.drawing import ASCII, ROUND, SQUARE
from fitup.model.plan import Assembly, Hold, Plan
from fitup.tui.app import FitupApp
from fitup.tui.stage import glyphs_for
from fitup.tui.widgets.picture import Picture


def two_assemblies(plan: Plan) -> Plan:
    """Return the plan with its last two tasks in an assembly of their own."""
    tasks = tuple(replace(t, assembly="fin") if t.id in ("nutplates", "hinge") else t for t in plan.tasks)
    return replace(plan, tasks=tasks, assemblies=(*plan.assemblies, Assembly("fin", "Fin")))


def long_chain(plan: Plan) -> Plan:
    """Return a plan whose first task is followed by forty more, one after the other."""
    first = plan.tasks[0]
    later = [
        replace(first, id=f"step-{n}", title=f"Step {n}", clecos=(),
                holds=(Hold("after", until=f"step-{n - 1}" if n else first.id),))
        for n in range(40)
    ]  # fmt: skip
    return replace(plan, tasks=(replace(first, clecos=()), *later), bays=())


def chosen_cells(app: FitupApp) -> str:
    """Return the text of the cells that are set off as chosen."""
    look = app.drawing.get_component_rich_style("picture--cursor", partial=True)
    strips = app.screen._compositor.render_strips()
    return "".join(s.text for strip in strips for s in strip if s.style is not None and s.style.bgcolor == look.bgcolor)


async def test_the_page_draws_around_the_task_chosen_elsewhere(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.go("Holds", "root cleco")
        await press(pilot, "2")
        assert (app.page, app.drawing.chosen) == ("Graph", "cleco")
        assert "Cleco the skin [front]" in chosen_cells(app)
        text = text_of(app)
        assert "Check for twist" in text
        assert "=check" in text.replace("≡", "=")


async def test_arrow_keys_walk_along_edges_and_back_the_way_one_came(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.go("Graph", "cleco")
        await press(pilot, "down", "down")
        assert app.drawing.chosen == "rivet"
        await press(pilot, "up")
        assert app.drawing.chosen == "twist"
        await press(pilot, "down", "b", "b")
        assert app.drawing.chosen == "rivet", "b goes back step by step, through what was walked over"
        await press(pilot, "b", "b", "b", "b", "b")
        assert "this is where the walk began" in text_of(app)


async def test_left_and_right_go_to_the_neighbours_of_the_level(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.go("Graph", "rivet")
        await pilot.pause()
        drawing = app.drawing._drawing
        assert drawing is not None
        beside = [box.node for box in drawing.boxes if box.level == drawing.box_of["twist"].level]
        assert {"twist", "glue-rib", "wire"} <= set(beside)
        await press(pilot, "up")
        here = beside.index(app.drawing.chosen)
        layouts = app.drawing.layouts
        for step, key in ((1, "right"), (-1, "left")):
            if 0 <= here + step < len(beside):
                await press(pilot, key)
                here += step
                assert app.drawing.chosen == beside[here]
        assert app.drawing.layouts == layouts, "a choice inside the drawing lays nothing out"


async def test_walking_out_of_the_drawing_draws_anew_around_the_way(tmp_path: Path) -> None:
    async with screens(tmp_path, change=long_chain) as (app, pilot):
        app.go("Graph", "cleco")
        for _ in range(30):
            await press(pilot, "down")
            assert "more" in text_of(app)
        assert app.drawing.chosen == "step-29"
        assert "Step 29" in chosen_cells(app)
        for _ in range(30):
            await press(pilot, "up")
        assert app.drawing.chosen == "cleco"


async def test_keys_that_come_at_once_are_laid_out_once(tmp_path: Path) -> None:
    async with screens(tmp_path, change=long_chain) as (app, pilot):
        app.go("Graph", "cleco")
        await pilot.pause()
        layouts = app.drawing.layouts
        for _ in range(30):
            app.action_move("down")
        await pilot.pause()
        assert app.drawing.chosen == "step-29"
        assert app.drawing.layouts - layouts <= 2
        assert "Step 29" in chosen_cells(app)


async def test_jumps_go_round_by_state_and_along_the_critical_chain(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.go("Graph", "cleco")
        states = app.board.readiness().states
        order = [task.id for task in app.board.project.plan.tasks]
        for key, wanted in (("h", ("held",)), ("o", ("ready", "under way"))):
            seen = set()
            for _ in order:
                await press(pilot, key)
                seen.add(app.drawing.chosen)
            assert seen == {task for task in order if states[task] in wanted}
        await press(pilot, "j")
        assert app.drawing.chosen in app.board.desk.chain().critical


async def test_a_task_is_found_by_title_id_or_assembly_while_typing(tmp_path: Path) -> None:
    async with screens(tmp_path, change=two_assemblies) as (app, pilot):
        await press(pilot, "2", "f", *"nutp")
        assert "Fit nutplates nutplates" in text_of(app)
        await press(pilot, "enter")
        assert app.drawing.chosen == "nutplates"
        await press(pilot, "f", *"fin hang", "enter")
        assert (app.page, app.drawing.chosen) == ("Graph", "hinge")


async def test_the_list_is_one_key_away_and_shares_the_chosen_task(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.go("Graph", "glue-rib")
        await press(pilot, "i")
        assert (app.page, app.list.chosen) == ("Tasks", "glue-rib")
        assert app.list.display
        assert not app.drawing.display
        await press(pilot, "down", "i")
        assert (app.page, app.drawing.chosen) == ("Graph", "mix")


async def test_an_act_from_the_drawing_shows_what_became_ready(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.go("Graph", "cleco")
        await press(pilot, "down")
        assert "■ Check for twist" in text_of(app).replace("■*", "■")
        assert "To act on now: Cleco the skin [front]" in text_of(app)
        await press(pilot, "up", "enter")
        assert "Check for twist" in text_of(app), "the drawing stays in view over the panel"
        await press(pilot, "enter")
        assert "Free now: Check for twist" in text_of(app)
        assert "○ Check for twist" in text_of(app).replace("○*", "○")
        assert app.drawing._fresh == {"twist"}
        await press(pilot, "down", "m")
        await fill(app, pilot, "1", "1", "1", "1")
        assert app.board.project.done("twist")
        await press(pilot, "u")
        assert not app.board.project.done("twist")


async def test_the_whole_plan_opens_into_one_assembly_and_back(tmp_path: Path) -> None:
    async with screens(tmp_path, change=two_assemblies) as (app, pilot):
        app.go("Graph", "hinge")
        await press(pilot, "f3")
        assert (app.page, app.drawing.chosen) == ("Whole", "fin")
        assert "0 done, 0 ready" in text_of(app)
        assert "2 of 2 stand" not in text_of(app) or "→" in text_of(app)
        await press(pilot, "up")
        assert app.drawing.chosen == "tab"
        await press(pilot, "enter")
        assert app.page == "Inside"
        assert set(app.drawing._graph.number) == {
            task.id for task in app.board.project.plan.tasks if task.assembly == "tab"
        }
        await press(pilot, "t", "enter")
        assert app.board.project.progress.of(app.drawing.chosen).done
        await press(pilot, "f3", "f3")
        assert app.page == "Graph"


@pytest.mark.parametrize("size", SIZES)
async def test_the_chosen_task_is_in_view_in_every_size(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(tmp_path, size, change=two_assemblies) as (app, pilot):
        app.go("Graph", "rivet")
        for keys in (["up"], ["down", "down"], ["f3"], ["enter"], ["down", "right"], ["end"], ["home"], ["tab"]):
            await press(pilot, *keys)
            assert all(len(line) == size[0] for line in lines_of(app))
            assert app.drawing._box(app.drawing.chosen) is not None
            assert chosen_cells(app) or keys == ["tab"]


async def test_only_ascii_is_drawn_where_only_ascii_can_be(tmp_path: Path) -> None:
    odd = renamed("Zusammenfügen – “schräg” ✈ ｗｉｄｅ")
    async with screens(tmp_path, (80, 24), odd, ascii_only=True) as (app, pilot):
        for keys in (["2"], ["h"], ["up", "down"], ["f"], ["f4", "f3"], ["enter"], ["tab"], ["f1"]):
            await press(pilot, *keys)
            assert "".join(lines_of(app)).isascii()


async def test_without_colour_every_cell_has_a_style_and_the_chosen_box_is_reversed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with screens(tmp_path) as (app, pilot):
        app.go("Graph", "twist")
        for keys in ([], ["down"], ["f3"], ["enter"]):
            await press(pilot, *keys)
            strips = app.screen._compositor.render_strips()
            assert all(segment.style is not None for strip in strips for segment in strip)
            region = app.drawing.region
            rows = strips[region.y : region.bottom]
            marked = "".join(s.text for strip in rows for s in strip if s.style is not None and s.style.reverse)
            assert marked.strip()


async def test_hostile_titles_are_only_text_in_the_drawing(tmp_path: Path) -> None:
    async with screens(tmp_path, (120, 40), renamed(HOSTILE)) as (app, pilot):
        for keys in (["2"], ["down", "up", "right", "left"], ["f", "r"], ["enter"], ["f3"], ["enter"]):
            await press(pilot, *keys)
            assert "".join(lines_of(app)).isprintable()
        assert "[b [/ [/b] [red]{'a[0]'} [31m" in text_of(app)


async def test_a_choice_in_view_paints_two_boxes_and_the_lines_that_tell_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.go("Graph", "cleco")
        await pilot.pause()
        painted: list[int] = []
        render_line = Picture.render_line

        def spy(picture: Picture, y: int):  # type: ignore[no-untyped-def]
            painted.append(y)
            return render_line(picture, y)

        monkeypatch.setattr(Picture, "render_line", spy)
        await press(pilot, "down")
        assert len(painted) == 2
        painted.clear()
        await press(pilot, "f8")
        assert len(set(painted)) == app.drawing.size.height


async def test_the_drawing_lies_still_while_nothing_happens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        await press(pilot, "2")
        layouts = app.drawing.layouts
        for _ in range(3):
            wall.now += timedelta(minutes=1)
            app._keep_up()
            app.paint()
            await pilot.pause()
        assert app.drawing.layouts == layouts


async def test_what_is_on_the_screen_is_what_a_full_painting_shows(tmp_path: Path) -> None:
    async with screens(tmp_path, change=long_chain) as (app, pilot):
        app.go("Graph", "cleco")
        for key in ["down"] * 12 + ["up", "f7", "h", "b", "end", "home", "pagedown", "i", "i", "f3", "enter", "end"]:
            await press(pilot, key)
            drawing = app.drawing._lay()
            for y, strip in app.drawing._painted.items():
                assert strip.text == app.drawing._line(drawing, y, app.drawing.size.width).text, key


def test_each_terminal_gets_the_lines_that_its_font_has() -> None:
    assert glyphs_for(True, "xterm") is ASCII
    assert glyphs_for(False, "linux") is SQUARE
    assert glyphs_for(False, "screen") is ROUND
