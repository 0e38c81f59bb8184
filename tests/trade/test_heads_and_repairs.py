"""Shop heads, repairs and blind rivets against the published tables."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.blind import blind_rivet, locked_spindle_dash, read_code
from fitup.trade.heads import HeadWindow, judge_shop_head, shop_head_window
from fitup.trade.mistake import Mistake
from fitup.trade.repairs import may_replace, most_oversize, next_larger
from fitup.trade.rivets import part_number, solid_rivet


def window_of(size: str) -> HeadWindow:
    found = shop_head_window(size)
    assert found is not None
    return found


# MIL-R-47196A table III (second-hand, two quotations agree), inches.
@pytest.mark.parametrize(
    ("size", "width", "low", "high"),
    [("3/32", 0.122, 0.038, 0.050), ("1/8", 0.163, 0.050, 0.070), ("5/32", 0.203, 0.062, 0.092)],
)
def test_the_shop_head_window(size: str, width: float, low: float, high: float) -> None:
    window = shop_head_window(size)
    assert window is not None
    assert (window.min_width, window.min_height, window.max_height) == tuple(
        Fraction(repr(figure)) for figure in (width, low, high)
    )
    # pattern of that table: least width 1.3 D, least height 0.4 D, to a thousandth
    assert float(window.min_width) == pytest.approx(1.3 * float(window.size), abs=6e-4)
    assert float(window.min_height) == pytest.approx(0.4 * float(window.size), abs=6e-4)


def test_the_window_of_three_sixteenths_is_computed_and_says_so() -> None:
    window = shop_head_window("3/16")
    assert window is not None
    assert window.max_height is None
    assert "worked out" in window.source
    assert shop_head_window("1/4") is None


# The published worked case (second-hand): 3/32 heads of .138 to .158 pass; heights .029 and .053 fail.
@pytest.mark.parametrize(
    ("width", "height", "verdict"),
    [
        (0.138, 0.045, "pass"),
        (0.158, 0.040, "pass"),
        (0.150, 0.029, "fail"),
        (0.150, 0.053, "fail"),
        (0.121, 0.045, "fail"),
        (0.150, None, "pass"),
        (None, 0.050, "pass"),
    ],
)
def test_published_heads_are_accepted_and_rejected(width: float | None, height: float | None, verdict: str) -> None:
    assert judge_shop_head(window_of("3/32"), width=width, height=height) == verdict


def test_a_head_near_its_limit_is_too_close_to_call() -> None:
    """ILAC-G8:09/2019 guard band: 1/8 height .0685 with U = .002 against .070."""
    assert judge_shop_head(window_of("1/8"), height=0.0685, uncertainty=0.002) == "too close to call"
    assert judge_shop_head(window_of("1/8"), height=0.067, uncertainty=0.002) == "pass"
    assert judge_shop_head(window_of("1/8"), width=4.3, height=1.5, unit="mm") == "pass"


def test_a_head_without_a_measure_is_refused() -> None:
    assert shop_head_window("1/4") is None
    with pytest.raises(Mistake, match="measure"):
        judge_shop_head(window_of("1/8"))


# Wartime service manual par 14 (seen): heads to aim for; 1.5 D and 0.5 D to a thousandth.
@pytest.mark.parametrize(
    ("size", "height", "width"), [("1/8", 0.063, 0.188), ("5/32", 0.078, 0.234), ("3/16", 0.093, 0.281)]
)
def test_wartime_heads_are_what_we_aim_for(size: str, height: float, width: float) -> None:
    window = shop_head_window(size)
    assert window is not None
    assert float(window.aim_height) == pytest.approx(height, abs=1e-3)
    assert float(window.aim_width) == pytest.approx(width, abs=1e-3)


# MIL-R-47196A (second-hand): 1/32 more up to 1/4, 1/16 more above.
@pytest.mark.parametrize(
    ("size", "larger"), [("3/32", "1/8"), ("1/8", "5/32"), ("5/32", "3/16"), ("7/32", "1/4"), ("1/4", "5/16")]
)
def test_the_next_larger_rivet(size: str, larger: str) -> None:
    assert next_larger(size)[0] == Fraction(larger)


def test_no_size_comes_after_the_largest() -> None:
    with pytest.raises(Mistake, match="no source"):
        next_larger("1")


# MIL-R-47196A (second-hand): a fifth of the pattern or ten, whichever is less.
@pytest.mark.parametrize(("rivets", "most"), [(4, 0), (10, 2), (24, 4), (50, 10), (200, 10)])
def test_few_rivets_of_a_pattern_may_be_oversize(rivets: int, most: int) -> None:
    assert most_oversize(rivets)[0] == most


# FAA AC 43.13-1B par 4-57b, page 4-16 (seen).
@pytest.mark.parametrize(
    ("alloy", "size", "by", "by_size", "allowed"),
    [
        ("D", "3/16", "AD", "7/32", True),
        ("D", "3/16", "AD", "3/16", False),
        ("D", "7/32", "AD", "1/4", False),
        ("DD", "5/32", "AD", "3/16", True),
        ("DD", "3/16", "AD", "7/32", False),
        ("2024-T4", "5/32", "2117-T4", "3/16", True),
        ("AD", "1/8", "AD", "5/32", True),
        ("AD", "1/8", "A", "3/16", False),
        ("AD", "1/8", "gum", "3/16", False),
    ],
)
def test_a_softer_rivet_may_only_replace_a_harder_one_if_larger(
    alloy: str, size: str, by: str, by_size: str, allowed: bool
) -> None:
    assert bool(may_replace(alloy, size, by, by_size)) is allowed


# TM 10-5410-221-14 table 4-3 (seen): code, diameter, grip range and length in inches.
BLIND = [
    ("32", "3/32", 0.020, 0.125, 0.212),
    ("34", "3/32", 0.126, 0.250, 0.337),
    ("41", "1/8", 0.020, 0.062, 0.170),
    ("42", "1/8", 0.063, 0.125, 0.232),
    ("43", "1/8", 0.126, 0.187, 0.294),
    ("44", "1/8", 0.188, 0.250, 0.357),
    ("45", "1/8", 0.251, 0.312, 0.419),
    ("46", "1/8", 0.313, 0.375, 0.481),
    ("48", "1/8", 0.376, 0.500, 0.628),
    ("52", "5/32", 0.020, 0.125, 0.254),
    ("54", "5/32", 0.188, 0.250, 0.379),
    ("56", "5/32", 0.251, 0.375, 0.504),
    ("84", "1/4", 0.125, 0.250, 0.447),
    ("86", "1/4", 0.251, 0.375, 0.572),
    ("88", "1/4", 0.376, 0.500, 0.697),
    ("812", "1/4", 0.626, 0.750, 0.947),
]


@pytest.mark.parametrize(("code", "size", "low", "high", "length"), BLIND)
def test_the_grip_chooses_the_blind_rivet(code: str, size: str, low: float, high: float, length: float) -> None:
    for grip in (low, high):
        found = blind_rivet(size, grip, "in")
        assert found is not None
        assert (found.code, float(found.length)) == (code, length)
    diameter, greatest = read_code(code)
    assert diameter == Fraction(size)
    assert float(greatest) == pytest.approx(high, abs=6e-4)


def test_a_grip_without_a_blind_rivet_has_none() -> None:
    assert blind_rivet("1/8", 0.010, "in") is None
    assert blind_rivet("1/4", 0.55, "in") is None
    assert blind_rivet("3/16", 0.1, "in") is None


def test_blind_rivets_are_described_by_their_code() -> None:
    assert part_number("blind", "", "1/8", 2.0, "mm") == "blind rivet 1/8, code 42"
    flush = solid_rivet("blind flush", "", "1/8", 2.0, "mm")
    assert flush.part_number == "blind flush rivet 1/8"
    assert "No source" in flush.warnings[0]


def test_the_row_with_an_unreadable_code_says_so() -> None:
    found = blind_rivet("5/32", 0.15, "in")
    assert found is not None
    assert "worked out" in found.source


@pytest.mark.parametrize("code", ["", "4", "x2", "02", "40", "4444"])
def test_what_is_no_code_is_refused(code: str) -> None:
    with pytest.raises(Mistake, match="code"):
        read_code(code)


# A maker's process manual, CA-1015 (seen): "-04" has a greatest grip of 4/16 in; 1/8, 5/32, 3/16 and 1/4 are made.
@pytest.mark.parametrize(("grip", "dash"), [(0.25, "04"), (0.2501, "05"), (0.0625, "01"), (0.05, "01")])
def test_a_locked_spindle_rivet_is_named_by_its_greatest_grip(grip: float, dash: str) -> None:
    found = locked_spindle_dash("1/8", grip, "in")
    assert found is not None
    assert (found[0], "CA-1015" in found[1]) == (dash, True)
    assert locked_spindle_dash("3/32", grip, "in") is None


def test_a_locked_spindle_needs_a_grip() -> None:
    with pytest.raises(Mistake, match="grip"):
        locked_spindle_dash("1/8", 0, "in")


@settings(deadline=None)
@given(st.integers(20, 500), st.integers(20, 500))
def test_a_thicker_joint_never_wants_a_shorter_blind_rivet(one: int, other: int) -> None:
    thin, thick = (blind_rivet("1/8", grip / 1000, "in") for grip in sorted((one, other)))
    assert thin is not None
    assert thick is not None
    assert thin.length <= thick.length
