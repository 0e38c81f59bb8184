"""What came of an act, in a sentence or two."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING

from fitup.model.amounts import day_clock, first_named
from fitup.model.marks import LET_GO
from fitup.model.sheet import Sheet
from fitup.tui.board import Board
from fitup.tui.rows import Row, row, say
from fitup.tui.wording.common import titled, verdict_words

if TYPE_CHECKING:
    from fitup.acts.outcome import Outcome
    from fitup.desk_proof import WhyNot


def outcome_rows(board: Board, outcome: Outcome) -> Iterator[Row]:
    """Yield what came of an act as rows: a verdict first, at the end warnings and the clocks that run since then."""
    measured = outcome.measurement
    if measured is not None:
        task = board.task(measured.task)
        yield row(verdict_words(measured, task.check if task else None, board.ascii_only))
    yield row(say(told(board, outcome), "good" if measured is None else ""))
    for warning in outcome.warnings:
        yield row(say(titled(board, warning), "bad"))
    for one in outcome.started:
        yield row(say(titled(board, one.says), "accent"))


def told(board: Board, outcome: Outcome) -> str:
    """Return what an act did, which tasks it freed, what is owed now, and how it is taken back."""
    # The record of a waiver lists what it let go; the warnings below say so in sentences.
    says = outcome.says.partition(LET_GO)[0] if outcome.warnings else outcome.says
    text = titled(board, says).rstrip(".…") + "."
    if outcome.finished_at is not None and (outcome.started or board.now - outcome.finished_at >= timedelta(minutes=1)):
        text += f" Finished {day_clock(outcome.finished_at, board.now)}."
    if outcome.freed:
        text += f" Free now: {first_named([board.title(task) for task in outcome.freed])}."
    task = board.task(outcome.task) if outcome.task else None
    owes = task is not None and task.photo and outcome.state == "done"
    if owes and task is not None and not board.project.progress.photographed(task.id):
        text += " A photo is owed (p)."
    if outcome.name == "undo":
        return text + " y makes it again."
    return text + " u takes it back."


def why_words(board: Board, found: WhyNot) -> str:
    """Return what it would cost to take a task onto the run sheet, or that it cannot be."""
    title, sheet = board.title(found.task), board.sheet
    if found.instead is None or sheet is None:
        return f"{title} cannot be done in this session: {found.why}."
    kept = {line.task: line.count for line in found.instead.lines}
    gone = _named(board, "without", [line.task for line in sheet.lines if line.task not in kept])
    cut = _named(board, "with less of", [line.task for line in sheet.lines if kept.get(line.task, 0) < line.count])
    cost = " and ".join(part for part in (gone, "" if gone else cut) if part) or "with the rest in another order"
    return f"{title} can be done today {cost}; that is worth {_less(sheet, found)}. e puts it first."


def _less(sheet: Sheet, found: WhyNot) -> str:
    """Return how much less a forced sheet is worth, and whether that is known for sure."""
    percent = 100 * (found.loss or 0) / sheet.worth if sheet.worth else 0
    words = "as much" if percent < 0.5 else f"{percent:.0f} % less"
    return words if found.proven else f"{words}, by the best sheets found"


def better_words(board: Board, before: Sheet, now: Sheet) -> str:
    """Return what a better run sheet changes, "" where its lines are the same."""
    old = {line.task: line.count for line in before.lines}
    new = {line.task: line.count for line in now.lines}
    if [(x.task, x.count, x.begin) for x in before.lines] == [(x.task, x.count, x.begin) for x in now.lines]:
        return ""
    parts = [
        _named(board, "now with", [task for task in new if task not in old]),
        _named(board, "without", [task for task in old if task not in new]),
        _named(board, "another count of", [task for task in new if old.get(task, new[task]) != new[task]]),
    ]
    return f"A better run sheet: {'; '.join(part for part in parts if part) or 'the same work in another order'}."


def _named(board: Board, lead: str, tasks: list[str]) -> str:
    return f"{lead} {first_named([board.title(task) for task in tasks])}" if tasks else ""
