"""An older file is brought up to date in whole steps, after a copy; a step that fails changes nothing."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

import pytest

from fitup.model.refusal import Refused
from fitup.store.migrations import bring_up
from fitup.store.opening import APPLICATION


def old_file(folder: Path) -> Path:
    """Make a file of an older schema: version 0, with one table."""
    path = folder / "old.fitup"
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA application_id = {APPLICATION}")
    connection.execute("CREATE TABLE job (name TEXT)")
    connection.execute("INSERT INTO job VALUES ('drill')")
    connection.commit()
    connection.close()
    return path


def rename(connection: sqlite3.Connection) -> None:
    """Turn version 0 into 1."""
    connection.execute("ALTER TABLE job RENAME TO task")


def count(connection: sqlite3.Connection) -> None:
    """Turn version 1 into 2."""
    connection.execute("ALTER TABLE task ADD COLUMN count INTEGER NOT NULL DEFAULT 1")


def broken(connection: sqlite3.Connection) -> None:
    """Change something, then fail."""
    connection.execute("DELETE FROM task")
    connection.execute("SELECT * FROM nowhere")


def content(path: Path) -> tuple[int, list[tuple[object, ...]]]:
    """Return a file's version and the rows of its only table."""
    connection = sqlite3.connect(path)
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (table,) = connection.execute("SELECT name FROM sqlite_master").fetchone()
    rows = connection.execute(f"SELECT * FROM {table}").fetchall()
    connection.close()
    return version, rows


def test_every_missing_step_runs_in_order_and_a_copy_of_the_old_file_stays(tmp_path: Path) -> None:
    path = old_file(tmp_path)
    copy = bring_up(path, {0: rename, 1: count}, 2)
    assert content(path) == (2, [("drill", 1)])
    assert copy is not None
    assert copy.parent == tmp_path
    assert copy.name.startswith("old-")
    assert copy.name.endswith("-version-0.fitup")
    assert content(copy) == (0, [("drill",)])
    assert bring_up(path, {0: rename, 1: count}, 2) is None
    assert len(os.listdir(tmp_path)) == 2


def test_a_step_that_fails_is_undone_whole_and_the_steps_before_it_stay(tmp_path: Path) -> None:
    path = old_file(tmp_path)
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        bring_up(path, {0: rename, 1: broken}, 2)
    assert content(path) == (1, [("drill",)])
    bring_up(path, {0: rename, 1: count}, 2)
    assert content(path) == (2, [("drill", 1)])


def test_a_file_too_old_or_too_new_is_refused_untouched(tmp_path: Path) -> None:
    path = old_file(tmp_path)
    before = path.read_bytes()
    with pytest.raises(Refused, match="file version 0, which this fitup cannot read any more"):
        bring_up(path, {1: count}, 2)
    bring_up(path, {0: rename}, 1)
    with pytest.raises(Refused, match="newer fitup"):
        bring_up(path, {}, 0)
    assert path.read_bytes() != before
