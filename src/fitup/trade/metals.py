"""Dissimilar metals: which pairs corrode, which one gives way, and what keeps them apart.

A metal this table does not know is a remark of its own: never a silent pass.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations

from fitup.model.amounts import clean
from fitup.model.frozen import dataclass
from fitup.trade.remark import Remark
from fitup.trade.tables import Row, Tables, tables

GROUPS = ("I", "II", "III", "IV", "V")
_ALLOY_NUMBER = re.compile(r"^[1-8]\d{3}(?:-?[fotwh]\d*)?$")


@dataclass(frozen=True, slots=True)
class Pair:
    """Two metals that touch. `needs` says whether they must be kept apart.

    `gives_way` is the one that corrodes, "" for alike groups. `level` is the published protection
    level near the sea, 1 the most; None where no source rates the pair.
    """

    one: str
    other: str
    needs: bool
    gives_way: str
    level: int | None
    source: str


def group(metal: str, *, own: Tables | None = None) -> str:
    """Return the group of a metal, "I" (gives way first) to "V", or "" where it is unknown.

    Names in any case; four-digit aluminium alloys are known by their numbers.
    Source: M. Niu, Airframe Structural Design (1988).
    """
    row = _row(metal, own or tables())
    return row.text("group") if row else ""


def pair(one: str, other: str, *, own: Tables | None = None) -> Pair | None:
    """Judge two metals that touch, None where either is unknown.

    Protection is needed where the groups differ, and always with group V.
    """
    book = own or tables()
    first, second = _row(one, book), _row(other, book)
    if first is None or second is None:
        return None
    ranks = GROUPS.index(first.text("group")), GROUPS.index(second.text("group"))
    gives_way = "" if ranks[0] == ranks[1] else one if ranks[0] < ranks[1] else other
    same = first.text("metal") == second.text("metal")
    needs = not same and (ranks[0] != ranks[1] or max(ranks) == len(GROUPS) - 1)
    rated = _level(first.text("metal"), second.text("metal"), book)
    level = int(rated.figure("marine")) if rated else None
    source = "; ".join([first.cited, *([rated.cited] if rated else [])])
    return Pair(one, other, needs, gives_way, level, source)


def metal_remarks(metals: Sequence[str], protect: str = "", *, own: Tables | None = None) -> tuple[Remark, ...]:
    """Say what is wrong where these metals touch with `protect` between them.

    An unknown metal is noted, a pair in need without protection is a warning, and a protection
    that no source names is noted.
    """
    book = own or tables()
    distinct = list(dict.fromkeys(metal.strip() for metal in metals))
    remarks = [
        Remark("note", "metals", f"{clean(metal)!r} is in no group of metals; see for yourself what it may touch", "")
        for metal in distinct
        if _row(metal, book) is None
    ]
    judged = [pair(one, other, own=book) for one, other in combinations(distinct, 2)]
    in_need = [one for one in judged if one is not None and one.needs]
    if not protect.strip():
        return tuple(remarks + [_unprotected(one, book) for one in in_need])
    if in_need and protection(protect, own=book) is None:
        says = f"no source names {clean(protect.strip())!r} as protection between {_names(in_need[0])}"
        remarks.append(Remark("note", "protect", says, in_need[0].source))
    return tuple(remarks)


def protection(words: str, *, own: Tables | None = None) -> Row | None:
    """Return the first row of a kind of protection that these words name, None where no source names one.

    Words may stand among others: "cadmium-plated washers and primer" names three kinds.
    """
    said = f" {' '.join(re.findall(r'[a-z]+', words.lower()))} "
    for row in (own or tables()).matching("metals", "protection"):
        for name in (row.text("word"), *row.texts("also")):
            if f" {name} " in said or f" {name}s " in said:
                return row
    return None


def _unprotected(one: Pair, book: Tables) -> Remark:
    first = book.first("metals", "protection")
    rated = f", protection level {one.level} near the sea (1 is the most)" if one.level is not None else ""
    loses = f"{clean(one.gives_way)} corrodes" if one.gives_way else "they corrode"
    says = f"{_names(one)} touch without protection and {loses}{rated}; put between: {first.text('says')}"
    return Remark("warning", "metals", says, f"{one.source}; {first.cited}")


def _names(one: Pair) -> str:
    return f"{clean(one.one)} and {clean(one.other)}"


def _row(metal: str, book: Tables) -> Row | None:
    rows = book.matching("metals", "metal")
    found = next((row for row in rows if _named(row, "metal", metal)), None)
    if found is None and _ALLOY_NUMBER.match(metal.strip().lower()):
        return next((row for row in rows if row.text("metal") == "aluminium"), None)
    return found


def _named(row: Row, key: str, word: str) -> bool:
    return word.strip().lower() in (row.text(key), *row.texts("also"))


def _level(one: str, other: str, book: Tables) -> Row | None:
    wanted = {one, other}
    return next((row for row in book.matching("metals", "level") if {row.text("a"), row.text("b")} == wanted), None)
