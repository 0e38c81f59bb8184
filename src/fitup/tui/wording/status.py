"""The lines that are always there: pages, status, keys."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import timedelta
from typing import TYPE_CHECKING

from rich.cells import cell_len

from fitup.model.amounts import clock, day_clock, degrees
from fitup.tui.rows import Row, Run, cut, row, say, spread
from fitup.tui.wording.morning import cures

if TYPE_CHECKING:
    from fitup.tui.board import Board

SOON = timedelta(hours=12)
"""How far ahead the status line tells of a cure."""


def tabs_row(pages: Sequence[tuple[str, str]], here: str, extra: str, width: int) -> Row:
    """Return the page names with their keys, the one looked at set off, and the project at the right."""
    left: list[Run] = []
    for key, name in pages:
        left.append(say(f" {key} {name} ", "tab-on" if name == here else "tab"))
    if all(name != here for _, name in pages):
        left.append(say(f" {here} ", "tab-on"))
    used = sum(cell_len(run.text) for run in left)
    room = width - used - 2
    if room < 0:
        return row(say(cut(f" {here}", width), "tab-on"))
    return spread(left, [say(cut(extra, room) + " ", "tab")] if room > 8 else [], width)


def status_row(board: Board, width: int) -> Row:
    """Return the project, the shop's temperature, running clocks and the cures that end soon."""
    now = board.now
    parts = [say(f" {board.project.plan.title or board.desk.path.name}", "strong")]
    readings = board.project.progress.temperatures
    if readings:
        parts.append(say(f"shop {degrees(readings[-1].celsius)} ({day_clock(readings[-1].at, now)})"))
    for task_id, (begin, _) in board.project.progress.clocks.items():
        name = board.title(task_id) if task_id else "session"
        parts.append(say(f"clock on {cut(name, 24)} since {clock(begin)}", "accent"))
    for when, title in cures(board)[:2]:
        if when - now <= SOON:
            parts.append(say(f"cured {day_clock(when, now)}: {cut(title, 28)}", "accent"))
    runs: list[Run] = []
    room = width
    for part in parts:
        gap = " | " if runs else ""
        text = cut(part.text, room - len(gap))
        if room - len(gap) < 6:
            break
        runs += [say(gap, "dim"), Run(text, part.role)]
        room -= len(gap) + cell_len(text)
    return row(*runs)


def key_row(words: Iterable[tuple[str, str]], always: Iterable[tuple[str, str]], width: int) -> Row:
    """Return the keys that apply here, as many as fit, those that always apply at the right."""
    right = [run for key, word in always for run in (say(f" {key}", "key"), say(f" {word}", "dim"))]
    room = width - sum(cell_len(run.text) for run in right) - 1
    left: list[Run] = []
    for key, word in words:
        size = cell_len(key) + cell_len(word) + 2
        if size > room:
            break
        left += [say(f" {key}", "key"), say(f" {word}")]
        room -= size
    if room < 0:
        return row(*right[: max(2, width // 8)])
    return spread(left, right, width)
