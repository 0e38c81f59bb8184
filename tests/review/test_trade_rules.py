"""The rules that know the trade: a fault, its smallest mend, the sources they name, and the shop's own word."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from fitup.cli.main import run
from fitup.model.finding import Finding
from fitup.model.plan import Assembly, Fasteners, Plan, Task, Work
from fitup.review import RULES, review, switched_off
from fitup.trade.tables import use_folder

BAD_PLAN = Path(__file__).parent / "bad-plan.toml"
WORKS = tuple(Work(name, name.capitalize()) for name in ("buck", "bolt", "dimple", "countersink", "fit"))
AD4 = Fasteners("universal", "AD", "1/8", 0.08)
"""An eighth in 0.08 in of sheets: 0.08 + 1.5 x 0.125 = 0.2675, so 5/16; the tail stands out 1.86 D, about 1.9."""


def task(name: str, work: str = "buck", **values: Any) -> Task:
    return Task(name, name.capitalize(), "flap", work, **values)


def plan(*tasks: Task, **values: Any) -> Plan:
    base = Plan(works=WORKS, assemblies=(Assembly("flap", "Flap"),), length_unit="in")
    return replace(base, tasks=tasks, **values)


def found(rule: str, looked_at: Plan) -> list[Finding]:
    return [finding for finding in review(looked_at) if finding.rule == rule]


@dataclass(frozen=True)
class Case:
    rule: str
    level: str
    fault: Plan
    says: str
    source: str
    mended: Plan


def joint(**values: Any) -> Plan:
    return plan(task("a", **values))


def sunk(sheet: float, size: str = "3/32") -> Plan:
    return plan(task("a", "countersink", sheets=(sheet,), size=size))


CASES = (
    Case(
        "dissimilar-metals",
        "warning",
        joint(metals=("aluminium", "brass")),
        "aluminium and brass touch without protection and aluminium corrodes",
        "Niu",
        joint(metals=("aluminium", "brass"), protect="tin-plated washers and primer"),
    ),
    Case(
        "dissimilar-metals",
        "warning",
        joint(metals=("aluminium",), fasteners=replace(AD4, material="stainless")),
        "aluminium and stainless touch",
        "Niu",
        joint(metals=("aluminium",), fasteners=replace(AD4, material="AD")),
    ),
    Case(
        "dissimilar-metals",
        "note",
        joint(metals=("aluminium", "unobtainium")),
        "'unobtainium' is in no group of metals",
        "no table",
        joint(metals=("aluminium", "cadmium plated steel")),
    ),
    Case(
        "dissimilar-metals",
        "note",
        joint(metals=("aluminium", "steel"), protect="good luck"),
        "no source names 'good luck' as protection",
        "Niu",
        joint(metals=("aluminium", "steel"), protect="epoxy primer"),
    ),
    # 3/32 universal: MIL-R-47196A asks for 0.156 in, the others for 2 D = 0.1875 in: the stricter speaks
    Case(
        "edge-and-pitch",
        "warning",
        joint(edge_distance=0.18, fasteners=replace(AD4, size="3/32")),
        "edge distance 0.180 in is below 0.188 in, 2 D",
        "FAA AC 43.13-1B",
        joint(edge_distance=0.1875, fasteners=replace(AD4, size="3/32")),
    ),
    Case(
        "edge-and-pitch",
        "warning",
        joint(edge_distance=0.3, fasteners=replace(AD4, head="flush")),
        "edge distance 0.300 in is below 0.312 in, 2.5 D",
        "study guide",
        joint(edge_distance=0.3, fasteners=AD4),
    ),
    Case(
        "edge-and-pitch",
        "warning",
        joint(pitch=0.37, size="1/8"),
        "pitch 0.370 in is below 0.375 in, 3 D",
        "NAVEDTRA 14018",
        joint(pitch=0.375, size="1/8"),
    ),
    # 10 D is the widest of the usual greatest pitches, 8 D the narrowest: nothing is said between the two
    Case(
        "edge-and-pitch",
        "note",
        joint(pitch=1.26, size="1/8"),
        "pitch 1.260 in is above the usual",
        "study guide",
        joint(pitch=1.25, size="1/8"),
    ),
    Case(
        "edge-and-pitch",
        "note",
        joint(pitch=1.0, size="M6 coarse"),
        "a cannot be judged: diameter 'M6 coarse' is not a length",
        "no table",
        joint(pitch=1.0, size="1/4"),
    ),
    Case(
        "rivet-diameter",
        "note",
        joint(sheets=(0.04, 0.14), fasteners=replace(AD4, grip=0.18)),
        "1/8 is thinner than the thickest sheet",
        "NAVEDTRA 14018, rivet rules 6 and 7",
        joint(sheets=(0.04, 0.12), fasteners=replace(AD4, grip=0.18)),
    ),
    Case(
        "rivet-diameter",
        "note",
        joint(fasteners=AD4),
        "the tail stands out 1.9 D, outside 1.3 to 1.8 D: a long tail bends over; try a half length",
        "NAVEDTRA 14018",
        joint(fasteners=replace(AD4, half=True)),
    ),
    Case(
        "rivet-diameter",
        "note",
        joint(fasteners=replace(AD4, grip=0.12, callout="MS20470AD3-4")),
        "the callout MS20470AD3-4 is a 3/32 rivet, the task says 1/8",
        "callout",
        joint(fasteners=replace(AD4, grip=0.1, callout="MS20470AD4-4.5")),
    ),
    # 3/32: TM 9-2320-387-24-2 asks for 0.040, a wartime manual for 0.051, NAVEDTRA 14315 for 0.064 in
    Case(
        "countersink-too-thin",
        "warning",
        sunk(0.032),
        "every source wants at least 0.040 in",
        "TM 9-2320-387-24-2 table 33-4",
        sunk(0.064),
    ),
    Case(
        "countersink-too-thin",
        "note",
        sunk(0.05),
        "the strictest source wants at least 0.064 in",
        "NAVEDTRA 14315",
        sunk(0.064),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.says[:40]}")
def test_rule_finds_the_fault_and_not_its_mend(case: Case) -> None:
    (finding,) = found(case.rule, case.fault)
    assert (finding.level, finding.where) == (case.level, "a")
    assert case.says in finding.says
    assert case.source in finding.source
    assert finding.mend
    assert found(case.rule, case.mended) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.says[:40]}")
def test_rule_that_is_switched_off_finds_nothing_and_keeps_its_reason(case: Case) -> None:
    off = replace(case.fault, review_off=((case.rule, "the kit's maker says so"),))
    assert found(case.rule, off) == []
    assert switched_off(off) == ((case.rule, "the kit's maker says so"),)


def test_switching_off_a_rule_that_there_is_not_is_noted() -> None:
    (finding,) = review(plan(review_off=(("edge-and-patch", "typing"),)))
    assert (finding.rule, finding.level, finding.where) == ("dangling", "note", "edge-and-patch")


def test_bolts_are_not_judged_as_rivets() -> None:
    assert found("rivet-diameter", plan(task("a", "bolt", sheets=(0.5,), fasteners=AD4))) == []


def test_countersunk_part_under_a_dimpled_skin_is_judged_by_its_own_thickness() -> None:
    rivet = task("c", sheets=(0.02, 0.072), holes="row", fasteners=replace(AD4, size="3/32"))
    sink = task("a", "countersink", holes="row")
    assert len(found("countersink-too-thin", plan(sink, rivet))) == 1
    assert found("countersink-too-thin", plan(sink, task("b", "dimple", holes="row"), rivet)) == []


def test_the_same_remark_on_several_tasks_is_one_finding() -> None:
    both = plan(task("a", fasteners=AD4), task("b", fasteners=AD4))
    (finding,) = found("rivet-diameter", both)
    assert finding.says.startswith("a, b: ")


def test_what_the_shops_manual_says_wins(tmp_path: Path) -> None:
    (tmp_path / "layout.toml").write_text(
        '[[spacing]]\nedge-min = 1.7\nsource = "my kit, page 5"\nstanding = "own"\n', "utf-8"
    )
    near = joint(edge_distance=0.22, size="1/8")
    assert len(found("edge-and-pitch", near)) == 1
    use_folder(lambda: tmp_path)
    try:
        assert found("edge-and-pitch", near) == []
        (finding,) = found("edge-and-pitch", joint(edge_distance=0.2, size="1/8"))
        assert finding.source == "my kit, page 5 (said by this shop)"
    finally:
        use_folder(lambda: None)


def test_one_bad_plan_sets_off_every_rule(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["review", str(BAD_PLAN), "--json"]) == 1
    findings = json.loads(capsys.readouterr().out)["findings"]
    assert {finding["rule"] for finding in findings} == {rule.id for rule in RULES}
    assert all(finding["mend"] for finding in findings)
    assert all(finding["source"] for finding in findings if not finding["line"])
    assert len(findings) <= 22, "each fault is told once"


def test_every_rule_here_is_of_this_file() -> None:
    of_trade = {rule.id for rule in RULES if rule.find.__module__ == "fitup.review.trade_rules"}
    assert {case.rule for case in CASES} == of_trade
