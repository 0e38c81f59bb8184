"""The Tasks page: the plan's tasks as a list that can be narrowed."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fitup.model.amounts import clean, stretch
from fitup.model.marks import STATES
from fitup.model.plan import Task
from fitup.tui.rows import Row, fill, row, say
from fitup.tui.wording.common import progress_words, state_glyph

if TYPE_CHECKING:
    from fitup.tui.board import Board

CRITICAL = "critical"
"""Stands among the states of the filter for the tasks of the critical chain."""


SLIM = 56
"""Columns below which the list shows mark and title only."""


def matching(board: Board) -> list[Task]:
    """Return the tasks that pass the filter, in plan order.

    Words are looked for as they stand; only where no task holds them so, one by one in any order.
    """
    wanted = board.filter
    states = board.readiness().states
    phrase = " ".join(wanted.words.casefold().split())
    critical = board.desk.chain().critical if wanted.state == CRITICAL else frozenset()
    assemblies = {assembly.id: assembly.title for assembly in board.project.plan.assemblies}

    def passes(task: Task, words: list[str]) -> bool:
        if wanted.state == CRITICAL and (task.id not in critical or states[task.id] == "done"):
            return False
        if wanted.state and wanted.state not in (CRITICAL, states[task.id]):
            return False
        if (wanted.assembly and task.assembly != wanted.assembly) or (wanted.work and task.work != wanted.work):
            return False
        text = f"{task.id} {task.title} {assemblies.get(task.assembly, '')}".casefold()
        return all(word in text for word in words)

    tasks = board.project.plan.tasks
    found = [task for task in tasks if passes(task, [phrase])]
    return found or [task for task in tasks if passes(task, phrase.split())]


def filter_words(board: Board) -> str:
    """Return the filter in words, "" when all tasks are listed."""
    wanted = board.filter
    plan = board.project.plan
    parts = []
    if wanted.words:
        parts.append(f"with {wanted.words!r}")
    if wanted.state:
        parts.append("on the critical chain" if wanted.state == CRITICAL else STATES[wanted.state].word)
    if wanted.assembly:
        parts.append(next((a.title for a in plan.assemblies if a.id == wanted.assembly), wanted.assembly))
    if wanted.work:
        parts.append(plan.work[wanted.work].title if wanted.work in plan.work else wanted.work)
    return clean(", ".join(parts))


def task_list(board: Board, width: int) -> tuple[list[str], Callable[[int], Row]]:
    """Return the list's keys and how to draw one of its rows; the first row is the heading."""
    tasks = matching(board)
    states = board.readiness().states
    remaining = board.desk.remaining()
    chain = board.desk.chain()
    works = board.project.plan
    roomy, slim = width >= 92, width < SLIM
    title = max(8, width - (58 if roomy else 5 if slim else 36))

    def draw(index: int) -> Row:
        if index == 0:
            told = filter_words(board)
            total = len(works.tasks)
            count = f"{len(tasks)} of {total} tasks" + (f": {told}" if told else "")
            work = fill("Work", 22) if roomy else ""
            columns = "" if slim else f"{'Count':>12}{'Left':>9} {'':10}"
            return row(say(f" {fill(count, title + 3)}{work}{columns}", "section"))
        task = tasks[index - 1]
        state = states[task.id]
        left = remaining.get(task.id, 0)
        critical = task.id in chain.critical and state != "done"
        runs = [
            say(" "),
            state_glyph(state, board.ascii_only),
            say("*" if critical else " ", "accent"),
            say(" "),
            say(fill(task.title, title - 1), "dim" if state == "done" else "strong" if critical else ""),
        ]
        if roomy:
            runs.append(say(" " + fill(works.work_of(task).title, 21), "dim"))
        if slim:
            return row(*runs, key=task.id)
        runs.append(say(fill(progress_words(board, task), 12, right=True)))
        runs.append(say(fill(stretch(left) if left else "", 9, right=True), "dim"))
        runs.append(say(" " + fill(STATES[state].word, 9), "dim"))
        return row(*runs, key=task.id)

    return ["", *(task.id for task in tasks)], draw
