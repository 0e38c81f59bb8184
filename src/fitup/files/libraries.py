"""One way to read a shop's library file: whole, or refused with every mistake in it."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from fitup.files.positions import Positions
from fitup.files.sentences import mistakes
from fitup.files.text_in import parse_toml, read_text, shown
from fitup.files.values import Table
from fitup.model.refusal import Refused

_T = TypeVar("_T", bound=Table)


def read_library(path: Path, model: type[_T]) -> tuple[_T, str]:
    """Read a library file as the table `model`, and its text.

    Raises `Refused` with every mistake of the file, a line each.
    """
    text = read_text(path, "library")
    raw = parse_toml(text, path)
    try:
        return model.model_validate(raw), text
    except ValidationError as error:
        positions = Positions(text)
        found = [(positions.line(place) or 1, says, mend) for _, place, says, mend in mistakes(error, raw, model)]
        raise Refused(
            "\n".join(f"{shown(path)}:{line}: {says}; {mend}" for line, says, mend in sorted(found))
        ) from None
