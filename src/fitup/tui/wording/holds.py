"""The Holds page: what can be done to free held work, most hours first, then every hold that stands."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from fitup.desk_holds import told_once
from fitup.model.amounts import day_clock, stretch
from fitup.model.marks import HOLDS
from fitup.tui.rows import Row, cut, fill, row, say, wrapped
from fitup.tui.wording.common import detail_rows, expected_words, hold_glyph, hold_words, state_glyph

if TYPE_CHECKING:
    from fitup.readiness import HoldState, Root
    from fitup.tui.board import Board


def hold_key(hold: HoldState) -> str:
    """Return the key of a hold's row."""
    return "hold " + "\n".join(hold.key)


def standing(board: Board) -> list[HoldState]:
    """Return every standing hold once, those that no task's turn lifts first, in plan order."""
    holds = told_once(hold for task in board.project.plan.tasks for hold in board.standing(task.id))
    return [*(h for h in holds if h.kind != "after"), *(h for h in holds if h.kind == "after")]


def find_hold(board: Board, key: str) -> HoldState | None:
    """Return the standing hold of a row's key, or None."""
    return next((hold for hold in standing(board) if hold_key(hold) == key), None)


def root_hold(board: Board, root_id: str) -> HoldState | None:
    """Return the hold that a root of the form "kind:task" stands for, or None for a task's id."""
    kind, colon, task_id = root_id.partition(":")
    if not colon:
        return None
    return next((hold for hold in board.standing(task_id) if hold.kind == kind), None)


def hold_list(board: Board, width: int) -> tuple[list[str], Callable[[int], Row]]:
    """Return the page's keys and how to draw a row: the roots, then what stands by itself, then plain order."""
    roots = board.desk.roots()
    holds = standing(board)
    what = max(10, width - 24)
    draws = [_heading(f"{fill('What to do, and what it frees', what + 4)}{'Frees':>9}{'Tasks':>7}")]
    draws += [partial(_root_row, board, root, what) for root in roots]
    keys = ["", *(f"root {root.id}" for root in roots)]
    if not roots:
        draws.append(_heading("nothing is held"))
        keys.append("")
    outside = [hold for hold in holds if hold.kind != "after"]
    order = [hold for hold in holds if hold.kind == "after"]
    for heading, some in (("What stands, and what lifts it", outside), ("Waits for its turn", order)):
        if some:
            draws += [_heading(f"{heading} ({len(some)})"), *(partial(_hold_row, board, hold, width) for hold in some)]
            keys += ["", *(hold_key(hold) for hold in some)]
    return keys, lambda index: draws[index]()


def _heading(text: str) -> Callable[[], Row]:
    return lambda: row(say(f" {text}", "section"))


def lifted_by(board: Board, hold: HoldState) -> str:
    """Return what lifts a hold in a few words, with the time or day expected and a stop's reason."""
    when = expected_words(hold.expected, board.now)
    text = f"{when}: {hold.lifts}" if when and when not in hold.lifts else hold.lifts
    if hold.kind == "cure" and isinstance(hold.expected, datetime) and hold.expected > board.now:
        return f"cured {text}"
    if hold.kind == "access" and (bays := hold.why.removeprefix("it closes ")) != hold.why:
        return f"{text} (closes {bays})"
    return f"{hold.why}: {text}" if hold.kind == "stop" and hold.why else text


def _root_row(board: Board, root: Root, what: int) -> Row:
    hold = root_hold(board, root.id)
    if hold is not None:
        glyph = hold_glyph(hold.kind, board.ascii_only)
        text = f"{lifted_by(board, hold)} ({board.title(hold.task)})"
    else:
        state = board.readiness().states.get(root.id, "ready")
        glyph = state_glyph(state, board.ascii_only)
        text = board.title(root.id)
        if state == "done":
            text += " (look at it again)"
    return row(
        say(" "), glyph, say("  "), say(fill(text, what)),
        say(fill(stretch(root.frees_minutes) if root.frees_minutes else "", 10, right=True), "strong"),
        say(f"{len(root.tasks):>7}", "dim"), key=f"root {root.id}",
    )  # fmt: skip


def _hold_row(board: Board, hold: HoldState, width: int) -> Row:
    since = day_clock(hold.since, board.now) if hold.since else ""
    roomy = width >= 92
    room = width - 6 - 14 - (13 if roomy else 0)
    task = max(8, room * 2 // 5)
    lifts = max(8, room - task - 2)
    runs = [
        say(" "),
        hold_glyph(hold.kind, board.ascii_only),
        say(" "),
        say(fill(HOLDS[hold.kind].word, 14), "warn"),
        say(" " + fill(board.title(hold.task), task)),
        say("  " + fill(lifted_by(board, hold), lifts), "dim"),
    ]
    if roomy:
        runs.append(say(" " + fill(since, 12), "dim"))
    return row(*runs, key=hold_key(hold))


def chosen_rows(board: Board, key: str, width: int) -> list[Row]:
    """Return the detail of the chosen row: the hold as a sentence, what it frees, and its task."""
    kind, _, rest = key.partition(" ")
    rows: list[Row] = []
    if kind == "root":
        hold = root_hold(board, rest)
        root = next((root for root in board.desk.roots() if root.id == rest), None)
        if hold is not None:
            rows += wrapped(hold_words(board, hold), width, "warn")
        task_id = hold.task if hold is not None else rest
        if root is not None and root.tasks:
            named = "; ".join(board.title(task) for task in root.tasks[:8])
            more = f"; {len(root.tasks) - 8} more" if len(root.tasks) > 8 else ""
            rows += wrapped(named + more, width, "", f"Frees {stretch(root.frees_minutes)}: ")
        return rows + detail_rows(board, task_id, width)
    hold = find_hold(board, key)
    if hold is None:
        return []
    rows += wrapped(hold_words(board, hold), width, "warn")
    at_end = [cut(board.title(root), 40) for root in board.desk.roots_of(hold.task) if ":" not in root]
    if at_end:
        rows += wrapped("; ".join(at_end[:4]), width, "", "To act on now: ")
    return rows + detail_rows(board, hold.task, width)


def what_lifts(hold: HoldState) -> str:
    """Return the command that answers a hold: "lift", "sign", "arrived", "measure" or "" where only waiting helps."""
    return {"stop": "lift", "sign-off": "sign", "supply": "arrived", "check": "measure", "within": "again"}.get(
        hold.kind, "lift" if hold.kind == "cure" and hold.hold.witness else ""
    )
