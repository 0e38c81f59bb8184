"""Rows of text for the screens: runs with a role, measured in terminal cells.

All wording is made of these values, so that it can be tested without a terminal. Roles are named
by meaning; `fitup.tcss` says how each looks.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from rich.cells import cell_len, set_cell_size

from fitup.model.amounts import clean
from fitup.model.frozen import dataclass

ROLES = (
    "dim",
    "strong",
    "title",
    "section",
    "good",
    "warn",
    "bad",
    "accent",
    "key",
    "tab",
    "tab-on",
    "field",
    "caret",
    "closing",
)
"""What a run may mean; "" is plain text."""

CUT = "…"
"""Shown in the last cell of a text that is cut short."""


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text in one role."""

    text: str
    role: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a list; rows with a `key` can be chosen."""

    runs: tuple[Run, ...] = ()
    key: str = ""

    @property
    def text(self) -> str:
        """The row's text without its roles."""
        return "".join(run.text for run in self.runs)


BLANK = Row()


def fit(text: str) -> str:
    """Return text cleaned for a terminal; printable text is taken as it is, which is quick."""
    return text if text.isprintable() else clean(text)


def say(text: str, role: str = "") -> Run:
    """Return a run of cleaned text."""
    return Run(fit(text), role)


def row(*runs: Run | str, key: str = "") -> Row:
    """Return a row of runs; plain strings are cleaned."""
    return Row(tuple(run if isinstance(run, Run) else say(run) for run in runs), key)


def cut(text: str, width: int) -> str:
    """Return cleaned text of at most `width` cells, its last cell telling that some is missing."""
    text = fit(text)
    if width <= 0:
        return ""
    if cell_len(text) <= width:
        return text
    return set_cell_size(text, width - 1).rstrip() + CUT


def fill(text: str, width: int, right: bool = False) -> str:
    """Return cleaned text of exactly `width` cells, cut or padded."""
    text = cut(text, width)
    room = " " * max(0, width - cell_len(text))
    return room + text if right else text + room


def wrap(text: str, width: int) -> list[str]:
    """Return cleaned text in lines of at most `width` cells, broken at spaces where there are any."""
    lines: list[str] = []
    line = ""
    width = max(1, width)
    for word in clean(text).split():
        while cell_len(word) > width:
            room = width - cell_len(line) - 1 if line else width
            if room < 8 and line:
                lines.append(line)
                line, room = "", width
            piece = set_cell_size(word, room).rstrip()
            lines.append(f"{line} {piece}".strip())
            line, word = "", word[len(piece) :]
        if not word:
            continue
        if line and cell_len(line) + 1 + cell_len(word) > width:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line] if line else lines or [""]


def wrapped(text: str, width: int, role: str = "", lead: str = "", lead_role: str = "dim") -> list[Row]:
    """Return rows of wrapped text behind a lead; further lines are set in under the text."""
    inset = cell_len(lead)
    lines = wrap(text, max(8, width - inset))
    rows = [row(say(lead, lead_role), say(lines[0], role))] if lead else [row(say(lines[0], role))]
    rows += [row(" " * inset, say(line, role)) for line in lines[1:]]
    return rows


def spread(left: Iterable[Run], right: Iterable[Run], width: int) -> Row:
    """Return a row with runs at its left and, where there is room, at its right edge."""
    left, right = list(left), list(right)
    used = sum(cell_len(run.text) for run in (*left, *right))
    if used + 1 > width:
        return Row(tuple(left))
    return Row((*left, Run(" " * (width - used)), *right))


_PLAIN = {
    "…": "~",
    "·": "-",
    "→": ">",
    "←": "<",
    "↑": "^",
    "↓": "v",
    "│": "|",
    "─": "-",
    "×": "x",
    "√": "x",
    "–": "-",
    "—": "-",
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
    "±": "?",
    "ß": "s",
    "ø": "o",
    "Ø": "O",
    "æ": "a",
    "µ": "u",
}


def plain(text: str) -> str:
    """Return text in ASCII, cell for cell: accents are dropped, what has no likeness becomes "?"."""
    if text.isascii():
        return text
    out: list[str] = []
    for character in text:
        if character.isascii():
            out.append(character)
        elif character in _PLAIN:
            out.append(_PLAIN[character])
        else:
            cells = cell_len(character)
            likeness = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode()
            out.append((likeness if len(likeness) == cells else "?" * cells) if cells else "")
    return "".join(out)
