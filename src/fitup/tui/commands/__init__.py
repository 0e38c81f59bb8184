"""All commands, in the order in which they stand in the key line and on the help page."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitup.tui.commands import acts, graph, moving, review, session
from fitup.tui.commands.base import (
    DRAWN,
    EVERYWHERE,
    PAGES,
    REVIEW,
    TASK_VIEWS,
    VIEWS,
    Command,
    Face,
    Here,
    look,
    tab_of,
)

COMMANDS: tuple[type[Command], ...] = (
    acts.Do,
    review.ToTask,
    session.Minutes,
    session.Helper,
    session.Begin,
    session.LeftOut,
    acts.Undo,
    graph.Open,
    graph.Find,
    graph.Narrow,
    graph.PlainList,
    moving.AllTasks,
    graph.WholePlan,
    acts.Lift,
    acts.Sign,
    moving.Detail,
    graph.NextReady,
    graph.NextHeld,
    graph.CriticalChain,
    graph.Back,
    graph.Middle,
    acts.Tick,
    acts.Measure,
    acts.LayOut,
    acts.Waive,
    session.Degrees,
    acts.Note,
    acts.Clock,
    session.First,
    session.NotToday,
    acts.Reopen,
    acts.Again,
    acts.Cure,
    acts.Stop,
    acts.Photo,
    acts.Arrived,
    acts.Stock,
    acts.Redo,
    acts.SessionClock,
    session.PlanAgain,
    moving.SessionPage,
    moving.GraphPage,
    moving.HoldsPage,
    moving.BenchPage,
    review.ReviewPage,
    review.Sums,
    moving.Theme,
    moving.Help,
    moving.Palette,
    moving.Quit,
)
"""Everything that can be done by a key."""

MOVES = (
    ("up, down", "choose a row; in the panel, another field"),
    ("arrows", "in a drawing: up and down along an edge, left and right to the next box of the level"),
    ("page up, page down, home, end", "move by screenfuls, to the first or the last row"),
    ("Ctrl-U", "in the panel: clear the field"),
    ("F4", "in the panel: leave it with nothing done"),
)
"""Keys that are not commands, for the help page."""

__all__ = [
    "COMMANDS",
    "DRAWN",
    "EVERYWHERE",
    "MOVES",
    "PAGES",
    "REVIEW",
    "TASK_VIEWS",
    "VIEWS",
    "Command",
    "Face",
    "Here",
    "by_key",
    "by_name",
    "key_words",
    "look",
    "matching",
    "tab_of",
]


def by_name(name: str) -> type[Command]:
    """Return the command of a name; raises `KeyError` for none."""
    return {command.name(): command for command in COMMANDS}[name]


def by_key(key: str, page: str) -> type[Command] | None:
    """Return the command that a key stands for on a page; where none does, one of another page."""
    named = [command for command in COMMANDS if command.key == key]
    return next((command for command in named if page in command.where), named[0] if named else None)


@cache
def _choosable(page: str) -> tuple[type[Command], ...]:
    """Return the commands of a page that may stand in its key line."""
    return tuple(c for c in COMMANDS if not c.always and not c.key.isdigit() and page in c.where)


def key_words(here: Here) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Return the key line: what applies to the chosen row, and what always does; on the help page the way out.

    While the detail is read, the way back comes first. What the first key that applies does already, such as
    Enter, is not told again for another.
    """
    always = [(command.key_words(), command.word) for command in COMMANDS if command.always]
    if here.page == "Help":
        return [(moving.Help.key_words(), "back to your page"), ("Up/Down, PgUp/PgDn", "scroll")], always[1:]
    first = [
        (command.key_words(), command.shown(here).ljust(command.room))
        for command in sorted(_choosable(here.page), key=lambda command: here.reading and command is not moving.Detail)
        if command.applies(here)
    ]
    words = [word.strip() for _, word in first]
    return [told for at, told in enumerate(first) if words[at] not in words[:at]], always


def matching(words: str, here: Here) -> list[type[Command]]:
    """Return the commands whose key, word or help holds all the words typed; those that apply here first."""
    parts = words.casefold().split()

    def holds(command: type[Command]) -> bool:
        text = f"{command.name()} {command.word} {command.help()}".casefold()
        return all(part in text for part in parts)

    def rank(command: type[Command]) -> tuple[bool, bool]:
        named = bool(parts) and command.word.casefold().startswith(parts[0])
        return not named, not command.applies(here)

    found: Iterable[type[Command]] = (c for c in COMMANDS if here.page in c.where and holds(c))
    return sorted(found, key=rank)
