"""What an edited plan changes: the tasks that are new, different, or gone."""

from __future__ import annotations

from fitup.model.frozen import dataclass
from fitup.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Changes:
    """Ids of tasks: `added` and `changed` in the order of the new plan, `removed` in that of the old one.

    `besides` names what else differs: "title", "sessions", "items" and so on.
    """

    added: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    besides: tuple[str, ...] = ()


_BESIDES = (
    ("title", "title"),
    ("length_unit", "length unit"),
    ("sessions", "usual sessions"),
    ("works", "work table"),
    ("assemblies", "assemblies"),
    ("bays", "bays"),
    ("tools", "tools"),
    ("items", "items"),
    ("clecos", "clecos"),
    ("review_off", "review"),
)


def plan_changes(old: Plan, new: Plan) -> Changes:
    """Return what `new` changes in `old`, task by task by id; the order of tasks alone is no change."""
    return Changes(
        added=tuple(task.id for task in new.tasks if task.id not in old.task),
        changed=tuple(task.id for task in new.tasks if task.id in old.task and task != old.task[task.id]),
        removed=tuple(task.id for task in old.tasks if task.id not in new.task),
        besides=tuple(name for field, name in _BESIDES if getattr(old, field) != getattr(new, field)),
    )
