"""Wording of the Graph page: why the chosen task is held, an assembly in a few lines, tasks found by typing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from fitup.model.amounts import stretch
from fitup.model.marks import HOLDS
from fitup.model.plan import Task
from fitup.tui.rows import Row, Run, cut, row, say, wrapped
from fitup.tui.wording.common import cautions, chain_rows, check_words, progress_words, state_glyph, state_words
from fitup.tui.wording.holds import lifted_by, root_hold

if TYPE_CHECKING:
    from fitup.tui.board import Board

FOUND = 60
"""Tasks that a search lists at most."""


def chosen_rows(board: Board, task_id: str, width: int) -> list[Row]:
    """Return what a few rows can tell of the chosen task: its title, and what holds it down to the roots.

    The title stays whole, since the drawing may have it cut; the last of the facts beside it give way.
    """
    task = board.task(task_id)
    if task is None:
        return []
    left = board.desk.remaining().get(task.id, 0)
    facts = [state_words(board, task.id).text]
    facts += [progress_words(board, task)] if 0 < board.project.progress.of(task.id).done < task.count else []
    facts += [f"{stretch(left)} left"] if left else []
    facts += ["critical chain"] if left and task.id in board.desk.chain().critical else []
    facts += [task.ref] if task.ref else []
    while len(facts) > 1 and cell_len(task.title) + cell_len("  " + ", ".join(facts)) > width:
        facts.pop()
    told = "  " + ", ".join(facts)
    title = cut(task.title, max(12, width - cell_len(told)))
    rows = [row(say(title, "title"), say(cut(told, max(0, width - cell_len(title))), state_words(board, task.id).role))]
    if board.readiness().states[task.id] == "held":
        return rows + roots_rows(board, task.id, width) + chain_rows(board, task.id, width)
    rows += [line for text in cautions(board, task) for line in wrapped(text, width, "warn", "Caution: ", "strong")]
    if task.check:
        rows += wrapped(check_words(task.check), width, "", "Check: ")
    waiters = board.desk.waiters(task.id)
    if waiters:
        rows += wrapped("; ".join(board.title(waiter) for waiter in waiters[:8]), width, "dim", "Waiting for it: ")
    return rows


def roots_rows(board: Board, task_id: str, width: int) -> list[Row]:
    """Return what can be acted on now to free a held task, in a row: first what the eye should find."""
    if board.readiness().states[task_id] != "held":
        return []
    named: list[str] = []
    for root in board.desk.roots_of(task_id):
        hold = root_hold(board, root)
        if hold is None:
            named.append(board.title(root))
        else:
            whose = "" if hold.task == task_id else f" of {board.title(hold.task)}"
            named.append(f"{HOLDS[hold.kind].word}{whose} ({lifted_by(board, hold)})")
    text = named[0] if named else "nothing but time"
    for count, name in enumerate(named[1:], start=1):
        more = f"; {len(named) - count} more"
        if len(text) + len(name) + len(more) + 18 > width:
            return wrapped(text + more, width, "good", "To act on now: ", "strong")
        text += f"; {name}"
    return wrapped(text, width, "good", "To act on now: ", "strong")


def assembly_rows(board: Board, assembly: str, width: int) -> list[Row]:
    """Return an assembly in a few rows: what can be worked on in it now."""
    states = board.readiness().states
    tasks = [task for task in board.project.plan.tasks if task.assembly == assembly]
    title = next((a.title for a in board.project.plan.assemblies if a.id == assembly), assembly)
    rows = wrapped(f"{title}: {len(tasks)} tasks. Enter opens it.", width, "title")
    now = [task for task in tasks if states[task.id] in ("ready", "under way")]
    if not now:
        done = all(states[task.id] == "done" for task in tasks)
        rows.append(row(say("everything is done" if done else "nothing in it can be worked on now", "dim")))
    for task in now:
        glyph = state_glyph(states[task.id], board.ascii_only)
        rows.append(row(say(" "), glyph, say(f" {cut(task.title, width - 4)}")))
    return rows


def found_rows(board: Board, words: str) -> list[Row]:
    """Return the tasks whose title, id or assembly holds all the words typed, open ones first.

    Without words: those that can be worked on now.
    """
    parts = words.casefold().split()
    states = board.readiness().states
    titles = {assembly.id: assembly.title for assembly in board.project.plan.assemblies}
    found: list[Task] = []
    for task in board.project.plan.tasks:
        text = f"{task.id} {task.title} {titles.get(task.assembly, '')}".casefold()
        fits = all(part in text for part in parts) if parts else states[task.id] in ("ready", "under way")
        if fits:
            found.append(task)
    found.sort(key=lambda task: states[task.id] == "done")
    rows: list[Row] = []
    for task in found[:FOUND]:
        runs: list[Run] = [say(" "), state_glyph(states[task.id], board.ascii_only), say(f" {task.title}")]
        rows.append(row(*runs, say(f"  {task.id}", "dim"), key=task.id))
    return rows
