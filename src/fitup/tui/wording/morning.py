"""The Session page's first eight lines: what a builder wants to know with one look in the morning."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from rich.cells import cell_len

from fitup.desk_proof import standing_words
from fitup.model.amounts import clock, counted, day_clock, degrees, number, stretch
from fitup.model.sheet import Line, Sheet
from fitup.tui.rows import Row, Run, cut, row, say
from fitup.tui.wording.common import progress_words

if TYPE_CHECKING:
    from fitup.tui.board import Board

_LEAD = 8
_WEATHER = ("too cold to apply: ", "too warm to apply: ")
_TITLE = 26
"""Cells of a title that has what matters behind it."""


def morning_rows(board: Board, width: int) -> list[Row]:
    """Return the eight lines, each behind the word that it answers."""
    sheet = board.sheet
    if sheet is None:
        return [_line("Session", [say(board.trouble or "no run sheet yet", "bad")], width)]
    return [
        _line("First", _first(board, sheet), width, shrinks=True),
        _line("Note", _note(board), width),
        _line("Cures", _cures(board, sheet), width),
        _line("Short", _short(board), width),
        _line("Shop", _shop(board, sheet), width),
        _line("Helper", _two(board, sheet), width),
        _line("Bays", _closes(board, sheet), width),
        _line("Ends", _ends(board, sheet), width),
    ]


def _line(lead: str, runs: list[Run], width: int, shrinks: bool = False) -> Row:
    """Return a row whose last run that does not fit is cut; with `shrinks` the first makes room for the others."""
    room = width - _LEAD
    if shrinks and runs:
        others = sum(cell_len(run.text) for run in runs[1:])
        runs = [Run(cut(runs[0].text, max(12, room - others)), runs[0].role), *runs[1:]]
    fitted: list[Run] = []
    for run in runs:
        if room <= 1:
            break
        text = cut(run.text, room)
        fitted.append(Run(text, run.role))
        room -= cell_len(text)
    return row(say(f"{lead:<{_LEAD}}", "dim"), *fitted)


def _first(board: Board, sheet: Sheet) -> list[Run]:
    if not sheet.lines and sheet.question.sure is not None:
        return [say(f"nothing is {sheet.question.sure:.0%} sure to be finished in time; i asks for less", "warn")]
    if not sheet.lines:
        return [say("nothing can be done in this session; Holds (3) tells what stands in the way", "warn")]
    line = sheet.lines[0]
    task = board.project.plan.task[line.task]
    stopped = board.project.progress.of(task.id).done
    runs = [say(task.title, "strong")]
    if stopped:
        runs.append(say(f", stopped at {progress_words(board, task)}", "accent"))
    if task.ref:
        runs.append(say(f", {task.ref}"))
    return runs


def _note(board: Board) -> list[Run]:
    notes = board.desk.next_notes()
    if not notes:
        return [say("none left for today", "dim")]
    note = notes[-1]
    more = f" (and {len(notes) - 1} more: Tasks, {board.title(notes[-2].task)})" if len(notes) > 1 else ""
    return [say(f"{note.text}"), say(f" - {board.title(note.task)}{more}", "dim")]


def cures(board: Board) -> list[tuple[datetime, str]]:
    """Return what cures now: when it is over and of what, soonest first, each once."""
    from fitup.model.holds import hold_book

    found: dict[str, datetime] = {}
    for task_id in hold_book(board.project.plan).curing:
        for hold in board.readiness().holds[task_id]:
            until = hold.hold.until
            running = hold.kind == "cure" and hold.state == "standing" and until is not None
            if running and until is not None and isinstance(hold.expected, datetime) and hold.expected > board.now:
                found[until] = max(hold.expected, found.get(until, hold.expected))
    return sorted((when, board.title(until)) for until, when in found.items())


def _cures(board: Board, sheet: Sheet) -> list[Run]:
    running = cures(board)
    runs: list[Run] = []
    for when, title in running[:3]:
        runs += [say("; " if runs else ""), say(day_clock(when, board.now), "accent"), say(f" {title}")]
    if len(running) > 3:
        runs.append(say(f"; {len(running) - 3} more", "dim"))
    seen = {title for _, title in running}
    for line in sheet.lines:
        if _starts_cure(board, line.task) and board.title(line.task) not in seen:
            runs.append(say(f"{'; then ' if runs else 'none yet; '}from {_at(sheet, line.end)}: ", "dim"))
            runs.append(say(board.title(line.task)))
            break
    return runs or [say("nothing", "dim")]


def _starts_cure(board: Board, task_id: str) -> bool:
    plan = board.project.plan
    waiting = (plan.task[waiter] for waiter in board.desk.waiters(task_id))
    return any(hold.kind == "cure" and hold.until == task_id for task in waiting for hold in task.holds)


def _short(board: Board) -> list[Run]:
    short = board.bench.short if board.bench else ()
    if short:
        return [say(", ".join(short), "bad"), say(" for today (4 Bench)", "dim")]
    return [say("nothing for today", "dim")]


def _needs_warmth(board: Board, task_id: str) -> Iterator[tuple[float, float]]:
    """Yield the ranges of temperature in C that a task, its work and its items have to be done in."""
    plan = board.project.plan
    task = plan.task[task_id]
    items = (plan.item[item].temperature for item, _ in task.needs if item in plan.item)
    yield from (limits for limits in (task.temperature, plan.work_of(task).temperature, *items) if limits)


def _shop(board: Board, sheet: Sheet) -> list[Run]:
    celsius = sheet.question.celsius
    readings = board.project.progress.temperatures
    if celsius is None:
        runs = [say("not measured today (d)", "warn")]
    else:
        taken = f" at {day_clock(readings[-1].at, board.now)}" if readings and board.wishes.celsius is None else ""
        supposed = " supposed" if board.wishes.celsius is not None else ""
        runs = [say(f"{degrees(celsius)}{supposed}", "strong"), say(taken, "dim")]
    bounds = [(line, *bound) for line in sheet.lines for bound in _needs_warmth(board, line.task)]
    if bounds:
        first, low, _ = max(bounds, key=lambda bound: (bound[1], -bound[0].begin))
        high = min(bound[2] for bound in bounds)
        fits = celsius is not None and low <= celsius <= high
        need = f"; {number(low)} to {number(high)} C needed from {_at(sheet, first.begin)}: {board.title(first.task)}"
        runs.append(say(need, "" if fits else "warn"))
    cold = [left for left in sheet.left_out if any(word in left.why for word in _WEATHER)]
    if cold:
        needs = cold[0].why.rpartition(", ")[2]
        runs.append(say(f"; {counted(len(cold), 'task')} left out, {needs}: {board.title(cold[0].task)}", "warn"))
    elif not bounds and celsius is not None:
        runs.append(say("; today's work does not mind", "dim"))
    return runs


def _two(board: Board, sheet: Sheet) -> list[Run]:
    windows = sheet.question.helper
    both = [line for line in sheet.lines if line.who == "both"]
    alone = [line for line in sheet.lines if line.who == "helper"]
    plan = board.project.plan
    left = [out for out in sheet.left_out if plan.crew_of(plan.task[out.task]) > 1]
    if not windows:
        wants = f"; {len(left)} ready for two: {board.title(left[0].task)}" if left else ""
        return [say(f"none today (h){wants}", "" if left else "dim")]
    runs = [say(f"until {_at(sheet, windows[-1][1])}: ", "strong")]
    if both:
        named = "; ".join(_piece(board, line) for line in both)
        runs.append(say(f"{named} ({stretch(sheet.two_people_minutes)})"))
    elif left:
        runs.append(say(f"no work for two; {cut(board.title(left[0].task), _TITLE)}: {left[0].why}", "warn"))
    else:
        runs.append(say("nothing for two people is ready", "warn"))
    if alone:
        runs.append(say(f"; alone: {'; '.join(board.title(line.task) for line in alone)}"))
    return runs


def _piece(board: Board, line: Line) -> str:
    """Return a line's task, with its count where it is not the whole rest."""
    part = "" if finishes(board, line) else f" ({line.count} of {board.project.open_count(line.task)})"
    return board.title(line.task) + part


