"""What a task of the plan drives into its holes: the rivet, its part number, how far its tail stands out."""

from __future__ import annotations

from fitup.model.plan import Plan, Task
from fitup.trade.mistake import BrokenTable, Mistake
from fitup.trade.rivets import Rivet, solid_rivet


def rivet_of(plan: Plan, task: Task) -> Rivet | None:
    """Return the rivet of a task's fasteners: the kit's callout, else computed; None for none.

    Fasteners that the trade's tables do not know (sizes and heads are open text) are described
    instead, with the reason as a warning. Raises `BrokenTable` where the tables cannot be read.
    """
    fasteners = task.fasteners
    if fasteners is None:
        return None
    try:
        return solid_rivet(
            fasteners.head,
            fasteners.material,
            fasteners.size,
            fasteners.grip,
            plan.length_unit,
            fasteners.callout,
            fasteners.half,
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
