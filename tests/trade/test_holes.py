"""Drills, final drills, pilot steps and countersinks against the published tables."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.countersinks import countersink_minima, countersink_remarks, countersink_window
from fitup.trade.holes import (
    all_drills,
    deepest_deburr,
    drill,
    final_drills,
    hole_limits,
    nearest_drills,
    pilot_steps,
)
from fitup.trade.mistake import Mistake

# Several public tables of number and letter drills that agree (second-hand; ASME B94.11M not seen).
DRILLS = [
    ("#40", 0.0980), ("#41", 0.0960), ("#39", 0.0995), ("#30", 0.1285), ("#31", 0.1200), ("#29", 0.1360),
    ("#21", 0.1590), ("#20", 0.1610), ("#22", 0.1570), ("#19", 0.1660), ("#11", 0.1910), ("#10", 0.1935),
    ("#12", 0.1890), ("#51", 0.0670), ("#52", 0.0635), ("#45", 0.0820), ("#42", 0.0935), ("#27", 0.1440),
    ("#16", 0.1770), ("#8", 0.1990), ("#1", 0.2280), ("#80", 0.0135), ("F", 0.2570), ("A", 0.2340), ("Z", 0.4130),
]  # fmt: skip


@pytest.mark.parametrize(("name", "diameter"), DRILLS)
def test_a_drill_measures_what_the_tables_say(name: str, diameter: float) -> None:
    assert drill(name).inches == Fraction(repr(diameter))


def test_drills_are_named_in_several_ways() -> None:
    assert drill("no 30") == drill("No. 30") == drill("#30")
    assert drill("f") == drill("F")
    assert drill("1/8").inches == drill("3.175 mm").inches == Fraction(1, 8)


@pytest.mark.parametrize("name", ["", "#0", "#81", "AA", "1/0", "big", "#"])
def test_a_drill_that_is_none_is_refused(name: str) -> None:
    with pytest.raises(Mistake, match=r"drill|diameter"):
        drill(name)


# Wartime service manual par 16 (seen): final drills by rivet diameter.
@pytest.mark.parametrize(
    ("size", "name"), [("3/32", "#41"), ("1/8", "#30"), ("5/32", "#22"), ("3/16", "#12"), ("1/4", "1/4")]
)
def test_the_wartime_manual_gives_its_final_drills(size: str, name: str) -> None:
    found = final_drills(size, source="p-40")[0]
    assert found.drill.name == name
    assert "service manual" in found.source


# TM 10-5410-221-14 table 4-3 (seen): hole limits of blind rivets.
@pytest.mark.parametrize(
    ("size", "name", "low", "high"),
    [
        ("3/32", "#41", 0.096, 0.100),
        ("1/8", "#30", 0.128, 0.132),
        ("5/32", "#20", 0.160, 0.164),
        ("1/4", "F", 0.257, 0.261),
    ],
)
def test_blind_rivet_drills_lie_inside_their_hole_limits(size: str, name: str, low: float, high: float) -> None:
    found = final_drills(size, "blind")[0]
    assert found.drill.name == name
    assert (found.min_hole, found.max_hole) == (Fraction(repr(low)), Fraction(repr(high)))
    assert found.min_hole is not None
    assert found.max_hole is not None
    assert found.min_hole <= found.drill.inches <= found.max_hole


def test_a_drill_from_memory_says_so_and_the_published_one_stands_beside_it() -> None:
    usual, published = final_drills("3/32")
    assert (usual.drill.name, published.drill.name) == ("#40", "#41")
    assert "from memory" in usual.source
    limits = hole_limits("3/32")
    assert limits is not None
    assert limits[0] <= usual.drill.inches <= limits[1]
    assert limits[2] == "MIL-R-47196A table I (seen only where others quote it)"
    assert hole_limits("1/8") is None


def test_no_drill_is_invented() -> None:
    assert final_drills("7/32") == ()


def test_stepping_up_to_three_eighths_ends_there_and_only_grows() -> None:
    steps = pilot_steps("#30", "3/8", 4)
    assert len(steps) == 4
    assert steps[-1].name == "3/8"
    sizes = [drill("#30").inches, *(step.inches for step in steps)]
    assert sizes == sorted(set(sizes))
    assert pilot_steps("#40", "#30", 1) == (drill("#30"),)
    with pytest.raises(Mistake, match="not smaller"):
        pilot_steps("#30", "#40", 2)
    with pytest.raises(Mistake, match="1 to 20"):
        pilot_steps("#40", "#30", 0)


# MIL-R-47196A (second-hand): chamfer of deburring at most a tenth of the sheet, and at most .032.
@pytest.mark.parametrize(("sheet", "deepest"), [(0.032, 0.0032), (0.040, 0.004), (0.5, 0.032)])
def test_deburring_stays_shallow(sheet: float, deepest: float) -> None:
    depth, source = deepest_deburr(sheet, "in")
    assert float(depth) == pytest.approx(deepest)
    assert source.startswith("MIL-R-47196A")


# TM 9-2320-387-24-2 table 33-4 (seen): thinnest sheet for a 100 degree countersink.
@pytest.mark.parametrize(
    ("size", "sheet"), [("3/32", 0.040), ("1/8", 0.050), ("5/32", 0.064), ("3/16", 0.072), ("1/4", 0.072)]
)
def test_the_thinnest_sheet_to_countersink(size: str, sheet: float) -> None:
    (found,) = countersink_minima(size, "TM 9-2320")
    assert found.sheet == Fraction(repr(sheet))


# NAVEDTRA 14315 page 122 wants .064 for every size, the wartime manual par 10a .051 (both seen).
@pytest.mark.parametrize(("source", "sheet"), [("NAVEDTRA 14315", 0.064), ("P-40", 0.051)])
def test_other_sources_ask_for_their_own_thickness(source: str, sheet: float) -> None:
    (found,) = countersink_minima("3/32", source)
    assert found.sheet == Fraction(repr(sheet))


def test_too_thin_by_every_source_warns_and_by_some_is_a_note() -> None:
    """3/32: .040, .051 and .064 are published."""
    (warning,) = countersink_remarks("3/32", 0.032, "in")
    assert (warning.level, "0.040 in" in warning.says) == ("warning", True)
    (note,) = countersink_remarks("3/32", 0.051, "in")
    assert (note.level, note.source) == ("note", "NAVEDTRA 14315 page 122")
    assert countersink_remarks("3/32", 0.064, "in") == ()
    assert countersink_remarks("3/32", 0.040, "in", "TM 9-2320") == ()
    assert "0.81 mm" in countersink_remarks("3/32", 0.81, "mm")[0].says


# TM 9-2320-387-24-2 table 33-3 (seen): countersink diameters, 100 degrees.
@pytest.mark.parametrize(
    ("size", "low", "high"), [("1/8", 0.222, 0.228), ("5/32", 0.283, 0.289), ("3/16", 0.350, 0.356)]
)
def test_countersink_diameters(size: str, low: float, high: float) -> None:
    window = countersink_window(size)
    assert window is not None
    assert window[:2] == (Fraction(repr(low)), Fraction(repr(high)))
    assert countersink_window("3/32") is None


@settings(deadline=None)
@given(st.integers(14, 500).map(lambda n: n / 1000))
def test_the_nearest_drills_stand_on_either_side(diameter: float) -> None:
    below, above = nearest_drills(diameter, "in")
    assert below is not None
    assert above is not None
    assert below.inches <= Fraction(repr(diameter)) <= above.inches
    assert not [one for one in all_drills() if below.inches < one.inches < above.inches]
