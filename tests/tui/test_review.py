"""The Review view: every finding with its mend and source, the rules switched off, and the way to the task."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.tui.screens import lines_of, press, screens, text_of

from fitup.model.plan import Plan

OFF = (("redundant", "the kit's own order is kept on purpose"), ("no-cure", "the bead cures over the winter"))


def reviewed(plan: Plan) -> Plan:
    return replace(plan, review_off=OFF)


def sound(plan: Plan) -> Plan:
    """Return the plan with its two findings mended."""
    return replace(plan, review_off=(OFF[1], ("short-supply", "the nuts are counted as they come")))


async def test_a_finding_is_shown_with_level_place_sentence_mend_and_source(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f9")
        assert app.page == "Review"
        assert "4 Bench Review" in text_of(app)
        assert "2 warnings" in text_of(app)
        row = next(line for line in lines_of(app) if line.startswith(">"))
        assert row.split()[1:4] == ["!", "warning", "bead"]
        assert "warning: no-cure, Lay the bead (bead)" in text_of(app)
        for part in ("nothing waits until what is done in bead has cured", "Mend: ", "Source: "):
            assert part in text_of(app)


async def test_enter_goes_to_the_task_of_a_finding(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f9", "enter")
        assert (app.page, app.drawing.chosen) == ("Graph", "bead")


async def test_a_finding_about_no_single_task_stays_and_says_so(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f9", "end")
        assert "to its task" not in lines_of(app)[-1]
        await press(pilot, "enter")
        assert app.page == "Review"
        assert "about no single task" in text_of(app)


async def test_rules_switched_off_stand_at_the_end_with_their_reasons(tmp_path: Path) -> None:
    async with screens(tmp_path, change=reviewed) as (app, pilot):
        await press(pilot, "f9")
        assert "1 warning " in text_of(app)
        lines = lines_of(app)
        heading = next(at for at, line in enumerate(lines) if "Switched off in this plan (2)" in line)
        assert heading > next(at for at, line in enumerate(lines) if "nuts" in line)
        await press(pilot, "end")
        assert "no-cure is switched off Because: the bead cures over the winter" in text_of(app)


async def test_a_plan_with_nothing_against_it_says_so(tmp_path: Path) -> None:
    async with screens(tmp_path, change=sound) as (app, pilot):
        await press(pilot, "f9")
        assert "finds nothing to say" in text_of(app)


async def test_the_palette_leads_to_the_review_and_a_number_away_from_it(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f2", *"review", "enter")
        assert app.page == "Review"
        await press(pilot, "3")
        assert "Review" not in lines_of(app)[0]


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 10), (20, 5)])
async def test_the_view_stands_every_size_in_ascii(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(tmp_path, size, reviewed, ascii_only=True) as (app, pilot):
        await press(pilot, "f9", "end", "tab")
        assert all(len(line) == size[0] for line in lines_of(app))
        assert "".join(lines_of(app)).isascii()
