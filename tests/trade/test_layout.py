"""Splice counts, spacing and rivet diameter against FAA AC 43.13-1B and the training manuals."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.mistake import Mistake
from fitup.trade.rivets import needed_length
from fitup.trade.spacing import diameter_remarks, maximum, minimum, spacing_remarks, suggested_diameter
from fitup.trade.splices import splice

# FAA AC 43.13-1B tables 4-10 and 4-11 (seen): thickness, then rivets per inch of 3/32, 1/8, 5/32, 3/16, 1/4.
SIZES = ("3/32", "1/8", "5/32", "3/16", "1/4")
TABLE_4_10 = [
    (0.016, 6.5, 4.9, None, None, None),
    (0.020, 6.5, 4.9, 3.9, None, None),
    (0.025, 6.9, 4.9, 3.9, None, None),
    (0.032, 8.9, 4.9, 3.9, 3.3, None),
    (0.036, 10.0, 5.6, 3.9, 3.3, 2.4),
    (0.040, 11.1, 6.2, 4.0, 3.3, 2.4),
    (0.051, None, 7.9, 5.1, 3.6, 2.4),
    (0.064, None, 9.9, 6.5, 4.5, 2.5),
    (0.081, None, 12.5, 8.1, 5.7, 3.1),
    (0.091, None, None, 9.1, 6.3, 3.5),
    (0.102, None, None, 10.3, 7.1, 3.9),
    (0.128, None, None, 12.9, 8.9, 4.9),
]
TABLE_4_11 = [
    (0.016, 6.3, 4.7, None, None, None),
    (0.032, 6.3, 4.7, 3.8, 3.2, None),
    (0.040, 7.9, 4.7, 3.8, 3.2, 2.4),
    (0.064, 12.7, 7.0, 4.6, 3.2, 2.4),
    (0.128, None, None, 9.2, 6.4, 3.5),
]


@pytest.mark.parametrize("row", TABLE_4_10)
def test_table_4_10_is_read_as_printed(row: tuple[float | None, ...]) -> None:
    _check_row(row, "2017-T3", "4-10")


@pytest.mark.parametrize("row", TABLE_4_11)
def test_table_4_11_is_read_as_printed(row: tuple[float | None, ...]) -> None:
    _check_row(row, "5052", "4-11")


def _check_row(row: tuple[float | None, ...], alloy: str, table: str) -> None:
    sheet = row[0]
    assert sheet is not None
    for size, per_inch in zip(SIZES, row[1:], strict=True):
        if per_inch is None:
            with pytest.raises(Mistake, match="no table"):
                splice(sheet, 1, "in", size, "full", alloy, table)
        else:
            assert splice(sheet, 1, "in", size, "full", alloy, table).per_inch == Fraction(repr(per_inch))


def test_a_ten_inch_lap_of_032_takes_37_rivets_in_two_rows_of_19() -> None:
    """FAA AC 43.13-1B par 4-58g, page 4-27 (seen)."""
    joint = splice(0.032, 10, "in", "1/8", "lap", "2024-T3")
    assert joint.rivets == 37
    assert joint.rows(2) == 19


# FAA AC 43.13-1B figure 4-20, page 4-41 (seen): intermediate frame, t = .040, 1/8 AD.
# The last width is computed by the method printed there: 6.2 is 7 rivets, 60 % of 7 is 4.2, so 5.
@pytest.mark.parametrize(("width", "rivets"), [(0.6, 3), (2.0, 8), (1.0, 5)])
def test_an_intermediate_frame_is_rounded_up_twice(width: float, rivets: int) -> None:
    assert splice(0.040, width, "in", "1/8", "frame", "2017-T3").rivets == rivets


def test_where_two_tables_list_an_alloy_the_stricter_warns() -> None:
    """Tables 4-9 and 4-10 both list 2024-T3: 6.2 against 4.9 at .032 (4-9 from a scanned text)."""
    joint = splice(0.032, 10, "in", "1/8", "lap", "2024-T3")
    assert "asks for 47" in joint.remarks[0].says
    assert "table 4-9" in joint.remarks[0].source
    assert splice(0.032, 10, "in", "1/8", "lap", "2024-T3", source="table 4-10").remarks == ()
    assert splice(0.032, 10, "in", "1/8", "lap", "7075-T6").per_inch == Fraction("6.2")


def test_between_two_thicknesses_the_thicker_counts_in_either_unit() -> None:
    assert splice(0.030, 10, "in", "1/8").sheet == Fraction("0.032")
    assert splice(0.8128, 254, "mm", "1/8").rivets == 37


@pytest.mark.parametrize(
    ("sheet", "width", "joint", "alloy", "says"),
    [
        (0.2, 10, "lap", "2024-T3", "no table"),
        (0.032, 10, "lap", "wood", "no table"),
        (0.032, 10, "butt", "2024-T3", "no joint"),
        (0, 10, "lap", "2024-T3", "above 0"),
        (0.032, -1, "lap", "2024-T3", "above 0"),
    ],
)
def test_a_splice_without_a_table_is_refused(sheet: float, width: float, joint: str, alloy: str, says: str) -> None:
    with pytest.raises(Mistake, match=says):
        splice(sheet, width, "in", "1/8", joint, alloy)


# Least edge distance and pitch in diameters, by source.
@pytest.mark.parametrize(
    ("source", "figure", "head", "diameters"),
    [
        ("AC 43.13-1B", "edge", "universal", 2.0),  # par 4-57 (second-hand)
        ("AC 43.13-1B", "pitch", "universal", 3.0),
        ("TM 10-5410-229", "edge", "universal", 2.0),  # par 5-6 (seen)
        ("TM 10-5410-229", "pitch", "flush", 3.0),
        ("TM 10-5410-229", "row", "universal", 2.5),
        ("Aircraft Riveting Review", "edge", "universal", 2.0),  # 1999 (seen)
        ("Aircraft Riveting Review", "pitch", "universal", 3.0),
        ("Aircraft Riveting Review", "row", "universal", 2.5),
        ("NAVEDTRA 14018", "pitch", "universal", 3.0),  # rivet spacing (seen)
        ("study guide", "edge", "flush", 2.5),  # (second-hand)
        ("study guide", "edge", "universal", 2.0),
        ("study guide", "row", "flush", 2.5),
    ],
)
def test_least_distances_by_source(source: str, figure: str, head: str, diameters: float) -> None:
    assert figure in ("edge", "pitch", "row")
    found = minimum(figure, "1/8", head, source)  # type: ignore[arg-type]
    assert found is not None
    assert found[0] == Fraction(repr(diameters)) / 8


@pytest.mark.parametrize(
    ("source", "figure", "diameters"),
    [("Aircraft Riveting Review", "edge", 4), ("Aircraft Riveting Review", "pitch", 10), ("study guide", "pitch", 8)],
)
def test_usual_greatest_distances_by_source(source: str, figure: str, diameters: int) -> None:
    found = maximum(figure, "1/8", "universal", source)  # type: ignore[arg-type]
    assert found is not None
    assert found[0] == Fraction(diameters, 8)


def test_two_published_edge_minima_conflict_and_the_stricter_warns() -> None:
    """3/32 universal: MIL-R-47196A .156 in against 2 D = .188 of FAA AC 43.13-1B (both second-hand)."""
    (warning,) = spacing_remarks("3/32", "in", edge=0.17)
    assert (warning.level, warning.what) == ("warning", "edge distance")
    assert "AC 43.13-1B" in warning.source
    assert "MIL-R" not in warning.source
    assert spacing_remarks("3/32", "in", edge=0.17, source="MIL-R-47196A") == ()
    found = minimum("edge", "3/32", source="MIL-R-47196A")
    assert found is not None
    assert found[0] == Fraction("0.156")


def test_spacing_below_warns_and_above_the_usual_is_a_note() -> None:
    assert spacing_remarks("1/8", "in", edge=0.25, pitch=0.5, row=0.4) == ()
    assert [one.level for one in spacing_remarks("1/8", "in", edge=0.24, pitch=0.3, row=0.3)] == ["warning"] * 3
    assert [one.level for one in spacing_remarks("1/8", "in", edge=0.6, pitch=1.1)] == ["note"] * 2
    assert [one.level for one in spacing_remarks("3/32", "mm", head="flush", edge=5.0)] == ["warning"]
    assert spacing_remarks("3/32", "mm", head="flush", edge=6.0, pitch=19.0) == ()


# About three times the thickest sheet: FAA AC 43.13-1B page 4-27 takes 1/8 for .032 (seen);
# a tool maker's article of 2019 takes 5/32 for .050 (seen); least 3/32, NAVEDTRA 14018 rule 5 (seen).
@pytest.mark.parametrize(
    ("sheet", "size"), [(0.032, "1/8"), (0.050, "5/32"), (0.016, "3/32"), (0.064, "7/32"), (0.03125, "3/32")]
)
def test_the_usual_diameter_by_the_thickest_sheet(sheet: float, size: str) -> None:
    assert suggested_diameter(sheet, "in") == Fraction(size)


def test_two_sheets_of_050_take_a_rivet_of_334_thousandths() -> None:
    """A tool maker's article of 2019 (seen): 5/32, two sheets of 0.050 in, 0.334 in long."""
    assert float(needed_length("5/32", 0.1, "in")) == pytest.approx(0.334, abs=5e-4)


