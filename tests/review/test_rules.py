"""Every rule of the plan review: a sound plan it is silent about, the smallest fault, and the smallest mend."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import pytest

from fitup.model.finding import Finding
from fitup.model.plan import (
    Assembly,
    Bay,
    Check,
    Cleco,
    ClecoLoan,
    Fasteners,
    Hold,
    Item,
    Lot,
    Occupy,
    OnOrder,
    Plan,
    Task,
    ThreePoint,
    Tool,
    Within,
    Work,
)
from fitup.review import RULES, review, switched_off

HOUR = ThreePoint(3000, 3600, 4500)
WORKS = (
    Work("fit", "Fit", seconds=HOUR),
    Work("drill", "Drill", seconds=HOUR, hole_step="drill", split=True),
    Work("final-drill", "Final-drill", seconds=HOUR, hole_step="final"),
    Work("deburr", "Deburr", seconds=HOUR, hole_step="deburr", helper_alone=True),
    Work("dimple", "Dimple", seconds=HOUR, hole_step="form"),
    Work("prime", "Prime", seconds=HOUR, hole_step="clean"),
    Work("buck", "Buck", seconds=HOUR, hole_step="fasten"),
    Work("seal", "Seal", seconds=HOUR),
    Work("mix", "Mix", seconds=ThreePoint(200, 300, 400)),
    Work("check", "Check", seconds=HOUR),
)


def task(name: str, work: str = "fit", *holds: Hold, after: str = "", **values: Any) -> Task:
    """Return a task of one unit that comes after the tasks named in `after`."""
    waits = (*(Hold("after", until) for until in after.split()), *holds)
    return Task(name, name.capitalize(), "flap", work, holds=waits, **values)


def plan(*tasks: Task, **values: Any) -> Plan:
    """Return a plan with one assembly, one bay, one table and the works above."""
    base = Plan(works=WORKS, assemblies=(Assembly("flap", "Flap"),), bays=(Bay("bay", "the bay"),))
    return replace(base, tools=(Tool("table", "Table"),), tasks=tasks, **values)


def found(rule: str, looked_at: Plan) -> list[Finding]:
    """Return what one rule finds."""
    return [finding for finding in review(looked_at) if finding.rule == rule]


SOUND = plan(task("a"), task("b", after="a"), task("c", after="b"))


@dataclass(frozen=True)
class Case:
    """A plan with a fault, what `rule` says about it and where, and the plan mended."""

    rule: str
    fault: Plan
    where: str
    says: str
    mended: Plan


GLUE = Item("glue", "Epoxy", unit="g", lots=(Lot(30, date(2026, 12, 1)),))
GLUE_NEEDS = (("glue", 40.0),)
VISIT = Hold("sign-off", by="inspector", expected=date(2026, 12, 12))


def lent(count: int) -> Plan:
    """Return a plan that lends `count` clecos while ten of twenty are out already."""
    return plan(
        task("a", clecos=(ClecoLoan("3/32", 10, "d"),)),
        task("b", after="a", clecos=(ClecoLoan("3/32", count, "c"),)),
        task("c", after="b"),
        task("d", after="c"),
        clecos=(Cleco("3/32", 20),),
    )


def windowed(hours: float, start: Any = "begin") -> Plan:
    """Return a plan with five minutes of mixing (likely) and two tasks of 75 minutes (high) in its window."""
    window = Within("mix", hours, start)
    return plan(
        task("mix", "mix"), task("lay", after="mix"), task("press", after="lay", within=(window,)), task("other")
    )


def closing(*holds: Hold, **values: Any) -> Plan:
    """Return a plan that closes a bay."""
    return plan(task("wire", **values), task("cover", "fit", *holds, after="wire", closes=("bay",)))


CASES = (
    Case(
        "circle",
        plan(task("a", after="c"), task("b", after="a d"), task("c", after="b"), task("d", after="b")),
        "b",
        "b, which waits for d, which waits for b",
        plan(task("a"), task("b", after="a"), task("c", after="b"), task("d", after="b")),
    ),
    Case("dangling", plan(task("a", after="z")), "a", "a names the task 'z'", SOUND),
    Case("dangling", plan(task("a", tools=("saw",))), "a", "the tool 'saw'", plan(task("a", tools=("table",)))),
    Case("dangling", plan(task("a", inside=("x",))), "a", "the bay 'x'", plan(task("a", inside=("bay",)))),
    Case("dangling", plan(task("a", "fly")), "a", "the kind of work 'fly'", plan(task("a", "fit"))),
    Case("dangling", plan(task("a", within=(Within("z", 2),))), "a", "the task 'z'", SOUND),
    Case("dangling", plan(task("a", needs=GLUE_NEEDS)), "a", "the item 'glue'", plan(task("a"), items=(GLUE,))),
    Case("dangling", plan(task("a", occupies=(Occupy("jig", "a"),))), "a", "the tool 'jig'", SOUND),
    Case("dangling", plan(task("a", clecos=(ClecoLoan("clamp", 1, "z"),))), "a", "the task 'z'", SOUND),
    Case("dangling", plan(task("a"), assemblies=()), "a", "the assembly 'flap'", SOUND),
    Case("same-id", plan(task("a"), task("a")), "a", "2 tasks are called 'a'", plan(task("a"), task("b"))),
    Case("same-id", plan(bays=(Bay("bay", ""), Bay("bay", ""))), "bay", "2 bays are called 'bay'", SOUND),
    Case(
        "three-points",
        plan(task("a", minutes=ThreePoint(60, 45, 90))),
        "a",
        "minutes 60, 45, 90 are not in order",
        plan(task("a", minutes=ThreePoint(45, 60, 90))),
    ),
    Case(
        "three-points",
        plan(task("a", minutes=ThreePoint(float("nan"), 45, 90))),
        "a",
        "not in order",
        plan(task("a", minutes=ThreePoint(45, 45, 45))),
    ),
    Case(
        "closed-in",
        plan(task("cover", closes=("bay",)), task("wire", after="cover", inside=("bay",))),
        "wire",
        "wire is done in the bay, but comes after cover",
        plan(task("cover", closes=("bay",)), task("wire", inside=("bay",))),
    ),
    # 5 + 75 + 75 + 10 of margin, in minutes; from the finish of the mix 75 + 75
    Case("window-impossible", windowed(164 / 60), "press", "takes 2 h 45", windowed(165 / 60)),
    Case("window-impossible", windowed(2.49, "finish"), "press", "takes 2 h 30", windowed(2.5, "finish")),
    Case(
        "window-impossible",
        plan(task("mix", "mix"), task("lay", "fit", Hold("cure", "mix", hours=12), within=(Within("mix", 8),))),
        "lay",
        "within 8 h of the begin of mix",
        plan(task("mix", "mix"), task("lay", "fit", Hold("cure", "mix", hours=2), within=(Within("mix", 8),))),
    ),
    Case(
        "never-fits",
        plan(task("a", count=5), sessions="sat 09:00-13:00"),
        "a",
        "a takes 5 h and cannot be split, but the longest usual session has 4 h",
        plan(task("a", count=5, split=True), sessions="sat 09:00-13:00"),
    ),
    Case("never-fits", plan(task("a", count=9)), "a", "a full day has 8 h", plan(task("a", count=8))),
    Case(
        "never-fits",
        plan(task("a", "drill", count=5, one_go="cup"), task("b", count=4, one_go="cup")),
        "cup",
        "the work in one go 'cup' (a, b) takes 9 h",
        plan(task("a", "drill", count=5, one_go="cup"), task("b", count=4, one_go="saucer")),
    ),
    Case(
        "hole-order",
        plan(task("d", "dimple", holes="row"), task("f", "final-drill", after="d", holes="row")),
        "d",
        "dimpling or countersinking (d) comes before drilling to size (f)",
        plan(task("d", "dimple", after="f", holes="row"), task("f", "final-drill", holes="row")),
    ),
    Case(
        "hole-order",
        plan(task("a", "drill", holes="row"), task("b", "deburr", holes="row")),
        "b",
        "nothing makes deburring (b) wait for drilling (a)",
        plan(task("a", "drill", holes="row"), task("b", "deburr", holes="other row")),
    ),
    Case("closes-unchecked", closing(), "cover", "nothing before it is checked", closing(photo=True)),
    Case("closes-unchecked", closing(), "cover", "cover closes bay", closing(VISIT)),
    Case("closes-unchecked", closing(), "cover", "cover closes bay", closing(check=Check("yes-no"))),
    Case(
        "no-cure",
        plan(task("a", "seal"), task("b", after="a")),
        "a",
        "nothing waits until what is done in a has cured",
        plan(task("a", "seal"), task("b", "fit", Hold("cure", "a", hours=24))),
    ),
    Case("clecos-short", lent(11), "3/32", "21 out at once (at b), but the shop has 20", lent(10)),
    Case("clecos-short", replace(lent(1), clecos=()), "3/32", "11 out at once (at b), but the shop has 0", lent(1)),
    Case(
        "short-supply",
        plan(task("a", needs=GLUE_NEEDS), items=(GLUE,)),
        "glue",
        "the plan needs 40 g, but the shop has 30 g",
        plan(task("a", needs=GLUE_NEEDS), items=(replace(GLUE, on_order=OnOrder(10)),)),
    ),
    Case(
        "short-supply",
        plan(
            task("a", "buck", count=50, fasteners=Fasteners("flush", "AD", "3/32", callout="XY-3")),
            items=(Item("rivets", "Rivets", "fastener", lots=(Lot(40),), part_number="XY-3"),),
        ),
        "rivets",
        "the plan needs 50, but the shop has 40",
        plan(
            task("a", "buck", count=50, fasteners=Fasteners("flush", "AD", "3/32", callout="XY-3")),
            items=(Item("rivets", "Rivets", "fastener", lots=(Lot(50),), part_number="XY-3"),),
        ),
    ),
    Case(
        "expires-first",
        plan(task("a", "fit", VISIT), task("b", after="a", needs=(("glue", 20.0),)), items=(GLUE,)),
        "glue",
        "glue is in date until 2026-12-01, but b cannot begin before 2026-12-12",
        plan(task("a"), task("b", after="a", needs=(("glue", 20.0),)), items=(GLUE,)),
    ),
    Case("helper-needed", plan(task("a", crew=2)), "helper", "for one task: a", plan(task("a", crew=1))),
    Case(
        "redundant",
        plan(task("a"), task("b", after="a"), task("c", after="a b")),
        "c",
        "c waits for a already through b",
        SOUND,
    ),
    Case(
        "redundant",
        plan(task("a"), task("b", "fit", Hold("cure", "a", hours=2), after="a")),
        "b",
        "b waits for a already through its cure hold",
        plan(task("a"), task("b", "fit", Hold("cure", "a", hours=2))),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.says[:30]}")
def test_rule_finds_the_fault_and_not_its_mend(case: Case) -> None:
    findings = found(case.rule, case.fault)
    assert [finding.where for finding in findings] == [case.where]
    assert case.says in findings[0].says
    assert findings[0].mend
    assert findings[0].source
    assert found(case.rule, case.mended) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.says[:30]}")
def test_rule_that_is_switched_off_finds_nothing_and_keeps_its_reason(case: Case) -> None:
    off = replace(case.fault, review_off=((case.rule, "we know better"),))
    assert found(case.rule, off) == []
    assert switched_off(off) == ((case.rule, "we know better"),)


def test_nothing_is_found_in_a_sound_plan() -> None:
    assert review(SOUND) == ()
    assert review(Plan()) == ()


def test_every_rule_is_tried_here_and_has_a_name_of_its_own() -> None:
    of_trade = {rule.id for rule in RULES if rule.find.__module__ == "fitup.review.trade_rules"}
    assert {case.rule for case in CASES} == {rule.id for rule in RULES} - of_trade, "those have a file of their own"
    assert len({rule.id for rule in RULES}) == len(RULES)


def test_circle_named_is_the_shortest() -> None:
    (finding,) = found("circle", CASES[0].fault)
    assert finding.says.count("waits for") == 2


def test_deburring_before_dimpling_is_switched_off_alone() -> None:
    holes = {"holes": "row"}
    tasks = (
        task("drill", "drill", **holes),
        task("dimple", "dimple", after="drill", **holes),
        task("deburr", "deburr", after="dimple", **holes),
        task("rivet", "buck", after="deburr", **holes),
    )
    off = (("deburr-before-dimple", "as the kit's manual says"),)
    assert [finding.where for finding in found("hole-order", plan(*tasks))] == ["dimple"]
    assert found("hole-order", plan(*tasks, review_off=off)) == []
    undrilled = (replace(tasks[0], holds=(Hold("after", "rivet"),)), replace(tasks[1], holds=()), *tasks[2:])
    assert [finding.where for finding in found("hole-order", plan(*undrilled, review_off=off))] == ["dimple", "deburr"]
    assert switched_off(plan(review_off=off)) == off


def test_primer_that_the_kit_does_not_want_is_not_asked_for() -> None:
    assert found("hole-order", plan(task("a", "dimple", holes="r"), task("b", "buck", after="a", holes="r"))) == []


def test_helpers_own_work_in_a_window_leaves_the_builder_free() -> None:
    def two(work: str) -> Plan:
        within = (Within("mix", 100 / 60),)
        lay, wipe = task("lay", after="mix"), task("wipe", work, after="mix")
        minute = ThreePoint(1, 1, 1)
        press = task("press", after="lay wipe", minutes=minute, within=within)
        return plan(task("mix", "mix"), lay, wipe, press)

    assert found("window-impossible", two("deburr")) == []
    assert len(found("window-impossible", two("fit"))) == 1


def test_cure_counted_from_the_wet_riveting_covers_the_sealing_before_it() -> None:
    def riveted(tie: Callable[[Task], Task]) -> Plan:
        rivet = tie(task("rivet", "buck", after="seal"))
        return plan(task("seal", "seal", one_go="cup"), rivet, task("next", "fit", Hold("cure", "rivet", hours=24)))

    assert found("no-cure", riveted(lambda rivet: replace(rivet, within=(Within("seal", 4),)))) == []
    assert found("no-cure", riveted(lambda rivet: replace(rivet, one_go="cup"))) == []
    assert len(found("no-cure", riveted(lambda rivet: rivet))) == 1


def test_loans_that_need_not_overlap_are_not_added_up() -> None:
    apart = plan(
        task("a", clecos=(ClecoLoan("3/32", 15, "b"),)),
        task("b", after="a"),
        task("c", clecos=(ClecoLoan("3/32", 15, "d"),)),
        task("d", after="c"),
        clecos=(Cleco("3/32", 20),),
    )
    assert found("clecos-short", apart) == []


def test_check_far_from_the_bay_does_not_count_as_a_look_into_it() -> None:
    elsewhere = replace(task("twist", "check", check=Check("yes-no")), assembly="tank")
    cover = task("cover", after="twist", closes=("bay",))
    assert len(found("closes-unchecked", plan(elsewhere, cover))) == 1
    assert found("closes-unchecked", plan(replace(elsewhere, inside=("bay",)), cover)) == []


def test_holds_made_by_themselves_are_not_redundant() -> None:
    wired = plan(
        task("wire", inside=("bay",)),
        task("test", after="wire", inside=("bay",)),
        task("cover", after="test", closes=("bay",)),
    )
    assert found("redundant", wired) == []
    through_the_bay_alone = replace(wired, tasks=(*wired.tasks, task("fly", after="wire cover")))
    unwritten = replace(through_the_bay_alone.tasks[2], holds=())
    tasks = (*wired.tasks[:2], unwritten, through_the_bay_alone.tasks[3])
    assert [finding.where for finding in found("redundant", through_the_bay_alone)] == ["fly"]
    assert found("redundant", plan(*tasks)) == []


def test_lot_may_be_used_on_its_last_day() -> None:
    last_day = replace(VISIT, expected=date(2026, 12, 1))
    waiting = plan(task("a", "fit", last_day, needs=(("glue", 20.0),)), items=(GLUE,))
    assert found("expires-first", waiting) == []
    day_after = replace(waiting.tasks[0], holds=(replace(VISIT, expected=date(2026, 12, 2)),))
    assert len(found("expires-first", replace(waiting, tasks=(day_after,)))) == 1


def test_usual_sessions_that_cannot_be_read_are_a_finding() -> None:
    (finding,) = found("never-fits", plan(sessions="now and then"))
    assert finding.where == "sessions"


def test_rules_that_need_an_order_pass_over_a_circle() -> None:
    looped = plan(
        task("a", "seal", after="b", within=(Within("b", 1),), clecos=(ClecoLoan("clamp", 2, "b"),), holes="r"),
        task("b", "drill", after="a", closes=("bay",), holes="r"),
        task("c", "deburr", inside=("bay",), holes="r"),
    )
    assert {finding.rule for finding in review(looped)} >= {"circle", "clecos-short", "no-cure"}


def test_a_wait_that_only_a_check_implies_is_kept_for_the_day_when_the_check_is_waived() -> None:
    checked = plan(task("a"), task("b", after="a"), task("c", "fit", Hold("check", "b"), after="a"))
    assert found("redundant", checked) == []
    through = plan(*checked.tasks, task("d", after="a c"))
    assert [finding.where for finding in found("redundant", through)] == ["d"], "c itself waits for a"
