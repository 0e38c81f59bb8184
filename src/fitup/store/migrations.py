"""Bringing an older project file up to the present version, step by step, each kept or undone as a whole.

A step is a function on the open connection that turns version n into n + 1; it is listed under n and never edited
once released. It uses plain SQL, since the classes in `tables.py` are those of the newest version only. Before
the first step a dated copy of the file is made beside it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeAlias

from fitup.model.refusal import Refused
from fitup.store.copying import copy_beside
from fitup.store.opening import VERSION, connect, recognise, shown

Step: TypeAlias = Callable[[sqlite3.Connection], None]

STEPS: Mapping[int, Step] = {}
"""What brings version n to n + 1. Version 1 is the first."""


def bring_up(path: Path, steps: Mapping[int, Step] = STEPS, newest: int = VERSION) -> Path | None:
    """Bring the file up to `newest`; return the copy made before, or None where nothing was to be done.

    Raises `Refused` where the file is not ours, newer, or so old that a step is missing; sqlite3.Error as it comes.
    A step that fails leaves the file at the version before it.
    """
    connection = connect(path)
    try:
        version = recognise(connection, path, newest)
        if version == newest:
            return None
        if missing := [n for n in range(version, newest) if n not in steps]:
            raise Refused(f"{shown(path)} has file version {missing[0]}, which this fitup cannot read any more")
        copy = copy_beside(connection, path, datetime.now(UTC), f"version-{version}")
        for n in range(version, newest):
            _step(connection, n, steps[n])
        return copy
    finally:
        connection.close()


def _step(connection: sqlite3.Connection, n: int, step: Step) -> None:
    """Run one step and the change of version in one transaction; another program may have run it meanwhile."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        if version == n:
            step(connection)
            connection.execute(f"PRAGMA user_version = {n + 1}")
        connection.execute("COMMIT")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