# NAVEDTRA 14018 rules 5 to 7 (seen): at least the thickest sheet, at most three times it, 3/32 for structure.
@pytest.mark.parametrize(
    ("size", "sheets", "source", "count"),
    [
        ("1/8", [0.032, 0.032], "", 0),
        ("1/8", [0.032, 0.032], "NAVEDTRA", 1),
        ("5/32", [0.032], "", 1),
        ("1/8", [0.190, 0.032], "", 1),
        ("3/32", [0.020, 0.032], "", 0),
        ("1/16", [0.032], "", 1),
    ],
)
def test_a_diameter_is_judged_by_the_thickest_sheet(size: str, sheets: list[float], source: str, count: int) -> None:
    remarks = diameter_remarks(size, sheets, "in", source)
    assert len(remarks) == count
    assert all(one.level == "note" and one.source for one in remarks)


def test_a_sheet_that_is_none_is_refused() -> None:
    with pytest.raises(Mistake, match="no sheets"):
        diameter_remarks("1/8", [], "mm")
    with pytest.raises(Mistake, match="above 0"):
        diameter_remarks("1/8", [0], "mm")


@settings(deadline=None)
@given(st.integers(16, 128), st.integers(1, 300), st.sampled_from(["lap", "full", "stringer", "frame"]))
def test_a_splice_never_needs_fewer_rivets_when_wider_or_thicker(sheet: int, tenths: int, joint: str) -> None:
    def rivets(thousandths: int, width: int) -> int:
        return splice(thousandths / 1000, width / 10, "in", "5/32", joint, "5052").rivets

    sheet = max(20, sheet)
    assert rivets(sheet, tenths) <= rivets(sheet, tenths + 1)
    assert rivets(max(20, sheet - 1), tenths) <= rivets(sheet, tenths)
    assert rivets(sheet, tenths) >= 1
