"""A plan file is read whole: short forms, defaults, rows of work and tools, the places of procedures."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest
from tests.files.shops import HEAD, plan_from, task

from fitup.files.plan_toml import PlanMistakes, plan_keys
from fitup.files.shop import Shop
from fitup.model.holds import hold_book
from fitup.model.plan import Check, ClecoLoan, Fasteners, Hold, Occupy, Tool, Within

# The example of the design's section 4, with what it names filled in.
FULL = """
fitup = 1
title = "Two-seat kit, left wing"
length-unit = "mm"

[review]
off = {redundant = "the kit says it twice"}

[[assembly]]
id = "flap"
title = "Left flap"

[[bay]]
id = "flap-bay-2"
title = "between flap ribs 2 and 3"

[[tool]]
id = "table"
have = 3

[[item]]
id = "sealant-b2"
title = "Two-part fuel tank sealant"
kind = "consumable"
unit = "g"
lots = [{have = 170, expires = 2027-03-01}]
on-order = {quantity = 340, expected = 2026-12-10}
lead-days = 14
spare = 0.15
temperature = [21, 32]

[[cleco]]
size = "3/32"
have = 150

[[task]]
id = "flap.cleco-top"
title = "Cleco the top skin to the frame"
assembly = "flap"
work = "drill"
count = 60
size = "3/32"
clecos = {size = "3/32", count = 60, until = "flap.rivet-top"}
occupies = [{tool = "table", until = "flap.rivet-top"}]

[[task]]
id = "flap.rivet-top"
title = "Buck the middle of the [red]top[/red] skin"
assembly = "flap"
work = "drill"
count = 66
minutes = [45, 60, 90]
crew = 2
needs = {sealant-b2 = 20}
after = ["flap.cleco-top"]
fasteners = {head = "flush", material = "AD", size = "3/32", grip = 1.32, callout = "MS20426AD3-3.5"}
sheets = [0.51, 0.81]
closes = ["flap-bay-2"]
photo = true
within = {of = "flap.cleco-top", hours = 2, from = "finish"}
holds = [
  {kind = "check", until = "flap.twist", why = "once riveted, the skin keeps whatever shape the frame has"},
  {kind = "sign-off", by = "inspector", expected = 2026-12-12},
]

