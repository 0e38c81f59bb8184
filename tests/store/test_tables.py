"""Reading and writing name the same columns, and opening a file brings in nothing slow."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from pathlib import Path

from tests.store.shelf import edit, make, tick

from fitup.model.plan import Hold, Plan, Task
from fitup.store import shapes as s
from fitup.store.project import ProjectFile
from fitup.store.writing import TABLES

OPEN = """
import sys
from pathlib import Path
from fitup.store.project import ProjectFile
with ProjectFile.open(Path(sys.argv[1])) as file:
    assert len(file.project.plan.tasks) == 2000
    assert not file.changed()
    assert file.undo_target() is None
    assert file.check() == []
print(" ".join(sorted({name.partition(".")[0] for name in sys.modules})))
"""


def test_the_shapes_name_the_columns_of_the_tables_in_their_order() -> None:
    kinds = {"VARCHAR": "text", "INTEGER": "int", "FLOAT": "real"}
    assert set(TABLES) == set(s.SHAPES)
    for name, table in TABLES.items():
        columns = [
            (column.name, kinds[str(column.type)] + ("?" if column.nullable else "")) for column in table.columns
        ]
        shape = s.SHAPES[name]
        assert list(zip(shape.columns, shape.kinds, strict=True)) == columns, name
        assert [column.name for column in table.primary_key.columns] == list(shape.columns[: shape.keys]), name


def test_a_file_says_what_it_is_and_is_kept_safely(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        edit(file, tick())
        asked = {
            name: file._connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in (
                "application_id",
                "user_version",
                "foreign_keys",
                "synchronous",
                "journal_mode",
                "busy_timeout",
            )
        }
    assert asked == {
        "application_id": 0x46745570,
        "user_version": 1,
        "foreign_keys": 1,
        "synchronous": 2,
        "journal_mode": "delete",
        "busy_timeout": 5000,
    }


def test_what_belongs_to_a_task_cannot_outlive_it(tmp_path: Path) -> None:
    make(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "flap.fitup")
    connection.execute("PRAGMA foreign_keys = ON")
    owned = {name for name in TABLES if connection.execute(f"PRAGMA foreign_key_list({name})").fetchall()}
    connection.close()
    assert owned == {"lot", "need", "fastening", "hold", "time_window", "loan", "occupation", "check_rule"}


def test_opening_and_reading_2000_tasks_imports_nothing_slow(tmp_path: Path) -> None:
    tasks = tuple(
        Task(f"t{n}", f"Task {n}", "flap", "drill", holds=(Hold("after", f"t{n - 1}"),) if n else ())
        for n in range(2000)
    )
    ProjectFile.create(tmp_path / "big.fitup", Plan(tasks=tasks), "Robin", make(tmp_path).journal()[0].at).close()
    done = subprocess.run(
        [sys.executable, "-c", OPEN, str(tmp_path / "big.fitup")], capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.split())
    assert "sqlite3" in loaded
    assert not loaded & {"sqlmodel", "sqlalchemy", "pydantic", "textual", "rich", "ortools", "asyncio", "numpy"}