def finishes(board: Board, line: Line) -> bool:
    """Return whether a line does all that is still open of its task."""
    return line.count >= board.project.open_count(line.task)


def closing_bays(board: Board, sheet: Sheet) -> list[str]:
    """Return the titles of the bays that the sheet closes."""
    bays = {bay.id: bay.title for bay in board.project.plan.bays}
    lines = [line for line in sheet.lines if finishes(board, line)]
    return list(
        dict.fromkeys(bays.get(bay, bay) for line in lines for bay in board.project.plan.task[line.task].closes)
    )


def _closes(board: Board, sheet: Sheet) -> list[Run]:
    closed = closing_bays(board, sheet)
    if not closed:
        return [say("none is closed today", "dim")]
    return [say(f"closes {', '.join(closed)} today", "closing")]


def _ends(board: Board, sheet: Sheet) -> list[Run]:
    question = sheet.question
    over = question.instant(question.minutes)
    if not sheet.lines:
        return [say(f"session until {day_clock(over, board.now)}", "dim")]
    last = max(line.end for line in sheet.lines)
    wished = "" if question.sure is None else f" ({question.sure:.0%} asked)"
    return [
        say(f"{_at(sheet, last)}", "strong"),
        say(f" of {clock(over)}, {sheet.chance:.0%} sure to be finished{wished}"),
        say("; not yet proven" if board.proving else f"; {standing_words(sheet)}", "dim"),
        say(f"; work {stretch(sheet.likely_minutes)}", "dim"),
    ]


def _at(sheet: Sheet, minute: int) -> str:
    return clock(sheet.question.instant(minute))
