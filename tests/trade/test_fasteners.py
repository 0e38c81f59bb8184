"""What a task drives and draws, and whose tables say so."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from fitup.model.plan import Fasteners, Item, Plan, Task
from fitup.trade.fasteners import part_number_of, rivet_of, used_by
from fitup.trade.metals import protection
from fitup.trade.mistake import BrokenTable
from fitup.trade.rivets import solid_rivet
from fitup.trade.spacing import above_all
from fitup.trade.tables import tables, use_folder

TASK = Task(
    "drive", "Drive", "a", "buck", 40, fasteners=Fasteners("universal", "AD", "1/8", 0.125), needs=(("goo", 60.0),)
)
PLAN = Plan(
    length_unit="in",
    items=(Item("goo", "Sealant"), Item("r", "Rivets", "fastener", part_number="MS20470AD4-5")),
    tasks=(TASK,),
)


def test_needs_go_by_share_and_fasteners_by_part_number() -> None:
    # length rule, NAVEDTRA 14018 rule 8: 0.125 + 1.5 x 0.125 in is exactly 5 sixteenths
    assert used_by(PLAN, TASK, 10) == (("goo", 15), ("r", 10))
    named = replace(TASK, needs=(("r", 44.0),))
    assert used_by(PLAN, named, 40) == (("r", 44),), "what is needed by name is not drawn twice"
    assert used_by(PLAN, replace(TASK, needs=(("gone", 1.0),), fasteners=None), 40) == ()


def test_fasteners_nobody_knows_are_described_and_say_why() -> None:
    assert TASK.fasteners is not None
    odd = rivet_of(PLAN, replace(TASK, fasteners=replace(TASK.fasteners, size="M6 coarse")))
    assert odd is not None
    assert odd.part_number == "universal AD M6 coarse"
    assert "is not a length" in odd.warnings[0]
    assert rivet_of(PLAN, replace(TASK, fasteners=None)) is None


def test_folder_in_use_counts_everywhere_and_only_while_it_is_in_use(tmp_path: Path) -> None:
    row = '[[length]]\nallowance = 2.0\nsource = "my kit"\nstanding = "own"\n'
    (tmp_path / "rivet-codes.toml").write_text(row, "utf-8")
    looked: list[Path] = []

    def find() -> Path:
        looked.append(tmp_path)
        return tmp_path

    use_folder(find)
    try:
        assert looked == [], "nothing is looked for before a table is needed"
        # 0.125 + 2 x 0.125 in: six sixteenths
        assert part_number_of(PLAN, TASK) == "MS20470AD4-6"
        assert used_by(PLAN, TASK, 10) == (("goo", 15),)
        assert tables().first("rivet-codes", "length").source == "my kit"
        assert looked == [tmp_path]
    finally:
        use_folder(lambda: None)
    assert part_number_of(PLAN, TASK) == "MS20470AD4-5"


def test_broken_table_is_never_passed_over(tmp_path: Path) -> None:
    (tmp_path / "rivet-codes.toml").write_text("[[", "utf-8")
    use_folder(lambda: tmp_path)
    try:
        with pytest.raises(BrokenTable, match=r"rivet-codes\.toml"):
            part_number_of(PLAN, TASK)
    finally:
        use_folder(lambda: None)


@pytest.mark.parametrize(
    ("grip", "says"),
    [
        (0.0875, ""),
        (0.08, "1.9 D"),
        (0.0825, "1.84 D"),
        (0.087, "1.804 D"),
        (0.15, ""),
        (0.155, "1.26 D"),
        (0.175, "1.1 D"),
    ],
)
def test_window_of_the_tail_is_judged_by_the_figure_itself(grip: float, says: str) -> None:
    # 1.3 to 1.8 D: common practice, no source. (5/16 - grip) / (1/8) by hand; the window has its ends
    warnings = solid_rivet("universal", "AD", "1/8", grip, "in", "MS20470AD4-5").warnings
    assert bool(warnings) == bool(says)
    assert all(f"stands out {says}, outside 1.3 to 1.8 D" in warning for warning in warnings)


def test_a_computed_rivet_with_too_long_a_tail_is_warned_of_too() -> None:
    # 3/32, next sixteenth 1/4 in: (0.25 - 0.0775) / 0.09375 = 1.84 D; with half a sixteenth (7/32) it is 1.51 D
    assert solid_rivet("universal", "AD", "3/32", 0.0775, "in", half=True).warnings == ()
    (warning,) = solid_rivet("universal", "AD", "3/32", 0.0775, "in").warnings
    assert "1.84 D" in warning


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("primer", "primer"),
        ("Cadmium-plated washers and primer", "primer"),
        ("tin-plated washer", "gasket"),
        ("two strips of tape", "gasket"),
        ("taped on with hope", None),
        ("", None),
    ],
)
def test_protection_is_found_among_other_words(words: str, kind: str | None) -> None:
    row = protection(words)
    assert (row.text("word") if row else None) == kind


def test_a_pitch_is_wide_only_above_every_source() -> None:
    # 8 D: study guide (second-hand); 10 D: Aircraft Riveting Review, 1999
    assert not above_all("pitch", 1.25, "in", "1/8")
    assert above_all("pitch", 1.26, "in", "1/8")
    assert not above_all("row", 99, "in", "1/8"), "no source sets a greatest row distance"
