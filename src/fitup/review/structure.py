"""Rules about the plan as such: ids, circles, times, and what gets shut in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from fitup.model.amounts import number
from fitup.model.plan import Task, ThreePoint
from fitup.review.rule import Ground, Remark


def circle(ground: Ground) -> Iterator[Remark]:
    """Name the shortest loop of tasks that wait for each other."""
    loop = ground.book.loop
    if loop:
        waits = ", which waits for ".join((loop[0], *reversed(loop[1:]), loop[0]))
        yield loop[0], f"these wait for each other in a circle: {waits}", "take one of these holds out"


def dangling(ground: Ground) -> Iterator[Remark]:
    """Name every id in a task that nothing has."""
    plan = ground.plan
    known: dict[str, Iterable[str]] = {
        "assembly": {assembly.id for assembly in plan.assemblies},
        "bay": {bay.id for bay in plan.bays},
        "item": plan.item,
        "task": plan.task,
        "tool": plan.tool,
        "kind of work": plan.work,
    }
    for task in plan.tasks:
        for sort, named in dict.fromkeys(_named(task)):
            if named not in known[sort]:
                yield (
                    task.id,
                    f"{task.id} names the {sort} {named!r}, which is not there",
                    f"correct it or add a {sort}",
                )


def _named(task: Task) -> Iterator[tuple[str, str]]:
    """Yield (sort, id) of everything a task names."""
    yield "assembly", task.assembly
    yield "kind of work", task.work
    for hold in task.holds:
        if hold.until is not None:
            yield "task", hold.until
        if hold.kind == "supply":
            yield "item", hold.item
    yield from (("task", window.of) for window in task.within)
    yield from (("task", loan.until) for loan in task.clecos)
    for taken in task.occupies:
        yield "tool", taken.tool
        yield "task", taken.until
    yield from (("tool", tool) for tool in task.tools)
    yield from (("bay", bay) for bay in (*task.inside, *task.closes))
    yield from (("item", item) for item, _ in task.needs)


def same_id(ground: Ground) -> Iterator[Remark]:
    """Name every id that two things of one sort share."""
    plan = ground.plan
    sorts: tuple[tuple[str, list[str]], ...] = (
        ("tasks", [task.id for task in plan.tasks]),
        ("assemblies", [assembly.id for assembly in plan.assemblies]),
        ("bays", [bay.id for bay in plan.bays]),
        ("tools", [tool.id for tool in plan.tools]),
        ("items", [item.id for item in plan.items]),
        ("sizes of clecos", [cleco.size for cleco in plan.clecos]),
        ("kinds of work", [work.id for work in plan.works]),
    )
    for sort, ids in sorts:
        for shared, count in Counter(ids).items():
            if count > 1:
                yield shared, f"{count} {sort} are called {shared!r}", "rename all but one"


def three_points(ground: Ground) -> Iterator[Remark]:
    """Name times whose three figures are not in order."""
    plan = ground.plan
    used = {task.work for task in plan.tasks if task.minutes is None}
    for work in plan.works:
        if work.id in used and not _in_order(work.seconds):
            yield work.id, f"kind of work {work.id}: seconds {_figures(work.seconds)} are not in order", _IN_ORDER
    for task in plan.tasks:
        if task.minutes is not None and not _in_order(task.minutes):
            yield task.id, f"{task.id}: minutes {_figures(task.minutes)} are not in order", _IN_ORDER


_IN_ORDER = "write low, likely, high, from the shortest to the longest"


def _in_order(time: ThreePoint) -> bool:
    return 0 <= time.low <= time.likely <= time.high


def _figures(time: ThreePoint) -> str:
    return ", ".join(number(figure) for figure in (time.low, time.likely, time.high))


def closed_in(ground: Ground) -> Iterator[Remark]:
    """Name work inside a bay that waits for the very task that closes the bay."""
    titles = {bay.id: bay.title for bay in ground.plan.bays}
    for closing, inside, bay in ground.book.closed_in:
        says = f"{inside} is done in {titles.get(bay, bay)}, but comes after {closing}, which closes it"
        yield inside, says, f"let {closing} wait for {inside}, or take {bay} out of what {inside} is inside"
