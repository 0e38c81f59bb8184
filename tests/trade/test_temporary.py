"""Temporary fasteners: published colours, counts and peaks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.temporary import cleco_count, colour, described, peaks


# NAVEDTRA 14018 page 13-4 and NAVEDTRA 14315 page 122 (seen in both).
@pytest.mark.parametrize(
    ("size", "word"),
    [
        ("1/16", "black"),
        ("3/32", "cadmium (silver)"),
        ("1/8", "copper"),
        ("5/32", "black"),
        ("3/16", "brass"),
        ("1/4", "green"),
        ("3/8", "red"),
        ("7/16", ""),
        ("clamp", ""),
    ],
)
def test_colours_are_those_published(size: str, word: str) -> None:
    assert colour(size) == word


def test_where_a_colour_repeats_the_stamp_decides() -> None:
    assert described("5/32") == "5/32 (black, like 1/16: read the size stamped on it)"
    assert described("1/8") == "1/8 (copper)"
    assert described("7/16") == "7/16"


# Computed: holes 1, 3, 5, ... and the last one.
@pytest.mark.parametrize(("holes", "count"), [(37, 19), (38, 20), (2, 2), (1, 1), (0, 0), (-1, 0)])
def test_one_fastener_in_every_second_hole_and_in_the_last(holes: int, count: int) -> None:
    assert cleco_count(holes) == (count, "common practice, no source")


def test_the_peak_is_the_most_out_at_once_by_size() -> None:
    changes = [("3/32", 60), ("1/8", 20), ("3/32", 40), ("3/32", -60), ("3/32", 30), ("1/8", -20)]
    assert peaks(changes) == {"3/32": 100, "1/8": 20}
    assert peaks(changes, out=[("3/32", 10)]) == {"3/32": 110, "1/8": 20}
    assert peaks([("3/32", -5), ("3/32", 2)]) == {"3/32": 2}


@settings(deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["3/32", "1/8"]), st.integers(0, 50)), max_size=12))
def test_without_giving_back_the_peak_is_the_sum(loans: list[tuple[str, int]]) -> None:
    for size, peak in peaks(loans).items():
        assert peak == sum(count for one, count in loans if one == size)
