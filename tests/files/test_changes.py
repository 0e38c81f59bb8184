"""An edited plan says what it changes."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from tests.strategies import plans

from fitup.model.changes import Changes, plan_changes
from fitup.model.plan import Plan, Task


def test_added_changed_and_removed_tasks_are_named() -> None:
    a, b, c = (Task(name, name, "flap", "drill") for name in "abc")
    old = Plan(title="t", tasks=(a, b))
    new = Plan(title="u", tasks=(c, replace(a, count=3)))
    assert plan_changes(old, new) == Changes(("c",), ("a",), ("b",), ("title",))


@settings(deadline=None, max_examples=25)
@given(plans(most=6), plans(most=6))
def test_a_plan_changes_nothing_in_itself_and_both_ways_mirror(one: Plan, other: Plan) -> None:
    assert plan_changes(one, one) == Changes()
    there, back = plan_changes(one, other), plan_changes(other, one)
    assert there.added == back.removed
    assert set(there.changed) == set(back.changed)
