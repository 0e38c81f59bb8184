"""Every command is declared once: keys, key line, help page and palette all come from the declaration."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tui.screens import choose, lines_of, press, screens, text_of
from textual.binding import Binding

from fitup.tui.app import FitupApp
from fitup.tui.commands import COMMANDS, PAGES, REVIEW, Here, by_key, by_name, key_words, matching
from fitup.tui.pages import help_rows

ON_PAGES = [*(name for _, name in PAGES), REVIEW]


def test_every_command_has_a_key_a_word_and_a_sentence() -> None:
    for command in COMMANDS:
        assert command.key, command
        assert command.word, command
        assert command.help().endswith("."), command
        assert by_name(command.name()) is command
        assert not command.__abstractmethods__, f"{command} does nothing"


def test_no_key_stands_for_two_commands_on_one_page() -> None:
    for page in [*ON_PAGES, "Help"]:
        used = [command.key for command in COMMANDS if page in command.where]
        assert len(used) == len(set(used)), page


def test_only_plain_keys_are_used() -> None:
    plain = {"enter", "tab", *(f"f{number}" for number in range(1, 13))}
    for command in COMMANDS:
        assert command.key in plain or (len(command.key) == 1 and command.key.isalnum() and command.key.isascii())


def test_the_bindings_are_the_declared_keys() -> None:
    bound = {binding.key for binding in FitupApp.BINDINGS if isinstance(binding, Binding) and binding.id}
    assert bound == {command.key for command in COMMANDS}


def test_a_key_finds_its_command_on_each_page() -> None:
    for command in COMMANDS:
        for page in command.where:
            assert by_key(command.key, page) is command


def test_the_help_page_names_every_command_with_its_key_and_sentence() -> None:
    text = " ".join(" ".join(row.text for row in help_rows(200)).split())
    for command in COMMANDS:
        assert f"{command.key_words()} {command.word} " in text
        assert command.help() in text


@pytest.mark.parametrize("page", ON_PAGES)
def test_the_palette_finds_every_command_of_the_page_by_its_word(page: str) -> None:
    for command in COMMANDS:
        found = matching(command.word, Here(page))
        assert (command in found) == (page in command.where)


@pytest.mark.parametrize("page", ON_PAGES)
def test_the_key_line_offers_only_what_applies(page: str) -> None:
    here = Here(page)
    shown = {key for words in key_words(here) for key, _ in words}
    for command in COMMANDS:
        applies = page in command.where and (command.always or command.applies(here))
        assert (command.key_words() in shown) == (applies and not command.key.isdigit()) or command.key_words() in {
            other.key_words() for other in COMMANDS if other is not command and page in other.where
        }


async def test_the_palette_runs_what_is_picked(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f2", "h", "e", "l", "p", "e", "r", "enter")
        assert app.panel.form is not None
        assert "Who helps?" in text_of(app)


async def test_the_palette_goes_to_a_task_by_its_title(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f2", *"nutplates", "enter")
        assert (app.page, app.drawing.chosen) == ("Graph", "nutplates")


@pytest.mark.parametrize("number", [number for number, _ in PAGES])
async def test_a_pages_own_number_is_quietly_taken(tmp_path: Path, number: str) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, number)
        chosen = app.stage.chosen
        await press(pilot, "tab", number)
        assert app.page == dict(PAGES)[number]
        assert app.stage.chosen == chosen
        assert "works on" not in text_of(app)
        assert "needs" not in lines_of(app)[-3]


async def test_the_review_pressed_for_on_the_review_says_where_the_rest_is(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f9", "f9")
        assert "1 to 4 lead to the other pages" in text_of(app)


def test_every_command_that_does_not_apply_says_what_it_wants_or_where_it_works() -> None:
    for command in COMMANDS:
        for page in [*ON_PAGES, "Tasks", "Whole", "Inside"]:
            here = Here(page)
            if page not in command.where or not command.applies(here):
                assert command.why_not(here).rpartition(" ")[2], (command, page)
                assert not command.why_not(here).rstrip().endswith(":"), (command, page)


async def test_help_comes_and_goes_by_its_key(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "3", "f1")
        assert "Keys on several pages" in text_of(app)
        await press(pilot, "down", "pagedown")
        assert "Keys on several pages" not in lines_of(app)[1]
        await press(pilot, "f1")
        assert app.page == "Holds"


async def test_a_key_of_another_page_is_told_not_swallowed(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "4", "i")
        assert "works on: Session" in text_of(app)


async def test_what_enter_does_is_told_for_no_other_key(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Holds", "root cleco")
        words = [word.strip() for _, word in key_words(app.here())[0]]
        assert words[0] == "tick"
        assert len(set(words)) == len(words)
