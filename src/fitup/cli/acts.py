"""Commands that do something: each makes one ask of what was typed and says what it came to."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from fitup.cli.answer import Answer
from fitup.cli.values import parse_day, parse_figure, parse_moment, parse_stock, parse_whole
from fitup.desk import Desk
from fitup.model import asks as a
from fitup.model.amounts import day_clock, parse_celsius

if TYPE_CHECKING:
    from fitup.acts.outcome import Outcome
    from fitup.acts.starting import Started


def do(desk: Desk, args: Namespace) -> Answer:
    """Carry out an act command; `Refused` passes through."""
    outcome = desk.do(ASKS[args.command](desk, args))
    return Answer(_data(args.command, outcome), _text(desk, outcome), code=_code(outcome))


def _data(command: str, outcome: Outcome) -> dict[str, object]:
    data: dict[str, object] = {"entry": outcome.entry, "freed": list(outcome.freed), "says": outcome.says}
    if outcome.task is not None:
        data |= {"task": outcome.task, "state": outcome.state, "done": outcome.done}
    if outcome.finished_at is not None:
        data |= {"finished_at": outcome.finished_at, "started": [_started(one) for one in outcome.started]}
    if command == "waive" or outcome.warnings:
        data["warnings"] = list(outcome.warnings)
    if outcome.measurement is not None and command == "measure":
        found = outcome.measurement
        data |= {"verdict": found.verdict, "figure": found.figure, "limit": found.limit, "decided": found.decided}
    return data


def _started(one: Started) -> dict[str, object]:
    return {
        "kind": one.kind,
        "tasks": list(one.tasks),
        "since": one.since,
        "until": one.until,
        "witness": one.witness,
    }


def _text(desk: Desk, outcome: Outcome) -> list[str]:
    now = desk.now()
    lines = [outcome.says, *outcome.warnings]
    if outcome.finished_at is not None:
        lines.append(f"finished {day_clock(outcome.finished_at, now)}")
    lines += [f"  {one.says}" for one in outcome.started]
    measured = outcome.measurement
    if measured is not None and measured.verdict == "too close to call":
        lines.append("Too close to call: decide with --decide pass|fail --why, or measure again more finely.")
    plan = desk.project.plan
    if outcome.name in ("tick", "reopen") and outcome.task is not None and plan.task[outcome.task].count > 1:
        lines.append(f"in all {outcome.done} of {plan.task[outcome.task].count}: {outcome.state}")
    lines += [f"now ready: {task} ({plan.task[task].title})" for task in outcome.freed]
    return lines


def _code(outcome: Outcome) -> int:
    measured = outcome.measurement
    return 1 if measured is not None and measured.verdict != "pass" else 0


def _at(desk: Desk, args: Namespace) -> datetime | None:
    return None if args.at is None else parse_moment(args.at, "--at", desk.now())


def _tick(desk: Desk, args: Namespace) -> a.Ask:
    return a.AskTick(
        args.task,
        None if args.count is None else parse_whole(args.count, "--count"),
        None if args.minutes is None else parse_figure(args.minutes, "--minutes"),
        _at(desk, args),
    )


def _measure(desk: Desk, args: Namespace) -> a.Ask:
    return a.AskMeasure(
        args.task, desk.parse_readings(args.task, args.readings), args.decide, args.why, _at(desk, args)
    )


def _reopen(desk: Desk, args: Namespace) -> a.Ask:
    return a.AskReopen(args.task, args.why, None if args.count is None else parse_whole(args.count, "--count"))


def _temperature(desk: Desk, args: Namespace) -> a.Ask:
    low = None if args.low is None else parse_celsius(args.low, "--low")
    return a.AskTemperature(parse_celsius(args.celsius), low, _at(desk, args))


def _stock(desk: Desk, args: Namespace) -> a.Ask:
    change, total = parse_stock(args.change)
    return a.AskStock(args.item, change, total, None if args.expires is None else parse_day(args.expires))


def _arrived(desk: Desk, args: Namespace) -> a.Ask:
    return a.AskArrived(args.item, None if args.expires is None else parse_day(args.expires))


ASKS: dict[str, Callable[[Desk, Namespace], a.Ask]] = {
    "tick": _tick,
    "measure": _measure,
    "reopen": _reopen,
    "again": lambda desk, args: a.AskAgain(args.task),
    "lift": lambda desk, args: a.AskLift(args.task, args.kind, args.why, args.until),
    "waive": lambda desk, args: a.AskWaive(args.task, args.kind, args.why, args.until, args.second, args.sure_to_close),
    "stop": lambda desk, args: a.AskStop(args.why, args.task, args.ref),
    "sign": lambda desk, args: a.AskSign(args.task, args.role, _at(desk, args)),
    "cure": lambda desk, args: a.AskCure(args.task, args.until, parse_figure(args.hours, "--hours"), args.why),
    "photo": lambda desk, args: a.AskPhoto(args.task, args.file),
    "note": lambda desk, args: a.AskNote(args.task, args.text, args.next),
    "temperature": _temperature,
    "clock": lambda desk, args: a.AskClock(args.turn == "start", args.task, _at(desk, args)),
    "stock": _stock,
    "arrived": _arrived,
    "undo": lambda desk, args: a.AskUndo(),
    "redo": lambda desk, args: a.AskRedo(),
}
"""Every act command and the ask that it makes."""
