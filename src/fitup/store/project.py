"""A project file, open: the project as frozen values, and the one way to change it.

Every change is one transaction that takes the write lock first, takes in what another program wrote, and then
writes the rows that differ together with one entry of the journal. Opening and reading use sqlite3 alone; what
writes, copies and checks is imported when it is first asked for.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING, Self

from fitup.model.plan import Plan
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.store import shapes as s
from fitup.store.opening import (
    APPLICATION,
    VERSION,
    connect,
    keeping,
    look_at,
    put_in_place,
    reading,
    recognise,
    shown,
    telling,
)
from fitup.store.plan_rows import plan_number, read_plan
from fitup.store.progress_rows import read_progress, row_changes

if TYPE_CHECKING:
    from fitup.model.apply import Fold
    from fitup.model.edits import Act, Entry
    from fitup.store.writing import Writer


class ProjectFile:
    """One open project file. `project` is the state last read or written, `last_entry` the entry it follows."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        """Wrap a recognised, open file and read it; use `open` or `create`."""
        self.path = path
        self.project = Project()
        self.last_entry = 0
        self._connection = connection
        self._writer: Writer | None = None
        self._lock = RLock()
        self._identity = _identity(path)
        self._plan_number = 0
        self._seen = -1
        self._entries: list[Entry] = []
        self._fold: tuple[int, Fold] | None = None
        self.reload()

    @classmethod
    def create(cls, path: Path, plan: Plan, by: str, at: datetime) -> Self:
        """Make a project file with `plan` as its first entry and open it.

        Raises `Refused` where there is a file already or none can be made; nothing is then left behind.
        """
        from fitup.store.copying import making_name, refuse_odd_name

        refuse_odd_name(path)
        if not path.parent.is_dir():
            raise Refused(f"there is no folder {shown(path.parent)}; make it first")
        if os.path.lexists(path):
            raise _taken(path)
        making = making_name(path)
        try:
            with telling(path):
                _make(making, plan, by, at)
            put_in_place(making, path)
        except FileExistsError:
            raise _taken(path) from None
        except OSError as error:
            raise Refused(f"{shown(path)} cannot be made there ({error.strerror}); give another folder") from error
        finally:
            making.unlink(missing_ok=True)
        return cls.open(path)

    @classmethod
    def open(cls, path: Path) -> Self:
        """Open a project file; an older one is brought up to date first, a copy of it kept beside it.

        Raises `Refused` where it is missing, not ours, newer, damaged or in use.
        """
        look_at(path)
        with telling(path), ExitStack() as unless_opened:
            connection = connect(path)
            unless_opened.callback(connection.close)
            if recognise(connection, path, VERSION) < VERSION:
                from fitup.store.migrations import bring_up

                bring_up(path)
            made = cls(path, connection)
            unless_opened.pop_all()
            return made

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            if self._writer is not None:
                self._writer.close()
            self._connection.close()

    def __enter__(self) -> Self:
        """Return the open file, to be closed at the end of a with block."""
        return self

    def __exit__(self, *_: object) -> None:
        """Let go of the file."""
        self.close()

    # -- reading -----------------------------------------------------------------------------

    def changed(self) -> bool:
        """Return whether another program wrote since the project was last read; takes microseconds."""
        with self._lock, telling(self.path):
            return self._data_version() != self._seen

    def reload(self) -> Project:
        """Take in the newest state and return it; the plan stays the same object where it did not change."""
        with self._lock, telling(self.path):
            self._connection.execute("BEGIN")
            try:
                self._read()
            finally:
                self._connection.execute("ROLLBACK")
        return self.project

    def _read(self) -> None:
        """Read the newest state; inside a transaction, so that it is of one piece."""
        with reading(self.path):
            last = self._newest()
            seen = self._data_version()
            number = plan_number(self._connection)
            plan = self.project.plan if number == self._plan_number else read_plan(self._connection)
            self.project = Project(plan, read_progress(self._connection))
            self.last_entry, self._plan_number, self._seen = last, number, seen

    def _newest(self) -> int:
        number: int = self._connection.execute("SELECT coalesce(max(number), 0) FROM entry").fetchone()[0]
        return number

    def _data_version(self) -> int:
        version: int = self._connection.execute("PRAGMA data_version").fetchone()[0]
        return version

    def journal(self) -> list[Entry]:
        """Return the entries that `project` follows from, oldest first."""
        from fitup.store.codec import read_entry

        with self._lock, reading(self.path):
            known = self._entries[-1].number if self._entries else 0
            rows = self._connection.execute(
                "SELECT number, at, by, name, edit FROM entry WHERE number > ? AND number <= ? ORDER BY number",
                (known, self.last_entry),
            ).fetchall()
            self._entries.extend(read_entry(*row) for row in rows)
            return self._entries[:]

    def folded(self) -> Project:
        """Return the journal replayed from empty."""
        return self._folded().project

    def _folded(self) -> Fold:
        from fitup.model.apply import fold

        with self._lock:
            if self._fold is None or self._fold[0] != self.last_entry:
                self._fold = (self.last_entry, fold(self.journal()))
            return self._fold[1]

    def undo_target(self) -> Entry | None:
        """Return the entry that an undo would take back; the first one, which brought the plan, stays."""
        undoable = self._folded().undoable
        return undoable[0] if undoable and undoable[0].number > 1 else None

    def redo_target(self) -> Entry | None:
        """Return the entry that a redo would make again."""
        redoable = self._folded().redoable
        return redoable[0] if redoable else None

    # -- writing -----------------------------------------------------------------------------

    def write(self, resolve: Callable[[Project], tuple[Act, Project]], by: str, at: datetime) -> Entry:
        """Write one act: `resolve` gets the newest project and returns the act and the project after it.

        What `resolve` raises leaves everything as it was; so does every `Refused` from here.
        """
        return self._write(resolve, by, at)

    def step(self, turn: Callable[[], Act], by: str, at: datetime) -> Entry:
        """Write an undo or redo: `turn` returns it, and may look at this file, which is up to date by then."""
        from fitup.model.apply import fold
        from fitup.model.edits import Entry, Redo, Undo

        after: Fold | None = None

        def resolve(project: Project) -> tuple[Act, Project]:
            nonlocal after
            act = turn()
            target = self.undo_target() if isinstance(act, Undo) else self.redo_target()
            if not isinstance(act, Undo | Redo) or target is None:
                raise Refused(f"there is nothing to {'undo' if isinstance(act, Undo) else 'redo'}")
            after = fold([*self.journal(), Entry(self.last_entry + 1, at, by, act)])
            # The same plan stays the same object, and with it what was worked out from it.
            plan = project.plan if after.project.plan == project.plan else after.project.plan
            return act, Project(plan, after.project.progress)

        with self._lock:
            entry = self._write(resolve, by, at)
            if after is not None:
                self._fold = (entry.number, after)
            return entry

    def _write(self, resolve: Callable[[Project], tuple[Act, Project]], by: str, at: datetime) -> Entry:
        from fitup.model.edits import Entry
        from fitup.store.writing import write

        with self._lock, telling(self.path):
            with self._ready_writer().turn() as writing:
                self._still_there()
                if self._data_version() != self._seen or self._newest() != self.last_entry:
                    self._read()
                act, project = resolve(self.project)
                entry = Entry(self.last_entry + 1, at, by, act)
                changes = row_changes(self.project, project, entry.number)
                with keeping():
                    write(writing, changes, entry)
            if s.PLAN in changes.put:
                self._plan_number = entry.number
            self.project, self.last_entry = project, entry.number
        return entry

    def _ready_writer(self) -> Writer:
        if self._writer is None:
            from fitup.store.writing import Writer

            # Kept in the file by SQLite only where another program chose otherwise.
            self._connection.execute("PRAGMA journal_mode = DELETE")
            self._writer = Writer(self._connection)
        return self._writer

    def _still_there(self) -> None:
        """Refuse to write into a file that has lost its name: it would be lost with it."""
        if _identity(self.path) != self._identity:
            raise Refused(f"{shown(self.path)} was moved away or replaced by another file; open it again")

    # -- care --------------------------------------------------------------------------------

    def check(self) -> list[str]:
        """Return everything wrong with the file, one sentence each; empty when it is sound."""
        from fitup.store.check import check

        with self._lock, telling(self.path):
            self._connection.execute("BEGIN")
            try:
                return check(self._connection)
            finally:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")

    def backup(self, to: Path | None, at: datetime) -> Path:
        """Write a copy and return its path: `to`, or a dated name in the folder `to` or beside the file.

        Raises `Refused` where `to` is a file already or cannot be written.
        """
        from fitup.store.copying import copy_into, copy_to, refuse_odd_name

        if to is not None:
            refuse_odd_name(to / self.path.name)
        with self._lock, telling(to or self.path):
            if to is None or to.is_dir():
                return copy_into(self._connection, to or self.path.parent, self.path, at)
            try:
                copy_to(self._connection, to)
            except FileExistsError:
                raise _taken(to) from None
            return to


def _make(making: Path, plan: Plan, by: str, at: datetime) -> None:
    """Make a whole project file under its working name."""
    from fitup.model.apply import apply
    from fitup.model.edits import AdoptPlan, Entry
    from fitup.store.writing import Writer, write

    making.unlink(missing_ok=True)
    act = AdoptPlan(plan)
    project = apply(Project(), act, by, at)
    connection = connect(making, make=True)
    try:
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        connection.execute(f"PRAGMA user_version = {VERSION}")
        writer = Writer(connection)
        writer.make_tables()
        with writer.turn() as writing, keeping():
            write(writing, row_changes(Project(), project, 1), Entry(1, at, by, act))
    finally:
        connection.close()


def _identity(path: Path) -> tuple[int, int] | None:
    """Return what tells this very file from another of the same name; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _taken(path: Path) -> Refused:
    return Refused(f"{shown(path)} is already there; give another name")
