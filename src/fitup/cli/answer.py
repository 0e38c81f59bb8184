"""What a command answers: the same thing as data and as lines of text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from fitup.model.amounts import clean, local_iso


@dataclass(frozen=True, slots=True)
class Answer:
    """`data` for --json, `lines` for people, and the exit code: 0 done, 1 an answer that is "no"."""

    data: Mapping[str, object]
    lines: Iterable[str] = field(default_factory=list)
    code: int = 0

    def text(self, as_json: bool) -> str:
        """Return what goes to standard output."""
        if as_json:
            import json

            return json.dumps(self.data, default=_plain) + "\n"
        return "".join(f"{clean(line).rstrip()}\n" for line in self.lines)


def _plain(value: object) -> object:
    """Return a date or instant as it is written everywhere: local ISO, to the minute."""
    if isinstance(value, datetime):
        return local_iso(value)
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no JSON form")


def table(rows: Sequence[Sequence[str]], gap: str = "  ") -> list[str]:
    """Lay out rows of cells in columns, each as wide as its widest cell; the last runs free."""
    if not rows:
        return []
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]) - 1)]
    return [gap.join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[-1]]) for row in rows]
