"""What each page shows: its head, its list, and the detail of the chosen row, as rows of text."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fitup.tui.board import Board
from fitup.tui.commands import COMMANDS, DRAWN, MOVES, PAGES, REVIEW, Command, look, tab_of
from fitup.tui.rows import Row, fill, row, say, wrapped
from fitup.tui.wording.bench import bench_rows, lay_rows
from fitup.tui.wording.common import detail_rows
from fitup.tui.wording.graph import assembly_rows, roots_rows
from fitup.tui.wording.graph import chosen_rows as task_rows
from fitup.tui.wording.holds import chosen_rows, hold_list
from fitup.tui.wording.morning import morning_rows
from fitup.tui.wording.review import review_detail, review_rows
from fitup.tui.wording.session import brief_rows, prepare_rows, sheet_rows, why_of
from fitup.tui.wording.tasks import task_list
from fitup.tui.wording.waiting import waiting_head, waiting_rows, workable

STRIP = {"Session": 4, "Tasks": 7, "Holds": 5, "Bench": 3, "Graph": 5, "Inside": 5, "Whole": 4, REVIEW: 9}
"""Rows of detail under the list, where there is no room beside it."""

Listing = tuple[Sequence[str], Callable[[int], Row]]


def head(board: Board, page: str, width: int) -> list[Row]:
    """Return the rows above the list."""
    if page != "Session":
        return []
    return waiting_head(board, width) if board.waiting else morning_rows(board, width)


def listing(board: Board, page: str, width: int) -> Listing:
    """Return the keys of the page's list and how to draw its rows."""
    if page == "Tasks":
        return task_list(board, width)
    if page == "Holds":
        return hold_list(board, width)
    if page == "Session" and board.waiting:
        return workable(board, width)
    if page == "Bench" and board.waiting:
        rows = waiting_rows(width)
    elif page == "Session":
        rows = sheet_rows(board, width)
    elif page == "Bench":
        rows = bench_rows(board, width)
    elif page == REVIEW:
        rows = review_rows(board, width)
    else:
        rows = help_rows(width)
    return [row.key for row in rows], rows.__getitem__


def detail(board: Board, page: str, key: str, width: int, brief: bool) -> list[Row]:
    """Return all about the chosen row; `brief` puts first what must not be missed."""
    if not key:
        return []
    if page == "Holds":
        return chosen_rows(board, key, width)
    if page == "Bench":
        return lay_rows(board, key, width)
    if page == REVIEW:
        return review_detail(board, key, width)
    if page == "Whole":
        return assembly_rows(board, key, width)
    here = look(board, page, key)
    if here.task is None:
        return prepare_rows(board, key, width) if page == "Session" else []
    if page in DRAWN and brief:
        return task_rows(board, key, width)
    if page in DRAWN:
        return [*roots_rows(board, key, width), *detail_rows(board, key, width)]
    if page == "Session":
        return brief_rows(board, here.task.id, width) if brief else _at_length(board, here.task.id, width)
    return detail_rows(board, here.task.id, width)


def _at_length(board: Board, task_id: str, width: int) -> list[Row]:
    return detail_rows(board, task_id, width, why_of(board, task_id))


def help_rows(width: int) -> list[Row]:
    """Return the help page: every command by where it works, then the keys that move."""
    rows: list[Row] = []
    places = {command: {tab_of(page) for page in command.where} for command in COMMANDS}
    rows += _help_section("Keys on several pages", [c for c in COMMANDS if len(places[c]) > 2], width)
    for name in (*(name for _, name in PAGES), REVIEW):
        own = [command for command in COMMANDS if len(places[command]) <= 2 and name in places[command]]
        rows += _help_section(f"On the page {name}", own, width)
    rows.append(row(say(" Moving about", "section")))
    for keys, words in MOVES:
        rows += wrapped(words, width - 2, "", f"  {keys}: ", "key")
    return rows


def _help_section(heading: str, commands: Sequence[type[Command]], width: int) -> list[Row]:
    if not commands:
        return []
    rows = [row(say(f" {heading}", "section"))]
    for command in commands:
        lead = f"  {fill(command.key_words(), 6)}{fill(command.word, 14)}"
        rows += wrapped(command.help(), width - 2, "", lead, "key")
    return rows
