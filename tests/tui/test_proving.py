"""The proof behind the screens: a first sheet at once, a better one with what it changes, then rest."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.tui.screens import screens, settle, text_of

from fitup.desk_proof import Proofs
from fitup.model.sheet import Sheet
from fitup.tui.telling import better_words
from fitup.tui.wording.session import line_key


async def test_the_proof_arrives_behind_the_first_sheet_and_then_nothing_is_sent(tmp_path: Path) -> None:
    with Proofs() as proofs:
        async with screens(tmp_path, (120, 40), proofs=proofs) as (app, pilot):
            assert app.board.sheet is not None
            assert "not yet proven" in text_of(app)
            assert app._proving._active.is_set()
            first = app.board.sheet
            while app.board.proving:
                await pilot.pause(0.05)
            await settle(app, pilot)
            assert "proven best" in text_of(app)
            assert app.board.sheet.worth >= first.worth
            assert not app._proving._active.is_set()


async def test_a_better_sheet_says_what_it_changes(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, _):
        sheet = app.board.sheet
        assert sheet is not None
        assert better_words(app.board, sheet, replace(sheet, proven=True)) == ""
        gone = sheet.lines[0]
        less: Sheet = replace(sheet, lines=sheet.lines[1:])
        title = app.board.title(gone.task)
        assert better_words(app.board, less, sheet) == f"A better run sheet: now with {title}."
        assert better_words(app.board, sheet, less) == f"A better run sheet: without {title}."


async def test_where_the_first_line_is_chosen_it_stays_so_on_another_sheet(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        sheet = app.board.sheet
        assert sheet is not None
        better = replace(sheet, lines=(*sheet.lines[1:], sheet.lines[0]))
        assert app.list.chosen == line_key(sheet.lines[0].task)
        app.board.sheet = better
        app.paint()
        await settle(app, pilot)
        assert app.list.chosen == line_key(better.lines[0].task)
        app.go("Session", line_key(better.lines[1].task))
        app.board.sheet = sheet
        app.paint()
        assert app.list.chosen == line_key(better.lines[1].task)
