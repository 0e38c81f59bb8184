"""The act panel after a refusal: where it goes, what is selected, how a field is cleared and the panel left."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tui.screens import choose, lines_of, press, screens, text_of

from fitup.model.refusal import Refused
from fitup.tui.app import FitupApp
from fitup.tui.forms import Field, Form, for_screens


def held_field(app: FitupApp) -> Field:
    """Return the field being filled in."""
    assert app.panel.form is not None
    return app.panel.form.field


async def test_a_refused_answer_is_gone_back_to_and_typed_over(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "t", *"99", "tab", *"7", "enter")
        assert "99 is more than the 20 still open" in text_of(app)
        assert held_field(app).name == "count"
        await press(pilot, *"12")
        assert held_field(app).text == "12"
        await press(pilot, "enter")
        assert app.board.project.progress.of("cleco").done == 12


async def test_a_missing_reason_is_asked_for_where_it_is_typed(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "rivet")
        await press(pilot, "w", "enter")
        assert held_field(app).name == "why"
        assert "needs a reason" in text_of(app)
        assert "--why" not in text_of(app)
        await press(pilot, *"seen", "enter")
        assert held_field(app).name == "second"


async def test_the_selected_answer_is_set_off_as_a_whole(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "t")
        runs = [run for row in app.panel._rows for run in row.runs if run.role == "caret"]
        assert [run.text for run in runs] == ["20"]


async def test_control_u_clears_a_field_and_the_panel_says_so(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "cleco")
        await press(pilot, "n", *"row 2 next")
        assert "Ctrl-U clear" in lines_of(app)[-1]
        await press(pilot, "ctrl+u")
        assert held_field(app).text == ""
        await press(pilot, *"row 3", "enter")
        assert app.board.project.progress.notes[-1].text == "row 3"


async def test_the_panel_says_how_to_leave_it(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "h")
        title = next(line for line in lines_of(app) if "Who helps?" in line)
        assert title.rstrip().endswith("F4 leaves")
        assert "F4 leave with nothing done" in lines_of(app)[-1]


async def test_the_stock_shown_is_that_of_the_item_chosen(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "nutplates")
        await press(pilot, "k")
        assert "In stock: none" in text_of(app)
        await press(pilot, "right")
        assert "In stock: 100 g (good to 20 Dec 2026)" in text_of(app)


def asked() -> Form:
    return Form(
        "Which?",
        [Field("count", "how many", "44"), Field("minutes", "minutes", empty="not timed"), Field("why", "reason")],
        lambda answers: None,
    )


@pytest.mark.parametrize(
    ("sentence", "field"),
    [
        ("rivet: 44 is more than the 40 still open", "count"),
        ("rivet: reopening needs a reason (--why)", "why"),
        ("rivet: something is missing", "why"),
        ("minutes: 'ten' is not a figure", "minutes"),
    ],
)
def test_a_refusal_is_traced_to_its_field(sentence: str, field: str) -> None:
    form = asked()
    form.fields[1].text = "ten" if "ten" in sentence else ""
    form.blame(sentence)
    assert form.field.name == field
    assert form.field.fresh


def test_a_refusal_without_a_clue_leaves_the_form_where_it_was() -> None:
    form = asked()
    form.fields[2].text = "rivets drilled out"
    form.step(1)
    form.blame("rivet is held and cannot be ticked")
    assert form.field.name == "minutes"


def test_screens_name_no_options_of_the_command_line() -> None:
    refused = Refused("rivet: this cure is lifted by its hours alone; correct them if they are wrong (fitup cure)")
    assert for_screens(str(refused)).endswith("if they are wrong")
    assert for_screens("x: waiving needs a second name (--second)") == "x: waiving needs a second name"
    assert for_screens("x is held (and 7 more: fitup holds x)") == "x is held (and 7 more)"
    assert for_screens("the shop (22 C) is too cold") == "the shop (22 C) is too cold"
