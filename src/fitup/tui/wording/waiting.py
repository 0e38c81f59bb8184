"""What the pages of the session show before there is a run sheet: what is known without planning."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fitup.tui.board import Board
from fitup.tui.rows import Row, cut, fill, row, say
from fitup.tui.wording.common import state_glyph

PLANNING = "planning ..."

_LEADS = ("First", "Note", "Cures", "Short", "Shop", "Helper", "Bays", "Ends")
"""The words before the lines that the morning's answers will fill, so that nothing moves when they come."""


def waiting_head(board: Board, width: int) -> list[Row]:
    """Return the rows above the list: that the session is being planned, and how far the build is."""
    states = list(board.readiness().states.values())
    done, ready = states.count("done"), states.count("ready") + states.count("under way")
    known = {"First": PLANNING, "Ends": f"{done} of {len(states)} tasks done, {ready} can be worked on now"}
    return [row(say(f"{lead:<8}", "dim"), say(cut(known.get(lead, ""), max(1, width - 8)))) for lead in _LEADS]


def workable(board: Board, width: int) -> tuple[Sequence[str], Callable[[int], Row]]:
    """Return the keys of what can be worked on, begun work first, and how to draw its rows; a heading leads them."""
    states = board.readiness().states
    begun = [task for task in board.project.plan.tasks if states[task.id] == "under way"]
    tasks = begun + [task for task in board.project.plan.tasks if states[task.id] == "ready"]

    def draw(index: int) -> Row:
        if index == 0:
            return row(say(f" {'':8}Can be worked on now", "section"))
        task = tasks[index - 1]
        title = fill(task.title, max(8, width - 12))
        return row(say(f" {'':6}"), state_glyph(states[task.id], board.ascii_only), say(f" {title}"), key=_key(task.id))

    return ["", *(_key(task.id) for task in tasks)], draw


def _key(task_id: str) -> str:
    """Return the key that the task's line will have on the run sheet, so that what is chosen stays chosen."""
    return f"line {task_id}"


def waiting_rows(width: int) -> list[Row]:
    """Return what a page shows that says nothing without a run sheet."""
    return [row(say(cut(f" {PLANNING}", width), "dim"))]
