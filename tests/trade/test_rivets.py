"""Rivet lengths and part numbers: FAA-H-8083-31 chapter 4, NAVEDTRA 14018, TM 10-7360-208-13&P."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.exact import inches_of_text
from fitup.trade.mistake import Mistake
from fitup.trade.rivets import (
    alloy_of,
    dash,
    grip_inches,
    needed_length,
    parse_size,
    part_number,
    protrusion_d,
    sold_length,
    solid_rivet,
)
from fitup.trade.tables import Tables

# L = G + 1.5 D (FAA-H-8083-31 ch. 4; NAVEDTRA 14018 rule 8), next longer sixteenth (TM 10-7360-208-13&P).
GRIPS = (0.032, 0.050, 0.064, 0.072, 0.090, 0.125)
LENGTHS = {
    "3/32": (3, 4, 4, 4, 4, 5),
    "1/8": (4, 4, 5, 5, 5, 5),
    "5/32": (5, 5, 5, 5, 6, 6),
    "3/16": (6, 6, 6, 6, 6, 7),
}
NEEDED = {
    "3/32": (0.1726, 0.1906, 0.2046, 0.2126, 0.2306, 0.2656),
    "1/8": (0.2195, 0.2375, 0.2515, 0.2595, 0.2775, 0.3125),
    "5/32": (0.2664, 0.2844, 0.2984, 0.3064, 0.3244, 0.3594),
    "3/16": (0.3133, 0.3312, 0.3453, 0.3533, 0.3712, 0.4062),
}
CASES = [(size, grip, place) for size in LENGTHS for place, grip in enumerate(GRIPS)]
sizes = st.sampled_from(list(LENGTHS))
grips = st.integers(1, 1000).map(lambda n: n / 1000)


@pytest.mark.parametrize(("size", "grip", "place"), CASES)
def test_length_is_grip_plus_one_and_a_half_diameters_rounded_up(size: str, grip: float, place: int) -> None:
    needed = needed_length(size, grip, "in")
    assert float(needed) == pytest.approx(NEEDED[size][place], abs=6e-5)
    assert sold_length(needed) * 16 == LENGTHS[size][place]


def test_an_exact_sixteenth_is_not_rounded_up() -> None:
    assert part_number("universal", "AD", "1/8", 0.125, "in") == "MS20470AD4-5"
    assert part_number("universal", "AD", "1/8", 3.175, "mm") == "MS20470AD4-5"


def test_a_thin_flush_joint_wants_a_half_length() -> None:
    """Common practice, no source: 3/32 at 1.32 mm; -4 stands out 2.1 D and will bend."""
    whole = solid_rivet("flush", "AD", "3/32", 1.32, "mm")
    assert whole.part_number == "MS20426AD3-4"
    assert whole.protrusion_d == pytest.approx(2.1, abs=0.05)
    assert "half length" in whole.warnings[0]
    assert "common practice" in whole.warnings[0]
    half = solid_rivet("flush", "AD", "3/32", 1.32, "mm", half=True)
    assert (half.part_number, half.warnings) == ("MS20426AD3-3.5", ())


# FAA AC 43.13-1B page 4-16: MS20470AD4-3.5 is 1/8 x 7/32; study guide: AD3-5 is 3/32 x 5/16, AD4-5 1/8 x 5/16.
@pytest.mark.parametrize(
    ("callout", "size", "length"),
    [
        ("MS20470AD4-3.5", Fraction(1, 8), Fraction(7, 32)),
        ("MS20470 AD4-3.5", Fraction(1, 8), Fraction(7, 32)),
        ("AN470AD3-5", Fraction(3, 32), Fraction(5, 16)),
        ("MS20426-AD4-5", Fraction(1, 8), Fraction(5, 16)),
        ("MS20470AD4-4", Fraction(1, 8), Fraction(1, 4)),
        ("AN426AD6-7", Fraction(3, 16), Fraction(7, 16)),
    ],
)
def test_a_part_number_tells_diameter_and_length(callout: str, size: Fraction, length: Fraction) -> None:
    rivet = solid_rivet("universal", "AD", "", None, "in", callout)
    assert (rivet.size, rivet.length) == (size, length)


def test_the_kits_callout_wins_and_is_still_measured() -> None:
    rivet = solid_rivet("flush", "AD", "3/32", 1.32, "mm", "MS20426AD3-3.5")
    assert rivet.part_number == "MS20426AD3-3.5"
    assert rivet.protrusion_d == pytest.approx(1.78, abs=0.005)
    assert rivet.source == "the kit's callout"
    odd = solid_rivet("flush", "AD", "1/8", 1.32, "mm", "MS20426AD3-3.5")
    assert "the task says 1/8" in odd.warnings[0]
    assert solid_rivet("flush", "AD", "1/8", 1, "mm", "bag 7").part_number == "bag 7"


@pytest.mark.parametrize(
    ("head", "material", "size", "shown"),
    [
        ("universal", "AD", "5/32", "MS20470AD5-5"),
        ("countersunk", "2117-T4", "3/32", "MS20426AD3-4"),
        ("universal", "DD", "1/4", "MS20470DD8-7"),
        ("mushroom", "AD", "1/8", "mushroom AD rivet 1/8 x 1/4 in"),
        ("universal", "M", "1/8", "universal M rivet 1/8 x 1/4 in"),
        ("universal", "AD", "3 mm", "universal AD rivet 3 mm x 1/4 in"),
    ],
)
def test_a_number_is_made_only_where_the_code_is_known(head: str, material: str, size: str, shown: str) -> None:
    assert part_number(head, material, size, 0.05, "in") == shown


def test_without_a_grip_there_is_a_description_and_a_warning() -> None:
    rivet = solid_rivet("universal", "AD", "1/8", None, "in")
    assert rivet.part_number == "universal AD rivet 1/8"
    assert "grip" in rivet.warnings[0]


# Letter codes of alloys: open airframe-and-powerplant study guide (second-hand).
@pytest.mark.parametrize(
    ("code", "alloy"),
    [("A", "1100"), ("AD", "2117-T4"), ("D", "2017-T4"), ("DD", "2024-T4"), ("B", "5056"), ("M", "Monel")],
)
def test_the_letter_code_names_the_alloy(code: str, alloy: str) -> None:
    row = alloy_of(code)
    assert row is not None
    assert row.text("alloy") == alloy
    assert alloy_of(alloy) == row


def test_an_unknown_alloy_is_unknown() -> None:
    assert alloy_of("unobtainium") is None


@pytest.mark.parametrize("size", ["", "3/0", "x", "-1/8", "0", "2", "1e9999", "nan", "1/8/2"])
def test_a_size_that_is_none_is_refused(size: str) -> None:
    with pytest.raises(Mistake, match="diameter"):
        parse_size(size)


def test_sizes_are_read_in_inches_and_millimetres() -> None:
    assert parse_size("3/32") == parse_size('3/32"') == parse_size("3/32 in") == Fraction(3, 32)
    assert parse_size("3.175 mm") == parse_size("0.125") == Fraction(1, 8)


def test_lengths_are_read_with_or_without_their_unit() -> None:
    assert inches_of_text("0.125in") == inches_of_text("3.175 mm") == inches_of_text("3.175", "mm") == Fraction(1, 8)
    assert inches_of_text("10in") == 10
    with pytest.raises(Mistake, match="width 'wide' is not a length"):
        inches_of_text("wide", what="width")
    with pytest.raises(Mistake, match="write mm or in"):
        inches_of_text("1", "cm")


@pytest.mark.parametrize(("grip", "unit"), [(0, "in"), (-1, "mm"), (1, "cm"), (float("nan"), "in")])
def test_a_grip_that_is_none_is_refused(grip: float, unit: str) -> None:
    with pytest.raises(Mistake, match="grip"):
        grip_inches(grip, unit)


def test_the_shops_own_allowance_wins(tmp_path: Path) -> None:
    (tmp_path / "rivet-codes.toml").write_text(
        '[[length]]\nallowance = 1.3\nsource = "my kit\'s manual"\nstanding = "own"\n', "utf-8"
    )
    rivet = solid_rivet("universal", "AD", "1/8", 0.1, "in", own=Tables(tmp_path))
    assert rivet.source == "my kit's manual (said by this shop)"
    assert rivet.part_number == "MS20470AD4-5"
    assert needed_length("1/8", 0.1, "in", own=Tables(tmp_path)) == Fraction(1, 10) + Fraction(13, 80)


@settings(deadline=None)
@given(sizes, grips, grips, st.booleans())
def test_a_thicker_joint_never_wants_a_shorter_rivet(size: str, one: float, other: float, half: bool) -> None:
    thin, thick = sorted((one, other))
    lengths = [sold_length(needed_length(size, grip, "in"), half=half) for grip in (thin, thick)]
    assert lengths[0] <= lengths[1]


@settings(deadline=None)
@given(sizes, st.integers(1, 2000).map(lambda n: n / 100), st.booleans())
def test_millimetres_and_inches_give_the_same_rivet(size: str, grip: float, half: bool) -> None:
    as_inches = grip_inches(grip, "mm")
    assert as_inches * Fraction("25.4") == Fraction(repr(grip))
    assert part_number("flush", "AD", size, grip, "mm", half=half) == part_number(
        "flush", "AD", size, as_inches, "in", half=half
    )


@settings(deadline=None)
@given(sizes, grips)
def test_the_tail_stands_out_one_and_a_half_diameters_or_less_than_a_step_more(size: str, grip: float) -> None:
    length = sold_length(needed_length(size, grip, "in"))
    step = float(Fraction(1, 16) / parse_size(size))
    assert 1.5 <= protrusion_d(size, grip, "in", length) < 1.5 + step + 1e-12
    assert Fraction(dash(length)) == length * 16
