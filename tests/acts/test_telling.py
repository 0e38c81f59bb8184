"""What is said of an act, where the sentence has to hold more than the act's own name."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from fitup.acts.telling import tell
from fitup.model.edits import Measure, Waive
from fitup.model.plan import Assembly, Check, Plan, Task, Work
from fitup.model.progress import Project, Readings

AT = datetime(2026, 11, 28, 9, 0, tzinfo=UTC)
EDGE = Task("edge", "Check the edge", "tab", "check", check=Check("straight", unit="mm", limit=1.5))
PROJECT = Project(Plan("Tab", assemblies=(Assembly("tab", "Tab"),), works=(Work("check", "Check"),), tasks=(EDGE,)))


@pytest.mark.parametrize(
    ("readings", "minds"),
    [
        ((("0", (0.0,)), ("450", (5.0,)), ("900", (0.0,))), False),
        # The same edge with its places in metres: the zone's width would come out near 0.9, a false pass.
        ((("0", (0.0,)), ("0.45", (5.0,)), ("0.9", (0.0,))), True),
        ((("root", (402.5, 402.0)), ("tip", (400.0, 400.4))), False),
    ],
)
def test_straightness_with_places_in_another_unit_is_pointed_out(readings: Readings, minds: bool) -> None:
    said = tell(PROJECT, Measure("edge", readings, "pass", 0.9, 1.5, AT))
    assert ("both count in mm" in said) is minds


def test_a_waiver_names_the_hold_as_the_screens_do() -> None:
    said = tell(PROJECT, Waive("edge", "access", "wire", "a hatch stays open", ""))
    assert said == "edge (Check the edge): waived: before closing wire, a hatch stays open"
