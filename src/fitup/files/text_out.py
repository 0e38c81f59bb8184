"""Writes text files that people keep: whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from fitup.model.amounts import clean
from fitup.model.refusal import Refused


def write_text(path: Path, text: str, overwrite: bool) -> None:
    """Write a text file, with `overwrite` in place of one that is there.

    Raises `Refused`; then nothing has changed: what was there is still whole, and no part of the new text lies about.
    """
    shown = clean(str(path))
    try:
        if overwrite and path.exists() and not path.is_file():
            # a pipe or a device takes the text as it comes; it must not be replaced by a file
            path.write_text(text, encoding="utf-8", newline="\n")
            return
        target = path.resolve() if overwrite else path
        making = target.with_name(f".{target.name[:200]}.{os.getpid()}.making")
        try:
            with making.open("x", encoding="utf-8", newline="\n") as out:
                out.write(text)
            if overwrite:
                os.replace(making, target)
            else:
                _place(making, target)
        finally:
            making.unlink(missing_ok=True)
    except FileExistsError:
        raise Refused(f"{shown} is already there; add --overwrite to replace it") from None
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "that is no file name"
        raise Refused(f"{shown} cannot be written: {why}") from None


def _place(making: Path, target: Path) -> None:
    """Give a finished file its name, unless something of that name is there; not every disk knows hard links."""
    try:
        os.link(making, target)
    except FileExistsError:
        raise
    except OSError:
        with target.open("x"):
            os.replace(making, target)
