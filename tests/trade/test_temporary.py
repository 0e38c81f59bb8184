"""Temporary fasteners: published colours, counts and peaks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.mistake import Mistake
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


# Computed: one in every k holes from the first on is ceil(n / k).
@pytest.mark.parametrize(
    ("holes", "every", "count"),
    [(37, 2, 19), (37, 3, 13), (37, 4, 10), (41, 2, 21), (41, 3, 14), (41, 4, 11), (1, 5, 1), (0, 2, 0)],
)
def test_one_fastener_every_so_many_holes(holes: int, every: int, count: int) -> None:
    assert cleco_count(holes, every) == count
    assert count == -(-holes // every)


def test_both_ends_may_be_filled() -> None:
    assert cleco_count(41, 3, both_ends=True) == 15
    assert cleco_count(37, 3, both_ends=True) == 13


@pytest.mark.parametrize(("holes", "every"), [(-1, 2), (5, 0)])
def test_impossible_counts_are_refused(holes: int, every: int) -> None:
    with pytest.raises(Mistake, match="holes"):
        cleco_count(holes, every)


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
