"""The trade's sums in the panel: found in the palette, worked out on Enter, told with their source."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tui.screens import choose, fill, lines_of, press, screens, text_of

from fitup.tui.sum_forms import SUMS, open_sum


async def test_the_palette_opens_a_sum_and_enter_works_it_out_with_its_source(tmp_path: Path) -> None:
    """FAA-H-8083-31, chapter 4: length is grip and 1.5 diameters, so 1/8 in 0.125 in is a -5."""
    async with screens(tmp_path) as (app, pilot):
        app.go("Bench")
        await press(pilot, "f2", *"rivet length", "enter")
        assert "Sum: rivet length" in text_of(app)
        await fill(app, pilot, "1/8", "0.125in")
        assert "MS20470AD4-5" in text_of(app)
        assert "source: FAA-H-8083-31" in text_of(app)
        assert app.panel.form is not None
        await press(pilot, "f4")
        assert "MS20470AD4-5; source: FAA-H-8083-31" in text_of(app)


async def test_a_figure_is_changed_and_the_sum_made_again(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        open_sum(app, "rivet")
        await fill(app, pilot, "1/8", "0.125in")
        await fill(app, pilot, None, "0.25in")
        assert "MS20470AD4-7" in text_of(app)
        assert "MS20470AD4-5" not in text_of(app)


async def test_a_figure_that_makes_no_sense_is_refused_in_the_words_of_the_panel(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        open_sum(app, "rivet")
        await fill(app, pilot, "1/8", "thick")
        assert app.panel.form is not None
        assert "grip" in app.panel.trouble
        assert "--" not in app.panel.trouble


@pytest.mark.parametrize(
    ("name", "answers", "told"),
    [
        ("hole", ("1/8", None, None, None, None), "#30"),  # FAA-H-8083-31: number 30 for a 1/8 rivet
        ("cure", ("2", "59F", "double-18F"), "4 h at 15 C"),  # twice as long 18 F below 77 F
        ("layout", ("0.032in", "10in", "1/8", None, None, None), "source: FAA AC 43.13-1B"),
        ("straight", ("0, 1, 2", "0, 1, 0"), "1.0000 between the two closest"),  # a triangle's height
        ("learning", ("0.8", "100", "2"), "piece 2 takes 80"),  # what is left after doubling, by definition
        ("learning", ("0.75", "125", "55", "165"), "1188.61 (Wright)"),  # AFIT's learningCurve documentation
        ("blind", ("1/8", "0.1in", "44"), "it is not the one for this joint"),  # TM 10-5410-221-14 table 4-3
        ("countersink", ("3/32", "0.032in"), "dimple it"),  # TM 9-2320-387-24-2 table 33-4
        ("heads", ("3/32", None, None, "0.138 0.162", ""), "2 heads: 2 pass"),  # MIL-R-47196A table III
        ("repair", ("1/8", "AD", None, "", "40", ""), "next larger rivet: 5/32 in"),  # MIL-R-47196A
        ("primer", (None, "9", None, "1"), "wipe with solvent"),  # USAF TO 1-1-8 par 5.6
        ("sealant", ("B-2", "59F", None), "too cold: metal at least 70 F"),  # NAVEDTRA 14315 page 208
        ("twist", ("50in", "0.2"), "0.1745 in"),  # computed
    ],
)
async def test_every_other_sum_answers_with_its_source(
    tmp_path: Path, name: str, answers: tuple[str | None, ...], told: str
) -> None:
    async with screens(tmp_path, (120, 40)) as (app, pilot):
        open_sum(app, name)
        await fill(app, pilot, *answers)
        assert app.panel.trouble == ""
        assert told in text_of(app)
        assert "source: " in text_of(app)


async def test_a_long_answer_begins_with_what_was_asked_and_is_read_on_by_the_page(tmp_path: Path) -> None:
    """On 16 lines a repair's answer has more to say than there is room; its first lines come first."""
    async with screens(tmp_path, (80, 16)) as (app, pilot):
        open_sum(app, "repair")
        await fill(app, pilot, "1/8", None, None, "0.14in", "40", None)
        assert "Sum: hole too large" in text_of(app)
        assert "next larger rivet: 5/32 in" in text_of(app)
        assert "source: MIL-R-47196A" not in text_of(app)
        assert "PgDn read on" in lines_of(app)[-1]
        await press(pilot, "pagedown", "pagedown")
        assert "Ear protection" in text_of(app)
        assert "source: MIL-R-47196A" in text_of(app)
        await press(pilot, *"3/16", "enter")
        assert "next larger rivet: 7/32 in" in text_of(app)


async def test_the_list_of_sums_says_that_there_are_more_below(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await press(pilot, "f12")
        assert f"{len(SUMS) - 9} more below" in text_of(app)
        await press(pilot, *["down"] * len(SUMS))
        assert SUMS[-1].says in text_of(app)
        assert "more below" not in text_of(app)


async def test_a_sum_takes_over_the_rivets_of_the_chosen_task(tmp_path: Path) -> None:
    async with screens(tmp_path) as (app, pilot):
        await choose(app, pilot, "Tasks", "rivet")
        await press(pilot, "f12", "enter")
        form = app.panel.form
        assert form is not None
        assert (form.answers["size"], form.answers["head"]) == ("3/32", "flush")


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (20, 5)])
async def test_every_sum_stands_every_size_in_ascii(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(tmp_path, size, ascii_only=True) as (app, pilot):
        for one in SUMS:
            open_sum(app, one.name)
            await pilot.pause()
            assert all(len(line) == size[0] for line in lines_of(app))
            assert "".join(lines_of(app)).isascii()
            await press(pilot, "enter", "f4")
