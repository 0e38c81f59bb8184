"""The Session page below its first lines: the run sheet, what to prepare, what was left out, and the chosen line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitup.desk_prepare import preparations
from fitup.model.amounts import clock, day_clock
from fitup.model.sheet import Line, Sheet
from fitup.tui.rows import Row, cut, fill, row, say, wrapped
from fitup.tui.wording.common import cautions, detail_rows, hold_glyph, state_glyph
from fitup.tui.wording.morning import finishes

if TYPE_CHECKING:
    from fitup.tui.board import Board

_LINE, _WAIT, _OUT, _PREPARE = "line ", "wait ", "out ", "prepare "

SLIM = 56
"""Columns below which the run sheet shows time, task and minutes only."""

WHO = {"builder": "you", "helper": "helper", "both": "both"}


def line_key(task_id: str) -> str:
    """Return the key of a run sheet's row."""
    return _LINE + task_id


def out_key(task_id: str) -> str:
    """Return the key of the row of a task that was left out."""
    return _OUT + task_id


def left_out(key: str) -> bool:
    """Return whether a row's key is that of a task left out."""
    return key.startswith(_OUT)


def sheet_rows(board: Board, width: int) -> list[Row]:
    """Return the run sheet, then what only a clock holds, what to make ready, and what was left out and why."""
    sheet = board.sheet
    if sheet is None:
        return []
    why = max(0, width - 74) if width >= 96 else 0
    slim = width < SLIM
    title = max(8, width - 15 if slim else width - 35 - (why + 1 if why else 0))
    head = f" {'Time':<6}{'':2}{fill('Run sheet', title)}"
    head += f"{'Min':>5}" if slim else f"{'Count':>11}{'Min':>5}  {'Who':<6}"
    rows = [row(say(head + (f" {'Why':<{why}}" if why else ""), "section"))]
    for line in sheet.lines:
        rows.append(_line(board, sheet, line, title, why, slim))
    if not sheet.lines:
        rows.append(row(say("  the sheet is empty", "dim")))
    for waiting in sheet.waiting:
        when = day_clock(waiting.until, board.now)
        rows.append(
            row(" ", say(fill(when, 6), "accent"), say("  when cured: ", "dim"), cut(board.title(waiting.task), title),
                key=_WAIT + waiting.task)
        )  # fmt: skip
    rows += _prepare(board, sheet, width)
    rows += _left_out(board, sheet, width)
    return rows


def _prepare(board: Board, sheet: Sheet, width: int) -> list[Row]:
    said = preparations(board.desk, sheet)
    if not said:
        return []
    rows = [row(say(" To make ready", "section"))]
    for at, text in enumerate(said):
        lines = wrapped(text, width - 3, "", "   ")
        rows += [Row(lines[0].runs, f"{_PREPARE}{at}"), *lines[1:]]
    return rows


def prepare_rows(board: Board, key: str, width: int) -> list[Row]:
    """Return at length what the chosen row says is to be made ready; nothing for another row."""
    place = key.removeprefix(_PREPARE)
    said = preparations(board.desk, board.sheet) if board.sheet is not None and place != key else ()
    return wrapped(said[int(place)], width) if place.isdigit() and int(place) < len(said) else []


def _line(board: Board, sheet: Sheet, line: Line, title: int, why: int, slim: bool) -> Row:
    task = board.project.plan.task[line.task]
    open_count = board.project.open_count(task.id)
    count = f"{line.count} of {open_count}" if line.count < open_count else f"{line.count}"
    closing = task.closes and finishes(board, line)
    state = board.readiness().states[task.id]
    held = board.standing(task.id)
    mark = hold_glyph(held[0].kind, board.ascii_only) if held else state_glyph(state, board.ascii_only)
    runs = [
        say(" "),
        say(fill(clock(sheet.question.instant(line.begin)), 6), "strong"),
        mark,
        say(" "),
        say(fill(task.title, title), "closing" if closing else ""),
        say("" if slim else fill(count, 11, right=True)),
        say(f"{line.end - line.begin:>5}"),
    ]
    if not slim:
        runs.append(say(f"  {WHO[line.who]:<6}", "accent" if line.who != "builder" else "dim"))
    if why:
        runs.append(say(" " + fill(line.why, why), "dim"))
    return row(*runs, key=line_key(task.id))


def _left_out(board: Board, sheet: Sheet, width: int) -> list[Row]:
    if not sheet.left_out:
        return []
    rows = [row(say(f" Not today, and why ({len(sheet.left_out)})", "section"))]
    title = min(40, max(10, width * 2 // 5))
    for left in sheet.left_out:
        rows.append(
            row("   ", fill(board.title(left.task), title), say(f" {cut(left.why, max(4, width - title - 5))}", "dim"),
                key=out_key(left.task))
        )  # fmt: skip
    return rows


def line_of(board: Board, task_id: str) -> Line | None:
    """Return the run sheet's line of a task."""
    lines = board.sheet.lines if board.sheet else ()
    return next((line for line in lines if line.task == task_id), None)


def why_of(board: Board, task_id: str) -> str:
    """Return why a task is on the sheet, or why it was left out."""
    line = line_of(board, task_id)
    if line is not None:
        extra = [f"{line.set_up} min set-up"] if line.set_up else []
        extra += [f"{line.clean_up} min clean-up"] if line.clean_up else []
        return line.why + (f" ({', '.join(extra)} in it)" if extra else "")
    left = board.sheet.left_out if board.sheet else ()
    return next((f"not today: {out.why}" for out in left if out.task == task_id), "")


def brief_rows(board: Board, task_id: str, width: int) -> list[Row]:
    """Return the chosen line in a few rows: title and reference, why it is here, cautions first of all."""
    task = board.task(task_id)
    if task is None:
        return []
    place = f", {task.ref}" if task.ref else ""
    rows = wrapped(f"{task.title}{place}", width, "title")
    rows += [line for text in cautions(board, task) for line in wrapped(text, width, "warn", "Caution: ", "strong")]
    why = why_of(board, task_id)
    if why:
        rows += wrapped(why, width)
    rest = detail_rows(board, task_id, width)[len(wrapped(task.title, width)) :]
    return rows + rest
