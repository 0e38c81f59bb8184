"""Blocks hand their lines on as they are drawn: nothing may differ from what the toolkit's own boxes would show."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tui.screens import press, screens
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from fitup.tui.widgets.bare import Bare


@pytest.mark.parametrize("size", [(80, 24), (200, 50)])
async def test_lines_look_as_they_would_in_a_box_of_the_style_sheet(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(tmp_path, size) as (app, pilot):
        for keys in (["1", "down"], ["2", "down", "h"], ["f8"], ["3"], ["2", "i", "i"], ["f"]):
            await press(pilot, *keys)
            seen = [block for block in app.screen.walk_children(Bare) if block.size and block.display]
            assert seen
            for block in seen:
                whole = Region(0, 0, *block.size)
                boxed = Widget.render_lines(block, whole)
                for y, (line, other) in enumerate(zip(block.render_lines(whole), boxed, strict=True)):
                    assert line.text == other.text, (keys, block.id, y)
                    assert _cells(line) == _cells(other), (keys, block.id, y)


async def test_what_is_typed_behind_the_key_that_opens_a_form_goes_into_the_form(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "2", "f", "q", "h", "i")
        assert app.panel.form is not None
        assert app.panel.form.answers["words"] == "qhi"


def _cells(line: Strip) -> list[tuple[str, object]]:
    return [(char, style) for text, style, _ in line for char in text]
