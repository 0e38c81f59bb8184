"""One mistake or remark about a plan, in the same shape from the plan reader and from the plan review."""

from __future__ import annotations

from typing import Literal

from fitup.model.frozen import dataclass

Level = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """What `rule` found at `where` (an id or a key): `says` is the sentence, `mend` how to put it right.

    `source` is where the rule comes from, "" for a rule of the plan file itself; `line` is the
    line of the plan file where it is known.
    """

    rule: str
    level: Level
    where: str
    says: str
    mend: str
    source: str = ""
    line: int | None = None
