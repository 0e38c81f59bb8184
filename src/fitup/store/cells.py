"""How single values stand in a cell of a table, and back: instants, days, lists, pairs, words of a fixed set."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime
from typing import Any, Literal, TypeVar, get_args

from fitup.model.plan import HOLD_KINDS, CheckKind, HoldKind, ItemKind, Law, LengthUnit, OnOrder
from fitup.model.progress import Readings, VerdictWord
from fitup.store.shapes import Damaged

T = TypeVar("T", bound=str)
Read = TypeVar("Read")


def each(read: Callable[[Any], Read], column: Iterable[Any]) -> list[Read]:
    """Read the cells of a column, each cell that stands there again and again once."""
    cells = column if isinstance(column, tuple) else tuple(column)
    known = {cell: read(cell) for cell in set(cells)}
    return [known[cell] for cell in cells] if len(known) > 1 else [*known.values()] * len(cells)


def instant_cell(instant: datetime) -> str:
    """Write an instant as UTC ISO text."""
    return instant.astimezone(UTC).isoformat()


def maybe_instant_cell(instant: datetime | None) -> str | None:
    """Write an instant that may be missing."""
    return None if instant is None else instant_cell(instant)


def instant(cell: str) -> datetime:
    """Read an instant; raises ValueError for text that is none, or that has no zone."""
    found = datetime.fromisoformat(cell)
    if found.tzinfo is None:
        raise Damaged(f"the time {cell} has no zone")
    return found.astimezone(UTC)


def maybe_instant(cell: str | None) -> datetime | None:
    """Read an instant that may be missing."""
    return None if cell is None else instant(cell)


def day_cell(day: date | None) -> str | None:
    """Write a day that may be missing as ISO text."""
    return None if day is None else day.isoformat()


def day(cell: str | None) -> date | None:
    """Read a day that may be missing."""
    return None if cell is None else date.fromisoformat(cell)


def list_cell(values: Sequence[Any]) -> str:
    """Write a list of strings or numbers as JSON, an empty one as ""."""
    if not values:
        return ""
    import json

    return json.dumps(values, ensure_ascii=False, allow_nan=False)


_texts_read: dict[str, tuple[str, ...]] = {"": ()}


def texts(cell: str) -> tuple[str, ...]:
    """Read a list of strings; tasks name the same few lists again and again, so each is read once."""
    found = _texts_read.get(cell)
    if found is None:
        found = tuple(_list(cell))
        if not all(isinstance(value, str) for value in found):
            raise Damaged(f"{cell[:40]} is not a list of words")
        if len(_texts_read) < 10_000:
            _texts_read[cell] = found
    return found


_figures_read: dict[str, tuple[float, ...]] = {"": ()}


def figures(cell: str) -> tuple[float, ...]:
    """Read a list of numbers, each list once."""
    found = _figures_read.get(cell)
    if found is None:
        found = _figures(_list(cell))
        if len(_figures_read) < 10_000:
            _figures_read[cell] = found
    return found


def _figures(values: object) -> tuple[float, ...]:
    if not isinstance(values, list) or any(type(value) not in (int, float) for value in values):
        raise Damaged("a list of numbers holds something else")
    return tuple(values)


def _list(cell: str) -> list[Any]:
    import json

    found = json.loads(cell)
    if not isinstance(found, list):
        raise Damaged(f"{cell[:40]} is not a list")
    return found


def readings(cell: str) -> Readings:
    """Read measured values: a list of [name, [figures]]."""
    found = []
    for part in _list(cell) if cell else ():
        if not isinstance(part, list) or len(part) != 2 or not isinstance(part[0], str):
            raise Damaged("a measurement holds something that is not a reading")
        found.append((part[0], _figures(part[1])))
    return tuple(found)


def pair(low: float | None, high: float | None) -> tuple[float, float] | None:
    """Read a range of two figures, both missing where there is none."""
    return None if low is None or high is None else (low, high)


def flag_cell(value: bool | None) -> int | None:
    """Write a yes or no that may be missing."""
    return None if value is None else int(value)


def order_cells(order: OnOrder | None) -> tuple[float | None, str | None]:
    """Write what is on order: its quantity and day, both missing where nothing is."""
    return (None, None) if order is None else (order.quantity, day_cell(order.expected))


def order(quantity: float | None, expected: str | None) -> OnOrder | None:
    """Read what is on order."""
    return None if quantity is None else OnOrder(quantity, day(expected))


def _known(words: tuple[T, ...]) -> dict[str, T]:
    return {word: word for word in words}


def _word(cell: str, among: dict[str, T], what: str) -> T:
    word = among.get(cell)
    if word is None:
        raise Damaged(f"{cell[:40]!r} is not a {what}")
    return word


_HOLD_KINDS = _known(HOLD_KINDS)
_CHECK_KINDS: dict[str, CheckKind] = _known(get_args(CheckKind))
_ITEM_KINDS: dict[str, ItemKind] = _known(get_args(ItemKind))
_LAWS: dict[str, Law] = _known(get_args(Law))
_LENGTH_UNITS: dict[str, LengthUnit] = _known(get_args(LengthUnit))
_VERDICTS: dict[str, VerdictWord] = _known(get_args(VerdictWord))
_STARTS: dict[str, Literal["begin", "finish"]] = {"begin": "begin", "finish": "finish"}


def hold_kind(cell: str) -> HoldKind:
    """Read a kind of hold."""
    return _word(cell, _HOLD_KINDS, "kind of hold")


def check_kind(cell: str) -> CheckKind:
    """Read a kind of check."""
    return _word(cell, _CHECK_KINDS, "kind of check")


def item_kind(cell: str) -> ItemKind:
    """Read a kind of item."""
    return _word(cell, _ITEM_KINDS, "kind of item")


def law(cell: str) -> Law:
    """Read a law of curing."""
    return _word(cell, _LAWS, "law of curing")


def length_unit(cell: str) -> LengthUnit:
    """Read a unit of length."""
    return _word(cell, _LENGTH_UNITS, "unit of length")


def verdict(cell: str) -> VerdictWord:
    """Read a verdict."""
    return _word(cell, _VERDICTS, "verdict")


def window_start(cell: str) -> Literal["begin", "finish"]:
    """Read where a time window starts."""
    return _word(cell, _STARTS, "start of a time window")
