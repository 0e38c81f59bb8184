"""What lifts a hold, in the words that `HoldState.lifting` makes whole: "lifted when ...", "at ...", "by ..."."""

from __future__ import annotations

from datetime import date, datetime

from fitup.model.amounts import counted, day_clock, number, stretch
from fitup.model.plan import Hold, OnOrder, Plan, Within
from fitup.model.progress import Stop


def lifts(plan: Plan, hold: Hold, until_done: bool) -> str:
    """Say what lifts a hold that is neither a cure nor a supply."""
    title = plan.task[hold.until].title if hold.until is not None else ""
    if hold.kind == "check":
        return f"{title} passes"
    if hold.kind == "access" and until_done:
        return f"the photo owed for {title} is on file"
    if hold.kind == "sign-off":
        return f"the {hold.by} signs"
    if hold.kind == "stop":
        return "someone lifts it"
    return f"{title} is done"


def cure(plan: Plan, hold: Hold, hours: float, ends: datetime | None, gathered: float, now: datetime) -> str:
    """Say when a cure ends: in clock time once it runs, before that after which task.

    Where its law counts a cold hour for less than an hour, also how many nominal hours it has
    `gathered` of those it needs.
    """
    witness = " and the witness sample is cured" if hold.witness else ""
    if ends is None:
        title = plan.task[hold.until or ""].title
        return f"{stretch(hours * 60)} have passed after: {title}{witness}"
    if hold.witness and ends <= now:
        return "a person says that the witness sample is cured"
    so_far = ""
    if hold.law != "none" and ends > now:
        so_far = f" ({stretch(gathered * 60)} of {stretch(hours * 60)} at 25 C done)"
    return day_clock(ends, now) + so_far + (", once the witness sample is cured" if hold.witness else "")


def supply(plan: Plan, hold: Hold, missing: float, on_order: OnOrder | None) -> str:
    """Say what is missing of an item, and when it is expected."""
    item = plan.item[hold.item]
    amount = counted(missing, item.unit)
    coming = ""
    if missing > 0 and on_order is not None:
        coming = f" ({number(on_order.quantity)} on order{_day(on_order.expected)})"
    return f"{amount} more of {item.title}{coming}" if missing > 0 else f"there is enough of {item.title}"


def stop(person: Stop) -> str:
    """Say who lifts a stop that a person has put on."""
    return f"{person.by} lifts it"


def window(plan: Plan, limit: Within, ran_out: datetime, now: datetime) -> tuple[str, str]:
    """Return why a time window holds its task, and what lifts that."""
    title = plan.task[limit.of].title if limit.of in plan.task else limit.of
    span = stretch(limit.hours * 60)
    why = f"had to be finished within {span} of the {limit.start} of: {title}; ran out {day_clock(ran_out, now)}"
    return why, f"{title} is done again, or the limit is waived"


def _day(day: date | None) -> str:
    return "" if day is None else f", expected {day.day} {day:%b %Y}"
