"""Makes an edit of what a person asked, or refuses it in one sentence.

An edit is a fact, so everything that depends on the moment is worked out here: whether a hold
stands, when the work began, what the readings say, what comes out of stock.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from fitup.acts.holding import resolve_cure, resolve_lift, resolve_sign, resolve_stop, resolve_waive
from fitup.acts.lookup import find_item, find_task
from fitup.acts.readings import judge_readings
from fitup.acts.supply import drawn
from fitup.estimate import work_time
from fitup.model import asks as a
from fitup.model import edits as e
from fitup.model.amounts import blank, clean, counted, day_clock, number
from fitup.model.holds import TASK_KINDS
from fitup.model.marks import HOLDS
from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.readiness import judge

_SLACK = timedelta(minutes=2)
"""How far two clocks may differ before a time counts as being in the future."""


def resolve(project: Project, ask: a.Ask, by: str, now: datetime) -> e.Edit:
    """Return the edit that `ask` by `by` at `now` comes to.

    Raises `Refused` with what is wrong and how to mend it; undo and redo are the store's.
    """
    return _RESOLVERS[type(ask)](project, ask, by, now)


def _finish(project: Project, task: Task, at: datetime | None, now: datetime) -> datetime:
    """Return when the work was finished, checked against now and against what it waited for."""
    finished = at or now
    if finished > now + _SLACK:
        raise Refused(f"{task.id} cannot have been finished at {day_clock(finished, now)}: that is still to come")
    for hold in task.holds:
        if hold.kind not in TASK_KINDS or hold.until is None:
            continue
        earlier = project.progress.of(hold.until).finished_at
        if earlier is not None and earlier > finished:
            raise Refused(
                f"{task.id} cannot have been finished at {day_clock(finished, now)}: "
                f"{hold.until}, which it waits for, was finished at {day_clock(earlier, now)}"
            )
    return finished


def _refuse_while_held(project: Project, task: Task, at: datetime, act: str) -> None:
    """Refuse an act on a task whose holds stood at `at`."""
    standing = judge(project, at).standing(task.id)
    if not standing:
        return
    first = standing[0]
    more = f" (and {len(standing) - 1} more: fitup holds {task.id})" if len(standing) > 1 else ""
    word = HOLDS[first.kind].word
    what = f"{word} {first.hold.until}" if first.hold.until else word
    why = f", {first.why}" if first.why else ""
    raise Refused(f"{task.id} is held and cannot be {act}: {what}{why}; {first.lifting}{more}")


def _tick(project: Project, ask: a.AskTick, by: str, now: datetime) -> e.Edit:
    task = find_task(project, ask.task)
    missing = project.open_count(task.id)
    if task.check is not None:
        raise Refused(f"{task.id} is a check: enter its readings with measure, a pass ticks it")
    if missing == 0:
        raise Refused(f"{task.id} is already done; reopen it first if it has to be done again")
    count = missing if ask.count is None else ask.count
    if count < 1:
        raise Refused(f"{task.id}: a count of {count} cannot be ticked; give 1 to {missing}")
    if count > missing:
        raise Refused(f"{task.id}: {count} is more than the {missing} still open")
    finished = _finish(project, task, ask.at, now)
    _refuse_while_held(project, task, finished, "ticked")
    minutes = ask.minutes if ask.minutes is not None else _clocked(project, task, finished)
    if minutes is not None and not 0 <= minutes <= 24 * 60:
        raise Refused(f"{task.id}: {counted(minutes, 'minute')} is not a length of work; give 0 to 1440")
    begun = _begin(project, task, count, minutes, finished)
    return e.Tick(task.id, count, begun, finished, minutes, drawn(project, task, count))


def _clocked(project: Project, task: Task, finished: datetime) -> float | None:
    """Return the minutes that the clock has run on the task since its last tick, or None."""
    progress = project.progress
    since = progress.of(task.id).ticked_at
    total = timedelta()
    for span in progress.bench_times:
        if span.task == task.id and (since is None or span.begin >= since):
            total += span.end - span.begin
    running = progress.clocks.get(task.id)
    if running is not None and running[0] < finished:
        total += finished - running[0]
    return round(total.total_seconds() / 60, 1) or None


def _begin(project: Project, task: Task, count: int, minutes: float | None, finished: datetime) -> datetime:
    """Return when this piece of work began: by the clock, the minutes given, or its likely time."""
    running = project.progress.clocks.get(task.id)
    if running is not None and running[0] < finished:
        return running[0]
    if minutes is None:
        minutes = work_time(project.plan, task, count).likely
    return finished - timedelta(minutes=round(minutes))


def _measure(project: Project, ask: a.AskMeasure, by: str, now: datetime) -> e.Edit:
    task = find_task(project, ask.task)
    if task.check is None:
        raise Refused(f"{task.id} has no check to measure for; tick it instead")
    finished = _finish(project, task, ask.at, now)
    _refuse_while_held(project, task, finished, "measured")
    verdict = judge_readings(task.id, task.check, ask.readings)
    if ask.decide is None:
        return e.Measure(task.id, ask.readings, verdict.verdict, verdict.figure, verdict.limit, finished)
    if verdict.verdict != "too close to call":
        raise Refused(f"{task.id}: there is nothing to decide, the figure is a clear {verdict.verdict}")
    if blank(ask.why):
        raise Refused(f"{task.id}: deciding a figure that is too close to call needs a reason (--why)")
    return e.Measure(
        task.id, ask.readings, ask.decide, verdict.figure, verdict.limit, finished, decided=True, why=ask.why
    )


def _reopen(project: Project, ask: a.AskReopen, by: str, now: datetime) -> e.Edit:
    task = find_task(project, ask.task)
    done = project.progress.of(task.id).done
    count = done if ask.count is None else ask.count
    if done == 0:
        raise Refused(f"{task.id} has nothing done that could be reopened")
    if not 1 <= count <= done:
        raise Refused(f"{task.id}: {count} cannot be reopened, only {done} of {task.count} done")
    if blank(ask.why):
        raise Refused(f"{task.id}: reopening needs a reason (--why)")
    return e.Reopen(task.id, count, ask.why)


def _again(project: Project, ask: a.AskAgain, by: str, now: datetime) -> e.Edit:
    task = find_task(project, ask.task)
    if task.check is not None:
        raise Refused(f"{task.id} is a check: measure it again, or reopen it with a reason")
    if project.progress.of(task.id).done == 0:
        raise Refused(f"{task.id} has not been done yet: tick it, there is nothing to start afresh")
    return e.Again(task.id)


def _photo(project: Project, ask: a.AskPhoto, by: str, now: datetime) -> e.Edit:
    task = find_task(project, ask.task)
    if blank(ask.file):
        raise Refused(f"{task.id}: no photo is named; give the path of a file")
    return e.AddPhoto(task.id, ask.file)


def _note(project: Project, ask: a.AskNote, by: str, now: datetime) -> e.Edit:
    task = find_task(project, ask.task)
    if blank(ask.text):
        raise Refused(f"{task.id}: the note is empty")
    return e.AddNote(task.id, ask.text, ask.next_time)


def _temperature(project: Project, ask: a.AskTemperature, by: str, now: datetime) -> e.Edit:
    taken = ask.at or now
    for celsius in (ask.celsius, ask.celsius if ask.low is None else ask.low):
        if not -60 <= celsius <= 60:
            raise Refused(f"{number(celsius)} C is not a shop's temperature; write it as 18C or 64F")
    if ask.low is not None and ask.low > ask.celsius:
        raise Refused(f"the low of {number(ask.low)} C is above the {number(ask.celsius)} C of now")
    if taken > now + _SLACK:
        raise Refused(f"a temperature cannot be taken at {day_clock(taken, now)}: that is still to come")
    return e.TakeTemperature(ask.celsius, ask.low, taken)


def _clock(project: Project, ask: a.AskClock, by: str, now: datetime) -> e.Edit:
    at = ask.at or now
    clocks = project.progress.clocks
    if at > now + _SLACK:
        raise Refused(f"the clock cannot be set to {day_clock(at, now)}: that is still to come")
    if ask.start:
        name = "" if ask.task is None else find_task(project, ask.task).id
        if name in clocks:
            raise Refused(f"the clock {_on(name)} has been running since {day_clock(clocks[name][0], now)}")
        return e.StartClock(name, at)
    name = ask.task if ask.task is not None else next(iter(clocks), "") if len(clocks) == 1 else ""
    if name not in clocks:
        running = ", ".join(key or "the session" for key in clocks) or "none"
        raise Refused(f"no clock {_on(name)} is running (running: {running})")
    if at < clocks[name][0]:
        raise Refused(f"the clock {_on(name)} was started later, at {day_clock(clocks[name][0], now)}")
    return e.StopClock(name, at)


def _on(name: str) -> str:
    return f"on {clean(name)}" if name else "of the session"


def _stock(project: Project, ask: a.AskStock, by: str, now: datetime) -> e.Edit:
    item = find_item(project, ask.item)
    there = sum(lot.have for lot in project.stock(item).lots)
    if ask.total is not None and ask.total < 0:
        raise Refused(f"{item}: a stock of {number(ask.total)} cannot be")
    if ask.change is not None and ask.change < 0 and -ask.change > there + 1e-9:
        raise Refused(f"{item}: {number(-ask.change)} cannot be taken from a stock of {number(there)}")
    return e.ChangeStock(item, ask.change, ask.total, ask.expires)


def _arrived(project: Project, ask: a.AskArrived, by: str, now: datetime) -> e.Edit:
    item = find_item(project, ask.item)
    if project.stock(item).on_order is None:
        raise Refused(f"{item} is not on order; enter what came as stock (fitup stock {item} +N)")
    return e.Arrive(item, ask.expires)


def _lay_out(project: Project, ask: a.AskLayOut, by: str, now: datetime) -> e.Edit:
    return e.LayOut(ask.line, ask.out)


_RESOLVERS: dict[type, Callable[[Project, Any, str, datetime], e.Edit]] = {
    a.AskTick: _tick,
    a.AskMeasure: _measure,
    a.AskReopen: _reopen,
    a.AskAgain: _again,
    a.AskLift: resolve_lift,
    a.AskWaive: resolve_waive,
    a.AskStop: resolve_stop,
    a.AskSign: resolve_sign,
    a.AskCure: resolve_cure,
    a.AskPhoto: _photo,
    a.AskNote: _note,
    a.AskTemperature: _temperature,
    a.AskClock: _clock,
    a.AskStock: _stock,
    a.AskArrived: _arrived,
    a.AskLayOut: _lay_out,
}
