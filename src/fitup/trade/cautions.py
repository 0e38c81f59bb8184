"""Cautions by kind of work, each with the handbook it comes from.

They stand where the work is and defer to the kit's manual, the makers' data sheets, local rules
and licensed people.
"""

from __future__ import annotations

from fitup.trade.tables import Row, Tables, tables


def cautions_for(work: str, *, own: Tables | None = None) -> tuple[Row, ...]:
    """Return the cautions for a kind of work; `row.text("says")` is the sentence, `row.cited` its source."""
    return tuple(row for row in (own or tables()).matching("cautions", "caution") if work in row.texts("works"))
