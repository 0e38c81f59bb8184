"""Is a project file sound? SQLite's own checks, and the journal replayed against the tables, value by value."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from fitup.model.amounts import clean
from fitup.model.apply import fold
from fitup.model.edits import Entry
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.store import shapes as s
from fitup.store.codec import read_entry
from fitup.store.plan_rows import read_plan
from fitup.store.progress_rows import read_progress

_MOST = 20
"""How many differences of one kind are named before the rest is only counted."""


def check(connection: sqlite3.Connection) -> list[str]:
    """Return what is wrong, one sentence each; the connection is inside a transaction."""
    found = _structure(connection)
    try:
        tables = Project(read_plan(connection), read_progress(connection))
        replayed = _replay(connection)
    except (Refused, ValueError, OverflowError, sqlite3.DatabaseError) as wrong:
        return [*found, clean(str(wrong))]
    return found + differences(tables, replayed)


def _structure(connection: sqlite3.Connection) -> list[str]:
    """Return what SQLite itself finds wrong."""
    found = []
    try:
        for (line,) in connection.execute(f"PRAGMA integrity_check({_MOST})"):
            if line != "ok":
                found.append(f"SQLite finds damage: {clean(str(line))}")
        for table, row, owner, _ in connection.execute("PRAGMA foreign_key_check"):
            found.append(f"table {table}: row {row} belongs to something in {owner} that is not there")
    except sqlite3.DatabaseError as wrong:
        if not (getattr(wrong, "sqlite_errorname", None) or "").startswith("SQLITE_CORRUPT"):
            raise
        found.append(f"SQLite finds damage: {clean(str(wrong))}")
    except UnicodeDecodeError:
        found.append("SQLite finds damage: text that is none")
    return found


def _replay(connection: sqlite3.Connection) -> Project:
    """Replay the journal; raises `Refused` where it cannot be."""
    entries: list[Entry] = []
    for row in s.ENTRY.read(connection):
        entries.append(read_entry(*row))
        if entries[-1].number != len(entries):
            raise Refused(f"the journal has no entry {len(entries)}: what comes next is {entries[-1].number}")
    try:
        return fold(entries).project
    except (LookupError, TypeError, ValueError, ArithmeticError) as wrong:
        raise Refused(f"the journal cannot be replayed: an entry does not fit those before it ({wrong!r})") from wrong


def differences(tables: Project, replayed: Project) -> list[str]:
    """Return a sentence for each value in which the tables differ from the journal."""
    found = []
    for word, one, other in (
        ("plan", tables.plan, replayed.plan),
        ("progress", tables.progress, replayed.progress),
    ):
        for field in fields(one):
            here, there = getattr(one, field.name), getattr(other, field.name)
            if here != there:
                found += _named(f"{word}, {field.name}", here, there)
    return found


def _named(where: str, here: Any, there: Any) -> list[str]:
    one, other = _by_key(here), _by_key(there)
    keys = [key for key in dict.fromkeys([*one, *other]) if one.get(key) != other.get(key)]
    said = [
        f"{where}, {clean(_key(key))}: the tables have {_short(one.get(key))}, the journal {_short(other.get(key))}"
        for key in keys[:_MOST]
    ]
    if len(keys) > _MOST:
        said.append(f"{where}: {len(keys) - _MOST} more differences")
    return said or [f"{where}: the tables have another order than the journal"]


def _by_key(value: Any) -> Mapping[Any, Any]:
    """Return the parts of a value by what names them: a key, an id, or the place in a list."""
    if isinstance(value, Mapping):
        return value
    if isinstance(value, frozenset):
        return dict.fromkeys(value, "laid out")
    if isinstance(value, tuple):
        return {getattr(part, "id", place): part for place, part in enumerate(value)}
    return {"": value}


def _key(key: Any) -> str:
    return " ".join(str(part) for part in key) if isinstance(key, tuple) else str(key)


def _short(value: Any) -> str:
    if value is None:
        return "nothing"
    text = clean(repr(value))
    return text if len(text) <= 160 else f"{text[:157]}..."
