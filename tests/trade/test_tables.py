"""The trade tables: every row has a source and a standing, and a shop's own rows come first."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitup.trade.cautions import cautions_for
from fitup.trade.mistake import Mistake
from fitup.trade.spacing import spacing_remarks
from fitup.trade.tables import STANDINGS, Tables, tables

SHIPPED = Path(__file__).parents[2] / "shared" / "trade"
NAMES = sorted(path.stem for path in SHIPPED.glob("*.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_every_row_says_where_it_comes_from(name: str) -> None:
    rows = tables().rows(name)
    assert rows
    for row in rows:
        assert row.standing in STANDINGS
        assert row.source or row.standing == "common practice"
        assert row.cited
        assert all(key == key.lower() and "_" not in key for key in row.values)


def test_common_practice_and_memory_say_so_where_they_are_shown() -> None:
    assert tables().first("rivet-codes", "protrusion").cited == "common practice, no source"
    assert "from memory" in tables().first("holes", "final-drill", size="3/32").cited
    assert tables().first("metals", "protection").cited.startswith("FAA")


def test_the_shops_own_rows_win_and_the_published_stay(tmp_path: Path) -> None:
    (tmp_path / "layout.toml").write_text('[[spacing]]\nedge-min = 1.7\nsource = "my kit"\nstanding = "own"\n', "utf-8")
    own = Tables(tmp_path)
    assert spacing_remarks("1/8", "in", edge=0.22)[0].level == "warning"
    assert spacing_remarks("1/8", "in", edge=0.22, own=own) == ()
    assert spacing_remarks("1/8", "in", edge=0.20, own=own)[0].source == "my kit (said by this shop)"
    assert own.rows("layout")[0].source == "my kit"
    assert len(own.rows("layout")) == len(tables().rows("layout")) + 1
    assert own.rows("metals") == tables().rows("metals")


def test_a_copy_of_a_shipped_table_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / "metals.toml").write_bytes((SHIPPED / "metals.toml").read_bytes())
    assert Tables(tmp_path).rows("metals") == tables().rows("metals")
    assert Tables(SHIPPED).rows("metals") == tables().rows("metals")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("x = [", "not TOML"),
        ("x = 1", r"rows headed \[\[x\]\]"),
        ("[[spacing]]\nedge-min = 2.0", "needs standing"),
        ('[[spacing]]\nstanding = "sure"', "needs standing"),
        ('[[spacing]]\nstanding = "own"\nedge-min = "two"', "must be a number"),
        ('[[spacing]]\nstanding = "own"\nhead = 3', "must be text"),
        ('[[spacing]]\nstanding = "own"\nedge-min = nan', "not a number"),
    ],
)
def test_a_bad_table_is_refused_in_one_sentence(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "layout.toml").write_text(text, "utf-8")
    with pytest.raises(Mistake, match=says) as refusal:
        spacing_remarks("1/8", "in", edge=1, own=Tables(tmp_path))
    assert "\n" not in str(refusal.value)


def test_a_table_that_is_no_text_or_far_too_large_is_refused(tmp_path: Path) -> None:
    (tmp_path / "layout.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(Mistake, match="not TOML"):
        Tables(tmp_path).rows("layout")
    (tmp_path / "metals.toml").write_bytes(b"#" * 1_000_001)
    with pytest.raises(Mistake, match="million"):
        Tables(tmp_path).rows("metals")


def test_a_missing_row_or_figure_is_named() -> None:
    with pytest.raises(Mistake, match=r"no row \[\[spacing\]\] source nobody"):
        tables().first("layout", "spacing", "nobody")
    row = tables().first("layout", "spacing")
    with pytest.raises(Mistake, match="lacks edge-max"):
        row.figure("edge-max")
    with pytest.raises(Mistake, match="list of texts"):
        row.texts("unit")
    with pytest.raises(Mistake, match="figures by name"):
        row.figures("unit")


@pytest.mark.parametrize(
    ("work", "word"),
    [
        ("buck", "ear"),
        ("drill", "Eye"),
        ("prime", "respirator"),
        ("scuff", "dust"),
        ("seal-fillet", "ventilate"),
        ("clean", "flame"),
        ("leak-test", "manometer"),
    ],
)
def test_cautions_stand_at_the_work_that_can_hurt(work: str, word: str) -> None:
    found = cautions_for(work)
    assert any(word in row.text("says") for row in found)
    assert all(row.cited for row in found)


def test_quiet_work_has_no_cautions_and_none_advises_warming() -> None:
    assert cautions_for("check-parts") == ()
    words = " ".join(row.text("says").lower() for row in tables().rows("cautions"))
    assert "heat" not in words
    assert "warm" not in words