[[task]]
id = "flap.twist"
title = "Check the flap for twist"
assembly = "flap"
work = "check"
inside = ["flap-bay-2"]
check = {kind = "spread", unit = "mm", stations = ["root", "tip"], limit = 1.0, uncertainty = 0.3}
"""


def test_a_plan_with_every_part_is_read(shop: Shop) -> None:
    plan = plan_from(shop, FULL)
    rivet = plan.task["flap.rivet-top"]
    assert plan.task["flap.cleco-top"].clecos == (ClecoLoan("3/32", 60, "flap.rivet-top"),)
    assert plan.task["flap.cleco-top"].occupies == (Occupy("table", "flap.rivet-top"),)
    assert rivet.holds == (
        Hold("after", "flap.cleco-top"),
        Hold("check", "flap.twist", why="once riveted, the skin keeps whatever shape the frame has"),
        Hold("sign-off", by="inspector", expected=date(2026, 12, 12)),
    )
    assert rivet.within == (Within("flap.cleco-top", 2, "finish"),)
    assert rivet.fasteners == Fasteners("flush", "AD", "3/32", 1.32, "MS20426AD3-3.5")
    assert rivet.needs == (("sealant-b2", 20),)
    assert rivet.title == "Buck the middle of the [red]top[/red] skin"
    expected = Check("spread", "mm", limit=1, uncertainty=0.3, stations=("root", "tip"))
    assert plan.task["flap.twist"].check == expected
    assert plan.review_off == (("redundant", "the kit says it twice"),)


def test_rows_of_work_and_tools_that_are_used_come_into_the_plan(shop: Shop) -> None:
    plan = plan_from(shop, FULL)
    assert [work.id for work in plan.works] == ["drill", "check"]
    assert plan.work["check"].helper_alone
    assert plan.tools == (Tool("table", "Flat table", 3), Tool("drill", "Air drill", 2))


def test_a_row_of_work_in_the_plan_wins_over_the_shop(shop: Shop) -> None:
    own = '[[work]]\nid = "drill"\ntitle = "Drill slowly"\nseconds = [60, 60, 60]\n'
    plan = plan_from(shop, HEAD + own + task("a"))
    assert plan.works[0].title == "Drill slowly"
    assert plan.tools == ()


def test_holds_made_by_themselves_are_no_part_of_the_file(shop: Shop) -> None:
    plan = plan_from(shop, FULL)
    made = [hold.kind for hold in hold_book(plan).holds["flap.rivet-top"] if not hold.own]
    assert made == ["supply", "access"]


def test_a_plan_without_title_is_called_as_its_file(shop: Shop) -> None:
    assert plan_from(shop, "fitup = 1").title == "plan"


def test_a_byte_order_mark_and_windows_line_ends_are_read_over(shop: Shop) -> None:
    assert plan_from(shop, "\ufeff" + FULL.lstrip().replace("\n", "\r\n")).title == "Two-seat kit, left wing"


@pytest.mark.parametrize("key", ["within", "clecos", "occupies"])
def test_one_table_stands_for_a_list_of_one(shop: Shop, key: str) -> None:
    inner = {
        "within": '{of = "a", hours = 3}',
        "clecos": '{size = "3/32", count = 3, until = "a"}',
        "occupies": '{tool = "table", until = "a"}',
    }[key]
    one = plan_from(shop, HEAD + task("a") + task("b", f"{key} = {inner}"))
    listed = plan_from(shop, HEAD + task("a") + task("b", f"{key} = [{inner}]"))
    assert one == listed
    assert len(getattr(one.task["b"], key)) == 1


USED = HEAD.replace("title", 'use = ["procedures/row"]\ntitle', 1) + "\n".join(
    (
        task("first"),
        '[[from]]\nprocedure = "row"\nas = "top"\nassembly = "flap"\nwith = {holes = 118, start = "first"}\n',
        task("last", 'after = ["top.check"]'),
    )
)


def test_tasks_of_a_procedure_stand_where_its_table_stands(shop: Shop) -> None:
    plan = plan_from(shop, USED)
    assert [task.id for task in plan.tasks] == ["first", "top.drill", "top.check", "last"]


def test_parameters_keep_their_type_and_local_ids_are_followed(shop: Shop) -> None:
    plan = plan_from(shop, USED)
    drill, check = plan.task["top.drill"], plan.task["top.check"]
    assert drill.count == 118
    assert drill.title == "Drill the skin, 118 holes"
    assert drill.assembly == "flap"
    assert drill.holds == (Hold("after", "first"),)
    assert check.within == (Within("top.drill", 4),)
    assert check.holds == (Hold("cure", "top.drill", hours=2),)


def test_each_use_of_a_procedure_has_a_cup_of_its_own_but_hole_groups_as_given(shop: Shop) -> None:
    drill = plan_from(shop, USED).task["top.drill"]
    assert drill.one_go == "top.cup"
    assert drill.holes == "skin"


@pytest.mark.parametrize(
    ("change", "line", "says"),
    [
        (("holes = 118, ", ""), 18, "row lacks its parameters holes"),
        (("holes = 118", "hole = 118"), 18, 'row has no parameter "hole"; did you mean "holes"?'),
        (('procedure = "row"', 'procedure = "raw"'), 15, 'there is no procedure "raw"'),
        (("procedures/row", "procedures/raw"), 2, 'there is no library "procedures/raw"'),
        (('use = ["procedures/row"]', "use = []"), 15, 'add "procedures/row" to `use`'),
        (("holes = 118", "holes = -1"), 14, "`count` is -1, out of sense (at"),
        (('start = "first"', 'start = "frist"'), 14, 'there is no task "frist" (at'),
    ],
)
def test_wrong_use_of_a_procedure_is_said_with_its_line(
    shop: Shop, change: tuple[str, str], line: int, says: str
) -> None:
    with pytest.raises(PlanMistakes) as caught:
        plan_from(shop, USED.replace(*change))
    found = [finding for finding in caught.value.findings if finding.line == line]
    assert any(says in f"{finding.says}; {finding.mend}" or says in finding.says for finding in found), caught.value


def test_help_names_every_key_that_the_example_uses() -> None:
    text = plan_keys()

    def keys(value: object) -> set[str]:
        if isinstance(value, list):
            return set().union(*map(keys, value))
        if isinstance(value, dict):
            return set(value).union(*map(keys, value.values()))
        return set()

    free = {"sealant-b2", "redundant"}
    assert all(f"{key}:" in text for key in keys(tomllib.loads(FULL)) - free)
    assert all(kind in text for kind in ("leave-off", "sign-off", "double-18F", "straight", "yes-no"))
