"""Writing to a project file through SQLModel's tables. Imported on the first write only: SQLModel is slow to load."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator
from functools import cache

from sqlalchemy import Connection, Delete, Table, bindparam, create_engine, event
from sqlalchemy.dialects.sqlite import Insert, insert
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import StaticPool
from sqlmodel import SQLModel

from fitup.model.edits import Entry
from fitup.store import shapes as s
from fitup.store import tables as tables
from fitup.store import tables_progress as tables_progress
from fitup.store.cells import instant_cell
from fitup.store.codec import act_json
from fitup.store.progress_rows import RowChanges
from fitup.store.shapes import Row, Shape

TABLES: dict[str, Table] = {name: SQLModel.metadata.tables[name] for name in s.SHAPES}
"""Every table of a project file by name."""


class Writer:
    """SQLModel's hand on an open sqlite3 connection; every turn is one BEGIN IMMEDIATE transaction."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        """Put an engine upon the connection; the connection stays its owner's."""
        self._engine = create_engine("sqlite://", creator=lambda: connection, poolclass=StaticPool)
        # The first connection of an engine asks SQLite things and rolls back: never inside a turn.
        self._engine.connect().close()
        event.listen(self._engine, "begin", _begin)

    @contextlib.contextmanager
    def turn(self) -> Iterator[Connection]:
        """Hold the write lock; what was written is kept at the end, or undone when an error leaves.

        Raises sqlite3.Error, as reading does.
        """
        try:
            with self._engine.begin() as writing:
                yield writing
        except DBAPIError as error:
            if isinstance(error.orig, sqlite3.Error):
                raise error.orig from None
            raise

    def close(self) -> None:
        """Let go of the engine; this closes the connection too."""
        self._engine.dispose()

    def make_tables(self) -> None:
        """Make the schema, all tables or none."""
        with self.turn() as writing:
            SQLModel.metadata.create_all(writing, tables=list(TABLES.values()))


def _begin(writing: Connection) -> None:
    writing.exec_driver_sql("BEGIN IMMEDIATE")


def write(writing: Connection, changes: RowChanges, entry: Entry) -> None:
    """Bring the tables up to date and add one journal entry."""
    row = (entry.number, instant_cell(entry.at), entry.by, entry.name, act_json(entry.act))
    for shape, keys in changes.remove.items():
        _remove(writing, shape, keys)
    for shape, rows in changes.put.items():
        _put(writing, shape, rows)
    writing.execute(TABLES[s.ENTRY.table].insert(), dict(zip(s.ENTRY.columns, row, strict=True)))


def _put(writing: Connection, shape: Shape, rows: list[Row]) -> None:
    """Write rows, in place of those with the same key."""
    writing.execute(_putting(shape.table), [dict(zip(shape.columns, row, strict=True)) for row in rows])


def _remove(writing: Connection, shape: Shape, keys: list[Row]) -> None:
    names = [f"key_{name}" for name in shape.columns[: shape.keys]]
    writing.execute(_removing(shape.table), [dict(zip(names, key, strict=True)) for key in keys])


@cache
def _putting(name: str) -> Insert:
    shape = s.SHAPES[name]
    adding = insert(TABLES[name])
    rest = shape.columns[shape.keys :]
    if not rest:
        return adding.on_conflict_do_nothing()
    return adding.on_conflict_do_update(
        index_elements=list(shape.columns[: shape.keys]), set_={column: adding.excluded[column] for column in rest}
    )


@cache
def _removing(name: str) -> Delete:
    shape, table = s.SHAPES[name], TABLES[name]
    return table.delete().where(
        *(table.c[column] == bindparam(f"key_{column}") for column in shape.columns[: shape.keys])
    )
