"""Dated copies of a project file, made by SQLite's own backup so that they are whole while others write."""

from __future__ import annotations

import os
import sqlite3
from datetime import datetime
from itertools import count
from pathlib import Path

from fitup.model.refusal import Refused
from fitup.store.opening import put_in_place, shown


def copy_to(source: sqlite3.Connection, path: Path) -> None:
    """Copy the open file to `path`; raises FileExistsError where that name is taken, and leaves nothing half-made."""
    if not path.parent.is_dir():
        raise Refused(f"there is no folder {shown(path.parent)} for the copy; make it first")
    making = making_name(path)
    try:
        target = sqlite3.connect(making)
        try:
            source.backup(target)
        finally:
            target.close()
        put_in_place(making, path)
    except sqlite3.OperationalError as error:
        if error.sqlite_errorname != "SQLITE_FULL":
            raise
        raise Refused(
            f"the disk of {shown(path.parent)} is full, so no copy was made; make room there or give another folder"
        ) from error
    except PermissionError:
        raise Refused(f"a copy cannot be written to {shown(path.parent)}; look at the folder's rights") from None
    finally:
        making.unlink(missing_ok=True)


def copy_beside(source: sqlite3.Connection, path: Path, at: datetime, word: str = "") -> Path:
    """Copy the open file beside `path`, named by the local time `at`; return the copy's path."""
    return copy_into(source, path.parent, path, at, word)


def copy_into(source: sqlite3.Connection, folder: Path, path: Path, at: datetime, word: str = "") -> Path:
    """Copy the open file into `folder` as name-date-time, with a number behind where that is taken."""
    stem = "-".join(part for part in (path.stem, f"{at.astimezone():%Y-%m-%d-%H%M}", word) if part)
    for turn in count(1):
        target = folder / f"{stem}{'' if turn == 1 else f'-{turn}'}{path.suffix}"
        if target.exists():
            continue
        try:
            copy_to(source, target)
        except FileExistsError:
            continue
        return target
    raise AssertionError("count never ends")


def refuse_odd_name(path: Path) -> None:
    """Refuse what cannot be the name of a file here: too long, or with a null in it."""
    try:
        making_name(path).lstat()
    except (FileNotFoundError, NotADirectoryError):
        return
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "it is no file name"
        raise Refused(f"{shown(path)[:60]} cannot be the name of a file ({why.lower()}); give another") from None


def making_name(path: Path) -> Path:
    """Return the name that a file has while it is being made, in the same folder."""
    return path.with_name(f".{path.name}.{os.getpid()}.making")
