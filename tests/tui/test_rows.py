"""Rows are cut, filled and wrapped by terminal cells, and can be put in ASCII cell for cell."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from fitup.tui import room
from fitup.tui.rows import cut, fill, plain, row, say, spread, wrap

TEXTS = st.text(st.characters(codec="utf-8"), max_size=60)


@given(TEXTS, st.integers(0, 40))
@settings(deadline=None)
def test_a_cut_text_fits_and_a_filled_one_fits_exactly(text: str, width: int) -> None:
    assert cell_len(cut(text, width)) <= width
    assert cell_len(fill(text, width)) == width
    assert cell_len(fill(text, width, right=True)) == width


@given(TEXTS, st.integers(2, 40))
@settings(deadline=None)
def test_wrapped_lines_fit_and_lose_no_letter(text: str, width: int) -> None:
    lines = wrap(text, width)
    assert all(cell_len(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join("".join(wrap(text, 10_000)).split())


@given(TEXTS)
@settings(deadline=None)
def test_plain_text_is_ascii_of_the_same_width(text: str) -> None:
    text = say(text).text
    assert plain(text).isascii()
    assert cell_len(plain(text)) == cell_len(text)


def test_cleaned_runs_hold_no_escape_sequences() -> None:
    assert say("a\x1b[31mb\x07\u202ec").text == "a[31mbc"


def test_the_right_edge_is_dropped_before_it_overlaps() -> None:
    assert spread([say("left")], [say("right")], 12).text == "left   right"
    assert spread([say("left")], [say("right")], 9).text == "left"
    assert row("a", say("b", "dim")).text == "ab"


@given(
    st.integers(1, 80), st.integers(0, 12), st.integers(0, 9), st.integers(0, 4), st.integers(0, 30),
    st.booleans(), st.booleans(),
)  # fmt: skip
@settings(deadline=None)
def test_the_blocks_together_fill_the_window(
    height: int, head: int, strip: int, message: int, panel: int, wide: bool, reading: bool
) -> None:
    shares = room.share(height, head, strip, message, panel, wide, reading)
    parts = [getattr(shares, name) for name in shares.__slots__]
    assert all(part >= 0 for part in parts)
    assert shares.list >= 0
    assert sum(parts) <= max(height, 2)
    assert not panel or shares.panel >= 1
