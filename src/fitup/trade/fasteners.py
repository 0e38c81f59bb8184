"""What a task of the plan drives into its holes and draws from stock: rivets by part number, needs in proportion."""

from __future__ import annotations

from functools import lru_cache

from fitup.model.plan import Fasteners, Plan, Task
from fitup.trade.mistake import BrokenTable, Mistake
from fitup.trade.rivets import Rivet, solid_rivet
from fitup.trade.tables import Tables, tables


def rivet_of(plan: Plan, task: Task) -> Rivet | None:
    """Return the rivet of a task's fasteners: the kit's callout, else computed; None for none.

    Fasteners that the trade's tables do not know (sizes and heads are open text) are described
    instead, with the reason as a warning. Raises `BrokenTable` where the tables cannot be read.
    """
    return None if task.fasteners is None else _rivet(task.fasteners, plan.length_unit, tables())


@lru_cache(maxsize=4096)
def _rivet(fasteners: Fasteners, unit: str, book: Tables) -> Rivet:
    """Work out one rivet; plans drive the same few thousands of times."""
    try:
        return solid_rivet(
            fasteners.head,
            fasteners.material,
            fasteners.size,
            fasteners.grip,
            unit,
            fasteners.callout,
            fasteners.half,
            own=book,
        )
    except BrokenTable:
        raise
    except Mistake as mistake:
        described = f"{fasteners.head} {fasteners.material} {fasteners.size}"
        return Rivet(described, None, None, None, "", (str(mistake),))


def part_number_of(plan: Plan, task: Task) -> str:
    """Return the part number of a task's fasteners: the kit's callout, else computed; "" for none."""
    rivet = rivet_of(plan, task)
    return "" if rivet is None else rivet.part_number


def used_by(plan: Plan, task: Task, count: int) -> tuple[tuple[str, float], ...]:
    """Return (item, quantity) used by `count` units of a task: its needs in proportion, and its fasteners.

    Fasteners are one a unit, drawn from the item that carries their part number.
    """
    used = {item: quantity * count / task.count for item, quantity in task.needs if item in plan.item}
    number = part_number_of(plan, task)
    if number:
        for item in plan.items:
            if item.part_number == number and item.id not in used:
                used[item.id] = count
                break
    return tuple(used.items())
