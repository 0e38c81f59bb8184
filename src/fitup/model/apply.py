"""What each edit does to a project, and the fold of a journal.

`apply` trusts the edit: whether it made sense was decided when it was made. It never changes a
value in place, so that every earlier project stays what it was; undo is going back to one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any, TypeVar

from fitup.model import edits as e
from fitup.model.amounts import local_day
from fitup.model.frozen import dataclass
from fitup.model.holds import hold_book
from fitup.model.plan import Lot
from fitup.model.progress import (
    BenchTime,
    CureHours,
    Lift,
    Measurement,
    Note,
    Photo,
    Project,
    ShopTemperature,
    Signature,
    Stock,
    Stop,
    TaskProgress,
    Waiver,
)

K = TypeVar("K")
V = TypeVar("V")


@dataclass(frozen=True, slots=True)
class Fold:
    """A journal folded: the project now, and the entries that undo and redo would take (last first)."""

    project: Project
    undoable: tuple[e.Entry, ...]
    redoable: tuple[e.Entry, ...]


def fold(entries: Iterable[e.Entry]) -> Fold:
    """Replay a journal from empty; an `Undo` goes back one edit, a new edit ends what could be redone."""
    past: list[e.Entry] = []
    future: list[e.Entry] = []
    for entry in entries:
        if isinstance(entry.act, e.Undo):
            future.append(past.pop())
        elif isinstance(entry.act, e.Redo):
            past.append(future.pop())
        else:
            past.append(entry)
            future.clear()
    project = Project()
    for entry in past:
        if not isinstance(entry.act, e.Undo | e.Redo):
            project = apply(project, entry.act, entry.by, entry.at)
    return Fold(project, tuple(reversed(past)), tuple(reversed(future)))


def apply(project: Project, edit: e.Edit, by: str, at: datetime) -> Project:
    """Return the project after `edit`, made by `by` and written down at `at`."""
    return _EFFECTS[type(edit)](project, edit, by, at)


def _with(mapping: Mapping[K, V], key: K, value: V) -> dict[K, V]:
    changed = dict(mapping)
    changed[key] = value
    return changed


def _progress(project: Project, **changes: Any) -> Project:
    return replace(project, progress=replace(project.progress, **changes))


def _task(project: Project, task_id: str, **changes: Any) -> Project:
    changed = replace(project.progress.of(task_id), **changes)
    return _progress(project, tasks=_with(project.progress.tasks, task_id, changed))


def _adopt(project: Project, edit: e.AdoptPlan, by: str, at: datetime) -> Project:
    """Take in a plan; done counts stay, and finishing times follow where a task's count changed."""
    tasks = dict(project.progress.tasks)
    for task in edit.plan.tasks:
        state = tasks.get(task.id)
        if state is None:
            continue
        if state.done < task.count and state.finished_at is not None:
            tasks[task.id] = replace(state, finished_at=None)
        elif state.done >= task.count and state.finished_at is None:
            tasks[task.id] = replace(state, finished_at=state.ticked_at or at)
    stock = dict(project.progress.stock)
    for item in edit.plan.items:
        former = project.plan.item.get(item.id)
        if item.id in stock and former is not None and former.on_order != item.on_order:
            stock[item.id] = replace(stock[item.id], on_order=item.on_order)
    return Project(edit.plan, replace(project.progress, tasks=tasks, stock=stock))


def _tick(project: Project, edit: e.Tick, by: str, at: datetime) -> Project:
    state = project.progress.of(edit.task)
    done = state.done + edit.count
    finished = done >= project.plan.task[edit.task].count
    project = _task(
        project,
        edit.task,
        done=done,
        begun_at=state.begun_at or edit.begun_at,
        finished_at=edit.finished_at if finished else None,
        ticked_at=edit.finished_at,
        minutes=state.minutes + (edit.minutes or 0),
        reopened=state.reopened and not finished,
        look_again=state.look_again and not finished,
    )
    if finished:
        project = _clear_marks(project, edit.task)
    for item_id, quantity in edit.used:
        project = _draw(project, item_id, quantity, local_day(edit.finished_at))
    if edit.task in project.progress.clocks:
        project = _stop_clock(project, e.StopClock(edit.task, edit.finished_at), by, at)
    return project


