"""How a project file is opened, recognised and let go of, and what a person is told when SQLite says no.

The file is a document that people copy and mail: a rollback journal that is gone after each commit, everything on
the disk before a tick counts as kept, one file when closed.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from fitup.model.amounts import clean
from fitup.model.refusal import Refused

APPLICATION = 0x46745570
"""Marks a SQLite file as a project file of fitup: "FtUp"."""

VERSION = 1
"""The version of the file format that this fitup writes."""

PATIENCE_MS = 5000
"""How long to wait for another program that is writing."""

_SENTENCES = {
    "SQLITE_BUSY": "{file} is in use by another program; close it there or try again in a moment",
    "SQLITE_LOCKED": "{file} is in use by another program; close it there or try again in a moment",
    "SQLITE_READONLY": "{file} is read-only here; make the file and its folder writable, or work on a copy",
    "SQLITE_CANTOPEN": "{file} cannot be opened or written; look at the rights of the file and of its folder",
    "SQLITE_PERM": "{file} cannot be opened or written; look at the rights of the file and of its folder",
    "SQLITE_NOTADB": "{file} is not a project file of fitup; make one with fitup new PLAN.toml",
    "SQLITE_CORRUPT": "{file} is damaged, a part of it is missing or garbled; go back to a backup of it",
    "SQLITE_FULL": "the disk is full, so {file} was left as it was; make room and try again",
    "SQLITE_IOERR": "the disk did not take or give what {file} needs; nothing was changed, check the disk",
    "SQLITE_TOOBIG": "that is too much text for one entry of {file}; shorten it",
    "SQLITE_CONSTRAINT": "the change does not fit what is in {file} (the same id twice?); nothing was changed",
}


def shown(path: Path) -> str:
    """Write a path so that it is fit for a terminal."""
    return clean(str(path))


def told(error: sqlite3.Error, path: Path) -> Refused:
    """Turn an error of SQLite into one sentence about the file."""
    name = getattr(error, "sqlite_errorname", None) or ""
    for start, sentence in _SENTENCES.items():
        if name.startswith(start):
            return Refused(sentence.format(file=shown(path)))
    if isinstance(error, sqlite3.DatabaseError):
        return Refused(f"{shown(path)} is damaged ({clean(str(error))}); go back to a backup of it")
    return Refused(f"{shown(path)} cannot be used ({clean(str(error))})")


@contextlib.contextmanager
def telling(path: Path) -> Iterator[None]:
    """Let a sentence leave instead of an error of SQLite."""
    try:
        yield
    except sqlite3.Error as error:
        raise told(error, path) from error
    except UnicodeDecodeError as error:
        # SQLite quotes what it stumbled over, and that need not be text.
        raise Refused(_SENTENCES["SQLITE_CORRUPT"].format(file=shown(path))) from error


@contextlib.contextmanager
def reading(path: Path) -> Iterator[None]:
    """Let a sentence leave instead of an error of SQLite, or of a value that fitup did not write."""
    try:
        with telling(path):
            yield
    except (ValueError, OverflowError) as error:
        raise Refused(
            f"{shown(path)} holds something fitup did not write ({clean(str(error))}); go back to a backup of it"
        ) from error


@contextlib.contextmanager
def keeping() -> Iterator[None]:
    """Let a sentence leave where a value is one that SQLite cannot keep."""
    try:
        yield
    except OverflowError as error:
        raise Refused("a whole number in this is too large to be kept; give a smaller one") from error
    except UnicodeEncodeError as error:
        raise Refused("a text in this has half a character in it and cannot be kept; type it anew") from error


def connect(path: Path, *, make: bool = False) -> sqlite3.Connection:
    """Open a SQLite file with our settings; `make` allows a new one. Transactions are begun by hand."""
    mode = "rwc" if make else "rw"
    # An absolute path's URI: spaces, ? and # in names are part of the name.
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False)
    try:
        connection.execute(f"PRAGMA busy_timeout = {PATIENCE_MS}")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA trusted_schema = OFF")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def look_at(path: Path) -> None:
    """Refuse what cannot be a project file before SQLite touches it."""
    try:
        if path.is_dir():
            raise Refused(f"{shown(path)} is a folder; give the project file in it")
        if not path.exists():
            raise Refused(f"there is no file {shown(path)}; make one with fitup new PLAN.toml {shown(path)}")
        if not path.is_file():
            raise Refused(f"{shown(path)} is not a plain file; give a project file")
    except OSError as error:
        raise Refused(f"{shown(path)} cannot be looked at ({error.strerror}); give a project file") from error


def recognise(connection: sqlite3.Connection, path: Path, newest: int) -> int:
    """Return the file's version; raises `Refused` where it is not ours or newer than `newest`."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if application != APPLICATION:
        raise Refused(f"{shown(path)} is not a project file of fitup; make one with fitup new PLAN.toml")
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if version > newest:
        raise Refused(
            f"{shown(path)} was written by a newer fitup (file version {version}, this one reads up to {newest}); "
            "bring fitup up to date"
        )
    # A project file has tables only; a trigger or a view would run somebody else's SQL when we read or write.
    (foreign,) = connection.execute("SELECT count(*) FROM sqlite_master WHERE type IN ('trigger', 'view')").fetchone()
    if foreign:
        raise Refused(f"{shown(path)} holds programs that fitup did not put there; go back to a backup of it")
    return int(version)


def put_in_place(made: Path, path: Path) -> None:
    """Give a finished file its name without ever replacing another; `made` is gone afterwards.

    Raises FileExistsError where the name is taken.
    """
    try:
        os.link(made, path)
    except FileExistsError:
        raise
    except OSError:
        # File systems without links (memory sticks): the look and the renaming are then two steps.
        if path.exists():
            raise FileExistsError(path) from None
        made.rename(path)
    else:
        made.unlink()
    _keep_folder(path.parent)


def _keep_folder(folder: Path) -> None:
    """Have the folder's list of names written to the disk, where the system allows it."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
