"""Says in one sentence what an act did: for the answer to a command, for undo and for the log."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fitup.model import edits as e
from fitup.model.amounts import clean, counted, degrees, local_iso, number, stretch
from fitup.model.marks import HOLDS, LET_GO
from fitup.model.progress import Project


def tell(project: Project, act: e.Act) -> str:
    """Return one sentence about `act`; `project` is the one after it. Fit for a terminal."""
    return clean(_TELLERS[type(act)](project, act))


def _named(project: Project, task_id: str) -> str:
    task = project.plan.task.get(task_id)
    return f"{task_id} ({task.title})" if task else task_id


def _tick(project: Project, act: e.Tick) -> str:
    task = project.plan.task.get(act.task)
    total = task.count if task else act.count
    timed = f", {stretch(act.minutes)}" if act.minutes is not None else ""
    what = "done" if act.count >= total else f"{act.count} done of {total}"
    return f"{_named(project, act.task)}: {what}{timed}"


def _measure(project: Project, act: e.Measure) -> str:
    figure = "" if act.figure is None else f" {number(act.figure)}"
    limit = "" if act.limit is None else f" against {number(act.limit)}"
    decided = f", decided: {act.why}" if act.decided else ""
    return f"{_named(project, act.task)}: measured{figure}{limit}: {act.verdict}{decided}{_steep(project, act)}"


def _steep(project: Project, act: e.Measure) -> str:
    """Say so where the readings of a straightness check vary as much as the places: places in metres look like that."""
    task = project.plan.task.get(act.task)
    if task is None or task.check is None or task.check.kind != "straight":
        return ""
    try:
        places = [float(place) for place, _ in act.readings]
    except ValueError:
        # measured when the plan still had another check there
        return ""
    heights = [height for _, figures in act.readings for height in figures]
    if not heights or max(heights) - min(heights) <= (max(places) - min(places)) / 4:
        return ""
    unit = task.check.unit or "one unit"
    return f"; mind that places and readings both count in {unit}, and these readings vary much for so short a length"


def _reopen(project: Project, act: e.Reopen) -> str:
    return f"{_named(project, act.task)}: {act.count} reopened, {act.why}"


def _stock(project: Project, act: e.ChangeStock) -> str:
    change = f"counted, {number(act.total)}" if act.total is not None else f"{act.change or 0:+g}"
    dated = f", expires {act.expires}" if act.expires else ""
    return f"stock of {act.item}: {change}{dated}"


def _stop(project: Project, act: e.PutStop) -> str:
    which = _named(project, act.tasks[0]) if len(act.tasks) == 1 else f"{len(act.tasks)} tasks"
    return f"{which}: stopped, {act.why}"


def _temperature(project: Project, act: e.TakeTemperature) -> str:
    low = "" if act.low is None else f", low {degrees(act.low)}"
    return f"shop {degrees(act.celsius)}{low} at {local_iso(act.taken_at).replace('T', ' ')}"


def _lay_out(project: Project, act: e.LayOut) -> str:
    """Name a line of the bench list as people do; it is written with its kind, its id and its day."""
    what, comma, day = act.line.rpartition(", ")
    kind, _, name = (what if comma else act.line).partition(" ")
    tool, item = project.plan.tool.get(name), project.plan.item.get(name)
    if kind == "tool" and tool is not None:
        shown = tool.title
    elif kind == "item" and item is not None:
        shown = item.title
    else:
        shown = name if kind == "fastener" else what or act.line
    return f"{shown}: {'laid out' if act.out else 'put back'}{f' for {day}' if comma else ''}"


def _waive(project: Project, act: e.Waive) -> str:
    until = f" {act.until}" if act.until else ""
    second = f", seen by {act.second}" if act.second else ""
    return f"{_named(project, act.task)}: waived: {HOLDS[act.kind].word}{until}, {act.why}{second}{_let_go(act)}"


def _let_go(act: e.Waive) -> str:
    """Name what the waiver let go besides its hold, as it was then."""
    if not act.let_go:
        return ""
    named = [name if ":" not in name else "the {} of {}".format(*name.split(":", 1)) for name in act.let_go]
    return f"{LET_GO}: {', '.join(named)}"


_TELLERS: dict[type, Callable[[Project, Any], str]] = {
    e.AdoptPlan: lambda project, act: f"plan taken in: {act.plan.title}, {counted(len(act.plan.tasks), 'task')}",
    e.Tick: _tick,
    e.Measure: _measure,
    e.Reopen: _reopen,
    e.Again: lambda project, act: f"{_named(project, act.task)}: started afresh",
    e.LiftHold: lambda project, act: f"{_named(project, act.task)}: {act.kind} hold lifted, {act.why}",
    e.LiftStop: lambda project, act: f"{_named(project, act.task)}: stop lifted, {act.why}",
    e.Waive: _waive,
    e.PutStop: _stop,
    e.Sign: lambda project, act: f"{_named(project, act.task)}: signed as {act.role}",
    e.SetCure: lambda project, act: (
        f"{_named(project, act.task)}: cure of {act.until} set to {number(act.hours)} h, {act.why}"
    ),
    e.AddPhoto: lambda project, act: f"{_named(project, act.task)}: photo {act.file}",
    e.AddNote: lambda project, act: f"{_named(project, act.task)}: note, {act.text}",
    e.TakeTemperature: _temperature,
    e.StartClock: lambda project, act: f"clock started on {act.task or 'the session'}",
    e.StopClock: lambda project, act: f"clock stopped on {act.task or 'the session'}",
    e.ChangeStock: _stock,
    e.Arrive: lambda project, act: f"{act.item} arrived",
    e.LayOut: _lay_out,
    e.Undo: lambda project, act: "taken back",
    e.Redo: lambda project, act: "made again",
}
