"""What came of an act, in a sentence or two."""

from __future__ import annotations

from fitup.desk import Outcome
from fitup.tui.board import Board

_NAMED = 3


def told(board: Board, outcome: Outcome) -> str:
    """Return what an act did, which tasks it freed, what is owed now, and how it is taken back."""
    text = outcome.says.rstrip(".") + "."
    if outcome.freed:
        named = ", ".join(board.title(task) for task in outcome.freed[:_NAMED])
        more = f" and {len(outcome.freed) - _NAMED} more" if len(outcome.freed) > _NAMED else ""
        text += f" Free now: {named}{more}."
    task = board.task(outcome.task) if outcome.task else None
    owes = task is not None and task.photo and outcome.state == "done"
    if owes and task is not None and not board.project.progress.photographed(task.id):
        text += " A photo is owed (p)."
    if outcome.name == "undo":
        return text + " y makes it again."
    return text + " u takes it back."
