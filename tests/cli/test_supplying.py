"""The bench list and the orders as typed, on the trim tab and on one morning of the demo, counted by hand."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from tests.shop_floor import make_project

from fitup.bench import bench_list
from fitup.cli.main import run
from fitup.desk import Desk
from fitup.desk_files import make_demo
from fitup.files.shop import shipped_shop
from fitup.model.amounts import parse_instant
from fitup.model.asks import AskLayOut
from fitup.model.sheet import Line, Question, Sheet

NOW = "2026-11-28T09:00"


def answer(capsys: pytest.CaptureFixture[str], project: Path, *words: str, code: int = 0) -> Any:
    capsys.readouterr()
    assert run([*words, "--project", str(project), "--by", "Robin", "--now", NOW, "--json"]) == code
    out, err = capsys.readouterr()
    return err if code == 2 else json.loads(out)


def text(capsys: pytest.CaptureFixture[str], project: Path, *words: str) -> str:
    capsys.readouterr()
    assert run([*words, "--project", str(project), "--by", "Robin", "--now", NOW]) == 0
    return capsys.readouterr().out


def test_bench_shows_ticks_lots_and_colours(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    project = make_project(tmp_path)
    found = answer(capsys, project, "bench", "--minutes", "240")
    row = found["temporary"][0]
    assert (row["size"], row["described"], row["laid_out"]) == ("3/32", "3/32 (cadmium (silver))", False)
    tool = found["tools"][0]["tool"]
    desk = Desk.open(project, "Robin", lambda: parse_instant(NOW))
    desk.do(AskLayOut(f"tool {tool}, 2026-11-28", True))
    desk.close()
    found = answer(capsys, project, "bench", "--minutes", "240")
    assert [row["laid_out"] for row in found["tools"] if row["tool"] == tool] == [True]
    shown = text(capsys, project, "bench", "--minutes", "240")
    assert "[x]" in shown
    assert "3/32 (cadmium (silver))" in shown


def test_order_names_item_quantity_day_and_tasks(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    project = make_project(tmp_path)
    found = answer(capsys, project, "order", "--weeks", "52")
    assert found["order"], "the trim tab has no nutplates at all"
    for row in found["order"]:
        assert {"item", "quantity", "order_by", "for"} <= set(row)
        assert date.fromisoformat(row["order_by"])
        assert row["for"]
    assert "Nutplates" in text(capsys, project, "order", "--weeks", "52")
    assert "below 0" in answer(capsys, project, "order", "--weeks", "-1", code=2)


def test_show_tells_the_rivet_and_the_cautions_with_their_handbook(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    project = make_project(tmp_path)
    found = answer(capsys, project, "show", "rivet")
    assert found["rivet"]["part_number"]
    assert any("29 CFR 1910.95" in caution or "OSHA" in caution for caution in found["cautions"])
    assert "CAUTION: " in text(capsys, project, "show", "rivet")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_demo(tmp_path_factory.mktemp("demo") / "demo.fitup", shipped_shop()).path


def test_a_morning_of_the_demo_counted_by_hand(demo: Path) -> None:
    desk = Desk.open(demo, "Robin", lambda: parse_instant(NOW))
    morning = (
        Line("wing.cleco-panel", 16, 0, 6),
        Line("wing.close-bay-4", 48, 6, 31),
        Line("tank-rib-1.clean-clecos", 1, 31, 51),
        Line("tank-rib-1.fillet", 1, 51, 103),
        Line("flap.rivet-top", 66, 103, 165, who="both"),
    )
    found = bench_list(desk.project, Sheet(Question(parse_instant(NOW), 240), morning))
    desk.close()
    # the tables' tools in order of first use; the two closing jobs share none
    assert [(row.tool, row.minute) for row in found.tools] == [
        ("cleco-pliers", 0),
        ("rivet-puller", 6),
        ("sealant-gun", 51),
        ("rivet-gun", 103),
        ("bucking-bars", 103),
        ("compressor", 103),
    ]
    fasteners = {row.part_number: row for row in found.fasteners}
    # 48 blind rivets and a twentieth to spare are 50.4; 66 rivets and a tenth 72.6
    blind, solid = fasteners["blind-18"], fasteners["MS20426AD3-3.5"]
    assert (blind.count, blind.lay_out, blind.short) == (48, 51, 0)
    # of 112 rivets 52 went into the edges of the skin: 60 are there, 6 too few
    assert (solid.count, solid.lay_out, solid.have, solid.short) == (66, 73, 60, 6)
    assert list(fasteners) == ["MS20426AD3-3.5", "blind-18"], "what is short stands first"
    # 7/32 in is 5.556 mm, 1.32 mm of sheets leave 4.236 mm of 2.381 mm: 1.78 D
    assert solid.protrusion_d == (1.78,)
    # 3/32: the flap's top skin has 60 in, rib 1 another 32; both come back this morning, so never more than 92
    # 1/8: 16 in the lower panel, back as it is closed
    temporary = {row.size: (row.now, row.out, row.peak, row.short) for row in found.temporary}
    assert temporary == {"1/8": (16, 0, 16, 0), "3/32": (0, 92, 92, 0)}
    # 80 ml of solvent without spare; 50 g of sealant and a tenth, all from the lot good to 4 December
    rows = {row.item: row for row in found.consumables}
    assert (rows["solvent"].quantity, rows["solvent"].lay_out) == (80, 80)
    sealant = rows["sealant-b2"]
    assert (sealant.quantity, sealant.lay_out, sealant.short) == (50, 55, 0)
    assert [(lot.quantity, lot.expires) for lot in sealant.lots] == [(55, date(2026, 12, 4))]


def test_review_of_the_demo_is_short_and_has_no_errors(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    findings = answer(capsys, demo, "review")["findings"]
    assert len(findings) <= 6
    assert {finding["level"] for finding in findings} <= {"note", "warning"}
    assert all(finding["mend"] and finding["source"] for finding in findings)