def _clear_marks(project: Project, task_id: str) -> Project:
    """A reopened task is done again: what was done before its hold no longer stands so."""
    tasks = dict(project.progress.tasks)
    for waiter in hold_book(project.plan).waiters[task_id]:
        state = tasks.get(waiter)
        if state is not None and task_id in state.before_holds:
            tasks[waiter] = replace(state, before_holds=tuple(t for t in state.before_holds if t != task_id))
    return _progress(project, tasks=tasks)


def _measure(project: Project, edit: e.Measure, by: str, at: datetime) -> Project:
    """Keep the readings; a pass ticks the check, any other verdict reopens one that was done."""
    measurement = Measurement(
        edit.task,
        edit.readings,
        edit.verdict,
        edit.figure,
        edit.limit,
        by,
        edit.finished_at,
        edit.decided,
        edit.why,
    )
    was_done = project.done(edit.task)
    project = _progress(project, measurements=(*project.progress.measurements, measurement))
    missing = project.open_count(edit.task)
    if edit.verdict == "pass":
        return _tick(project, e.Tick(edit.task, missing, edit.finished_at, edit.finished_at), by, at)
    if was_done:
        return _reopen(project, e.Reopen(edit.task, project.plan.task[edit.task].count, edit.why), by, at)
    return project


def _reopen(project: Project, edit: e.Reopen, by: str, at: datetime) -> Project:
    state = project.progress.of(edit.task)
    was_done = project.done(edit.task)
    done = max(0, state.done - edit.count)
    project = _task(
        project,
        edit.task,
        done=done,
        begun_at=state.begun_at if done else None,
        finished_at=None,
        reopened=True,
        look_again=False,
        before_holds=(),
    )
    if not was_done:
        return project
    tasks = dict(project.progress.tasks)
    for waiter in hold_book(project.plan).waiters[edit.task]:
        if project.done(waiter) and edit.task not in tasks[waiter].before_holds:
            tasks[waiter] = replace(tasks[waiter], before_holds=(*tasks[waiter].before_holds, edit.task))
    return _progress(project, tasks=tasks)


def _again(project: Project, edit: e.Again, by: str, at: datetime) -> Project:
    state = project.progress.of(edit.task)
    fresh = TaskProgress(rounds=state.rounds + 1, minutes=state.minutes)
    return _progress(project, tasks=_with(project.progress.tasks, edit.task, fresh))


def _lift(project: Project, edit: e.LiftHold, by: str, at: datetime) -> Project:
    lift = Lift(edit.task, edit.kind, edit.until, edit.why, by, at)
    return _progress(project, lifts=_with(project.progress.lifts, (edit.task, edit.kind, edit.until), lift))


def _lift_stop(project: Project, edit: e.LiftStop, by: str, at: datetime) -> Project:
    stops = {key: stop for key, stop in project.progress.stops.items() if key != (edit.task, edit.number)}
    project = _progress(project, stops=stops)
    if project.progress.of(edit.task).look_again and not any(task == edit.task for task, _ in stops):
        project = _task(project, edit.task, look_again=False)
    return project


def _waive(project: Project, edit: e.Waive, by: str, at: datetime) -> Project:
    waiver = Waiver(edit.task, edit.kind, edit.until, edit.why, by, at, edit.second)
    return _progress(project, waivers=_with(project.progress.waivers, (edit.task, edit.kind, edit.until), waiver))


def _put_stop(project: Project, edit: e.PutStop, by: str, at: datetime) -> Project:
    stops = dict(project.progress.stops)
    for task_id in edit.tasks:
        number = 1 + max((n for task, n in stops if task == task_id), default=0)
        stops[task_id, number] = Stop(task_id, number, edit.why, by, at)
        if project.done(task_id):
            project = _task(project, task_id, look_again=True)
    return _progress(project, stops=stops)


def _sign(project: Project, edit: e.Sign, by: str, at: datetime) -> Project:
    signature = Signature(edit.task, edit.role, by, edit.signed_at)
    return _progress(project, signatures=_with(project.progress.signatures, (edit.task, edit.role), signature))


def _set_cure(project: Project, edit: e.SetCure, by: str, at: datetime) -> Project:
    cure = CureHours(edit.task, edit.until, edit.hours, edit.why, by, at)
    return _progress(project, cures=_with(project.progress.cures, (edit.task, edit.until), cure))


def _photo(project: Project, edit: e.AddPhoto, by: str, at: datetime) -> Project:
    photo = Photo(edit.task, edit.file, edit.sha256, by, at)
    return _progress(project, photos=(*project.progress.photos, photo))


