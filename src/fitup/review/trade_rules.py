"""Rules that need the trade's tables: metals that touch, where rivets stand, how thick, what is countersunk.

Where published sources conflict the stricter one speaks, and every finding names its sources. A
shop whose manual says otherwise enters that in its own trade tables, and only that counts then.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from fitup.model.amounts import clean
from fitup.model.plan import Plan, Task
from fitup.review.rule import Ground, Remark, Sourced
from fitup.trade import countersinks, metals, rivets, spacing
from fitup.trade.fasteners import rivet_of
from fitup.trade.mistake import BrokenTable, Mistake
from fitup.trade.remark import Remark as TradeRemark
from fitup.trade.tables import Tables, tables

_OWN_MANUAL = "or enter what the kit's manual says in the shop's trade tables"


def dissimilar_metals(ground: Ground) -> Iterator[Remark]:
    """Name pairs of metals that touch and corrode with nothing between them, and metals nobody knows.

    The fasteners' own metal touches the sheets too.
    """
    for task in ground.plan.tasks:
        if not task.metals:
            continue
        material = task.fasteners.material if task.fasteners else ""
        for remark in _metals(task.metals, material, task.protect, tables()):
            mend = 'say with protect = "..." what keeps them apart'
            if remark.what == "metals" and not remark.source:
                mend = "write its common name, such as aluminium, steel or stainless"
            elif remark.what == "protect":
                mend = f"check it against the kit's manual, {_OWN_MANUAL}"
            source = remark.source or "no table of metals has it"
            yield Sourced(task.id, f"{task.id}: {remark.says}", mend, source, remark.level)


@lru_cache(maxsize=1024)
def _metals(touching: tuple[str, ...], material: str, protect: str, book: Tables) -> tuple[TradeRemark, ...]:
    """Judge metals that touch and the fasteners' own; plans name the same few again and again."""
    alloy = rivets.alloy_of(material, own=book)
    metal = alloy.text("alloy") if alloy is not None else material
    known = metals.group(metal, own=book)
    # a metal of a group that is there already would only say the same twice
    there = {metals.group(other, own=book) for other in touching}
    more = (metal,) if known and known not in there else ()
    return metals.metal_remarks((*touching, *more), protect, own=book)


def edge_and_pitch(ground: Ground) -> Iterator[Remark]:
    """Name edge distances, pitches and row distances below a published minimum.

    One above a usual maximum is only noted where no source goes as far.
    """
    plan = ground.plan
    for task in plan.tasks:
        size = _size(plan, task)
        figures: tuple[tuple[spacing.Figure, float | None], ...] = (
            ("edge", task.edge_distance),
            ("pitch", task.pitch),
            ("row", task.row_distance),
        )
        for figure, length in figures:
            if size and length is not None:
                yield from _distance(plan, task, size, figure, length)


def _distance(plan: Plan, task: Task, size: str, figure: spacing.Figure, length: float) -> Iterator[Remark]:
    head = task.fasteners.head if task.fasteners else "universal"
    try:
        remarks = _spacing(size, plan.length_unit, head, figure, length, tables())
    except BrokenTable:
        raise
    except Mistake as mistake:
        yield _unknown(task, mistake)
        return
    for remark in remarks:
        mend = f"compare it with the drawing and correct it, {_OWN_MANUAL}"
        yield Sourced(task.id, f"{task.id}: {remark.says}", mend, remark.source, remark.level)


@lru_cache(maxsize=4096)
def _spacing(
    size: str, unit: str, head: str, figure: spacing.Figure, length: float, book: Tables
) -> tuple[TradeRemark, ...]:
    """Judge one distance: what is below a minimum, and what is above every usual maximum."""
    edge, pitch, row = (length if figure == name else None for name in ("edge", "pitch", "row"))
    remarks = spacing.spacing_remarks(size, unit, head=head, edge=edge, pitch=pitch, row=row, own=book)
    above = spacing.above_all(figure, length, unit, size, head, own=book)
    return tuple(remark for remark in remarks if remark.level == "warning" or above)


@lru_cache(maxsize=4096)
def _diameter(size: str, sheets: tuple[float, ...], unit: str, book: Tables) -> tuple[TradeRemark, ...]:
    return spacing.diameter_remarks(size, sheets, unit, own=book)


def rivet_diameter(ground: Ground) -> Iterator[Remark]:
    """Name rivets too thin or too thick for their sheets, and those whose tails stand out too far or too little."""
    plan = ground.plan
    same: dict[tuple[str, str], list[Task]] = {}
    for task in plan.tasks:
        if task.fasteners is None or task.work == "bolt":
            continue
        rivet = rivet_of(plan, task)
        for warning in rivet.warnings if rivet is not None else ():
            source = (rivet.source if rivet else "") or "no table has it"
            same.setdefault((f"{warning[0].lower()}{warning[1:].rstrip('.')}", source), []).append(task)
        if rivet is not None and rivet.size is not None and task.sheets:
            for remark in _diameter(task.fasteners.size, task.sheets, plan.length_unit, tables()):
                same.setdefault((remark.says, remark.source), []).append(task)
    mend = f"compare size, grip and callout with the drawing, {_OWN_MANUAL}"
    for (says, source), tasks in same.items():
        yield Sourced(tasks[0].id, f"{_names(tasks)}: {says}", mend, source)


def countersink_too_thin(ground: Ground) -> Iterator[Remark]:
    """Name countersinks in sheets that are too thin; where only some sources say so it is a note.

    Looked at is the thinnest sheet of the task, or of the fastening of its holes. Where the same
    holes are dimpled too it is the thickest: a dimpled skin lies in a countersunk part.
    """
    plan = ground.plan
    dimpled = {task.holes for task in plan.tasks if task.holes and task.work == "dimple"}
    same: dict[TradeRemark, list[Task]] = {}
    for task in plan.tasks:
        sheets = task.sheets or _of_its_holes(plan, task)
        size = _size(plan, task)
        if task.work != "countersink" or not sheets or not size:
            continue
        sheet = max(sheets) if task.holes in dimpled else min(sheets)
        try:
            remarks = countersinks.countersink_remarks(size, sheet, plan.length_unit)
        except BrokenTable:
            raise
        except Mistake as mistake:
            yield _unknown(task, mistake)
            continue
        for remark in remarks:
            same.setdefault(remark, []).append(task)
    for remark, tasks in same.items():
        mend = f"ask the kit's manual whether to dimple, {_OWN_MANUAL}"
        yield Sourced(tasks[0].id, f"{_names(tasks)}: {remark.says}", mend, remark.source, remark.level)


def _names(tasks: list[Task]) -> str:
    return ", ".join(task.id for task in tasks)


def _of_its_holes(plan: Plan, task: Task) -> tuple[float, ...]:
    """Return the sheets of the work that fastens the same holes."""
    return next((other.sheets for other in plan.tasks if task.holes and other.holes == task.holes and other.sheets), ())


def _size(plan: Plan, task: Task) -> str:
    """Return the rivet diameter of a task: its fasteners', its own, or that of the fasteners in the same holes."""
    if task.fasteners is not None:
        return task.fasteners.size
    if task.size or not task.holes:
        return task.size
    sizes = (other.fasteners.size for other in plan.tasks if other.holes == task.holes and other.fasteners)
    return next(sizes, "")


def _unknown(task: Task, mistake: Mistake) -> Sourced:
    says = f"{task.id} cannot be judged: {clean(str(mistake))}"
    return Sourced(task.id, says, "correct it, or see for yourself", "no table has it", "note")
