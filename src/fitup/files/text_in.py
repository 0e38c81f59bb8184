"""The way in for every text file: size, encoding and TOML grammar are judged before anything looks at the content."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from fitup.model.amounts import clean
from fitup.model.refusal import Refused

LARGEST_FILE = 2_000_000
"""Bytes. A written plan of 2,000 tasks takes less than half of it."""

_PLACE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")


class NotToml(Refused):
    """The file is not TOML: what is wrong, how to mend it, the `line` where reading stopped (None: unknown)."""

    def __init__(self, path: Path, line: int | None, says: str, mend: str) -> None:
        where = shown(path) if line is None else f"{shown(path)}:{line}"
        super().__init__(f"{where}: {says}; {mend}")
        self.line, self.says, self.mend = line, says, mend


def shown(path: Path) -> str:
    """Return a path fit to be shown in a sentence."""
    return clean(str(path))


def read_text(path: Path, what: str = "file") -> str:
    """Read a UTF-8 text file of a sensible size.

    Raises `Refused` with one sentence where there is no such file, it cannot be read, is too large
    or is not UTF-8.
    """
    try:
        if path.is_dir():
            raise Refused(f"{shown(path)} is a folder, not a {what}; name the file itself")
        if not path.exists():
            raise Refused(f"there is no {what} {shown(path)}; check the name and the folder")
        if not path.is_file():
            raise Refused(f"{shown(path)} is not an ordinary file; give a {what} written to disk")
        with path.open("rb") as source:
            raw = source.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "its name is no file name"
        raise Refused(f"{shown(path)} cannot be read ({why.lower()}); mend its name or its rights") from None
    if len(raw) > LARGEST_FILE:
        limit = LARGEST_FILE // 1_000_000
        raise Refused(f"{shown(path)} is larger than {limit} MB, too large for a {what}; is it the right file?")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise NotToml(path, line, f"not UTF-8 text (byte {error.start + 1})", "save the file as UTF-8") from None


def parse_toml(text: str, path: Path) -> dict[str, Any]:
    """Read TOML text that came from `path`. Raises `NotToml` with the line where reading stopped."""
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise NotToml(path, None, "not a plan, its lists are nested too deeply", "take the nesting out") from None
    except ValueError as error:
        sentence = str(error)
        place = _PLACE.search(sentence)
        line = None if place is None else int(place.group(1) or text.count("\n") + 1)
        says = clean(_PLACE.sub("", sentence)).strip()[:200] or "it cannot be read"
        says = f"not TOML, {says[0].lower()}{says[1:]}"
        raise NotToml(path, line, says, "mend this place first, the rest is read after it") from None
