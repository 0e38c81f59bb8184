"""What the screens look like on poor terminals, in small windows, and with hostile text; and that they lie still."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from tests.shop_floor import Wall, make_project
from tests.tui.screens import choose, lines_of, press, screens, text_of

from fitup.desk import Desk
from fitup.model.asks import AskNote
from fitup.model.plan import Plan
from fitup.model.refusal import Refused
from fitup.tui.app import THEMES
from fitup.tui.room import WIDE
from fitup.tui.running import run
from fitup.tui.widgets.lines import Lines

SIZES = [(20, 5), (40, 10), (60, 20), (80, 24), (119, 30), (120, 40), (200, 50)]
HOSTILE = "[b [/ [/b] [red]{'a[0]'} \u001b[31m\u0007 \u202e ｗｉｄｅ \u0301 é"


def renamed(title: str) -> Callable[[Plan], Plan]:
    """Return what gives a plan odd titles everywhere, as a file that no plan reader has seen might have."""

    def rename(plan: Plan) -> Plan:
        tasks = tuple(replace(task, title=title, note=title, caution=title, ref=title) for task in plan.tasks)
        items = tuple(replace(item, title=title) for item in plan.items)
        bays = tuple(replace(bay, title=title) for bay in plan.bays)
        assemblies = tuple(replace(assembly, title=title) for assembly in plan.assemblies)
        return replace(plan, title=title, tasks=tasks, items=items, bays=bays, assemblies=assemblies)

    return rename


@pytest.mark.parametrize("size", [SIZES[0], SIZES[-1]])
async def test_the_screens_open_in_the_smallest_and_in_a_large_window(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(tmp_path, size) as (app, _):
        assert all(len(line) == size[0] for line in lines_of(app))


async def test_every_page_and_panel_stands_every_size(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        for size in SIZES:
            await pilot.resize_terminal(*size)
            for key in ("1", "2", "3", "4", "f9", "f1"):
                app.action_key(key)
                for move in ("tab", "pagedown", "tab", "end"):
                    app.action_key(move) if move == "tab" else app.action_move(move)
                await pilot.pause()
                assert all(len(line) == size[0] for line in lines_of(app))
            for key in ("f2", "f", "m", "w"):
                app.go("Tasks", "rivet" if key == "w" else "twist")
                app.action_key(key)
                await pilot.pause()
                assert app.panel.form is not None
                assert all(len(line) == size[0] for line in lines_of(app))


async def test_a_window_that_changes_its_size_is_laid_out_anew(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        for size in [(200, 50), (20, 5), (1, 1), (120, 40), (80, 24)]:
            await pilot.resize_terminal(*size)
            await pilot.pause()
        assert lines_of(app)[1].startswith("First")


async def test_the_chosen_row_is_in_view_in_a_small_window(tmp_path: Path) -> None:
    async with screens(tmp_path, (40, 10)) as (app, pilot):
        await press(pilot, "2", "i", "end")
        assert any(line.startswith(">") and "Hang the tab" in line for line in lines_of(app))


async def test_the_chosen_row_stays_in_view_when_a_long_message_takes_room(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "i", *"40", "enter", "o", "down")
        app.tell("a long sentence " * 12)
        await pilot.pause()
        assert any(line.startswith(">") for line in lines_of(app))


async def test_the_help_page_is_paged_and_its_key_line_names_the_way_out(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "3", "f1")
        assert lines_of(app)[-1].startswith(" F1 back to your page")
        await press(pilot, "pagedown")
        assert app.list.top > 10
        await press(pilot, "end")
        assert "leave it with nothing done" in text_of(app)
        await press(pilot, "f1")
        assert app.page == "Holds"


async def test_ascii_only_means_ascii_only(tmp_path: Path) -> None:
    odd = renamed("Zusammenfügen – “schräg” ✈ ｗｉｄｅ")
    async with screens(tmp_path, (120, 40), odd, ascii_only=True) as (app, pilot):
        for page in "1234":
            await press(pilot, page)
            assert "".join(lines_of(app)).isascii()
        await pilot.resize_terminal(80, 24)
        for keys in (["1", "o"], ["2"], ["i"], ["f3"], ["enter"], ["3", "end"], ["f1"], ["f1", "f2"], ["f4", "2", "n"]):
            await press(pilot, *keys)
            assert "".join(lines_of(app)).isascii()


async def test_states_are_told_apart_without_colour(tmp_path: Path) -> None:
    async with screens(tmp_path, ascii_only=True) as (app, pilot):
        await press(pilot, "2", "i")
        rows = {line[2]: line for line in lines_of(app)[2:11]}
        assert rows["o"].rstrip().endswith("ready")
        assert rows["#"].rstrip().endswith("held")


async def test_without_colour_the_chosen_row_is_reversed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with screens(tmp_path) as (app, pilot):
        assert app.theme == "ansi-dark"
        await press(pilot, "2", "i", "down")
        strips = app.screen._compositor.render_strips()
        chosen = [strip for strip in strips if strip.text.startswith(">")]
        assert len(chosen) == 1
        assert all(segment.style is not None and segment.style.reverse for segment in chosen[0])
        assert all(segment.style is not None for strip in strips for segment in strip)
        await press(pilot, "n", "a")
        assert "[a" in text_of(app)


@pytest.mark.parametrize("theme", THEMES)
async def test_every_theme_is_shown(tmp_path: Path, theme: str) -> None:
    async with screens(tmp_path) as (app, pilot):
        app.theme = theme
        await press(pilot, "3", "down")
        assert "What to do" in text_of(app)
        await press(pilot, "f8")
        assert app.theme != theme


async def test_hostile_titles_and_notes_are_only_text(tmp_path: Path) -> None:
    async with screens(tmp_path, (120, 40), renamed(HOSTILE)) as (app, pilot):
        app.board.desk.do(AskNote("cleco", "[bold]x[/] [/ \x1b]0;gone\x07", next_time=True))
        for page in "1234":
            await press(pilot, page, "down", "up")
            text = "".join(lines_of(app))
            assert text.isprintable()
        await choose(app, pilot, "Tasks", "cleco")
        assert "[b [/ [/b] [red]{'a[0]'} [31m" in text_of(app)
        await press(pilot, "t", "enter", "f2", *"red", "f4")
        assert app.board.project.done("cleco")


async def test_nothing_is_painted_while_nothing_happens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    wall = Wall()
    async with screens(tmp_path, wall=wall) as (app, pilot):
        await press(pilot, "2", "n", "a")
        painted: list[str] = []
        render_line = Lines.render_line

        def spy(block: Lines, y: int):  # type: ignore[no-untyped-def]
            painted.append(f"{block.id} {y}")
            return render_line(block, y)

        monkeypatch.setattr(Lines, "render_line", spy)
        for _ in range(5):
            wall.pass_hours(1 / 60)
            app._keep_up()
            await pilot.pause()
        assert painted == []


async def test_moving_by_one_row_paints_only_the_lines_that_change(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with screens(tmp_path) as (_, pilot):
        await press(pilot, "2", "i", "home")
        painted: list[str] = []
        render_line = Lines.render_line

        def spy(block: Lines, y: int):  # type: ignore[no-untyped-def]
            painted.append(str(block.id))
            return render_line(block, y)

        monkeypatch.setattr(Lines, "render_line", spy)
        await press(pilot, "down")
        assert painted.count("list") == 2
        assert "head" not in painted
        assert "tabs" not in painted


def test_a_dumb_terminal_is_refused_with_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    desk = Desk.open(make_project(tmp_path), "Robin", Wall())
    with pytest.raises(Refused, match="TERM=dumb"):
        run(desk, ascii_only=False)
    desk.close()


async def test_every_change_of_the_windows_size_is_laid_out(tmp_path: Path) -> None:
    async with screens(tmp_path, (80, 24)) as (app, pilot):
        for width, height in ((120, 40), (80, 24), (20, 5), (300, 80), (80, 24)):
            await pilot.resize_terminal(width, height)
            await pilot.pause()
            lines = lines_of(app)
            assert len(lines) == height
            assert app.side.display == (width >= WIDE)
            assert "F1" in lines[-1]