def _note(project: Project, edit: e.AddNote, by: str, at: datetime) -> Project:
    note = Note(edit.task, edit.text, edit.next_time, by, at)
    return _progress(project, notes=(*project.progress.notes, note))


def _temperature(project: Project, edit: e.TakeTemperature, by: str, at: datetime) -> Project:
    """Keep the readings in the order of their times, also when one is entered late."""
    reading = ShopTemperature(edit.taken_at, edit.celsius, edit.low)
    readings = sorted((*project.progress.temperatures, reading), key=lambda r: r.at)
    return _progress(project, temperatures=tuple(readings))


def _start_clock(project: Project, edit: e.StartClock, by: str, at: datetime) -> Project:
    return _progress(project, clocks=_with(project.progress.clocks, edit.task, (edit.began_at, by)))


def _stop_clock(project: Project, edit: e.StopClock, by: str, at: datetime) -> Project:
    clocks = dict(project.progress.clocks)
    begin, who = clocks.pop(edit.task)
    span = BenchTime(edit.task, begin, max(begin, edit.ended_at), who)
    return _progress(project, clocks=clocks, bench_times=(*project.progress.bench_times, span))


def _draw(project: Project, item_id: str, quantity: float, day: date) -> Project:
    """Take a quantity from an item's lots: in date first, soonest to expire first; never below nothing."""

    def turn(lot: Lot) -> tuple[bool, date]:
        expired = lot.expires is not None and lot.expires < day
        return expired, lot.expires or date.max

    stock = project.stock(item_id)
    left = quantity
    remains: list[Lot] = []
    for lot in sorted(stock.lots, key=turn):
        taken = min(left, lot.have)
        left -= taken
        if lot.have - taken > 1e-9:
            remains.append(replace(lot, have=lot.have - taken))
    return _stock(project, item_id, replace(stock, lots=tuple(remains)))


def _stock(project: Project, item_id: str, stock: Stock) -> Project:
    return _progress(project, stock=_with(project.progress.stock, item_id, stock))


def _add(stock: Stock, quantity: float, expires: date | None) -> Stock:
    lots = list(stock.lots)
    for place, lot in enumerate(lots):
        if lot.expires == expires:
            lots[place] = replace(lot, have=lot.have + quantity)
            return replace(stock, lots=tuple(lots))
    return replace(stock, lots=(*lots, Lot(quantity, expires)))


def _change_stock(project: Project, edit: e.ChangeStock, by: str, at: datetime) -> Project:
    stock = project.stock(edit.item)
    change = edit.change or 0
    if edit.total is not None:
        change = edit.total - sum(lot.have for lot in stock.lots)
        if edit.expires is not None:
            return _stock(project, edit.item, replace(stock, lots=(Lot(edit.total, edit.expires),)))
    if change < 0:
        return _draw(project, edit.item, -change, local_day(at))
    return _stock(project, edit.item, _add(stock, change, edit.expires) if change else stock)


def _arrive(project: Project, edit: e.Arrive, by: str, at: datetime) -> Project:
    stock = project.stock(edit.item)
    quantity = stock.on_order.quantity if stock.on_order else 0
    return _stock(project, edit.item, replace(_add(stock, quantity, edit.expires), on_order=None))


def _lay_out(project: Project, edit: e.LayOut, by: str, at: datetime) -> Project:
    laid_out = project.progress.laid_out
    changed = laid_out | {edit.line} if edit.out else laid_out - {edit.line}
    return _progress(project, laid_out=changed)


_EFFECTS: dict[type, Callable[[Project, Any, str, datetime], Project]] = {
    e.AdoptPlan: _adopt,
    e.Tick: _tick,
    e.Measure: _measure,
    e.Reopen: _reopen,
    e.Again: _again,
    e.LiftHold: _lift,
    e.LiftStop: _lift_stop,
    e.Waive: _waive,
    e.PutStop: _put_stop,
    e.Sign: _sign,
    e.SetCure: _set_cure,
    e.AddPhoto: _photo,
    e.AddNote: _note,
    e.TakeTemperature: _temperature,
    e.StartClock: _start_clock,
    e.StopClock: _stop_clock,
    e.ChangeStock: _change_stock,
    e.Arrive: _arrive,
    e.LayOut: _lay_out,
}
