"""The journal's acts as JSON, and back, driven by the type hints of `fitup.model.edits`.

A value that equals its field's default is left out, so the defaults of journaled classes are part of the file
format: they never change without a migration. What is read is judged against the hints, exactly: an unknown key, a
missing one or a value of the wrong type is refused.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from datetime import UTC, date, datetime
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeAlias, Union, get_args, get_origin, get_type_hints

from fitup.model.amounts import clean
from fitup.model.edits import EDIT_NAMES, Act, Entry
from fitup.model.refusal import Refused

Reader: TypeAlias = Callable[[Any], Any]


class Malformed(ValueError):
    """A JSON value that is not what the act's class asks for."""


def act_json(act: Act) -> str:
    """Write an act as JSON; raises `Refused` where a figure in it is not finite."""
    try:
        return json.dumps(_plain(act), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    except ValueError:
        raise Refused("a figure in this is infinite or not a number; give a plain number") from None


def read_act(name: str, text: str) -> Act:
    """Read an act by its name in the journal; raises `Malformed` where it is none."""
    kind = EDIT_NAMES.get(name)
    if kind is None:
        raise Malformed(f"there is no act named {clean(name)[:40]!r}")
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        raise Malformed("its text is not JSON") from None
    act: Act = _reader(kind)(value)
    return act


def read_entry(number: int, at: str, by: str, name: str, edit: str) -> Entry:
    """Read one row of the journal; raises `Refused` where it is not as fitup writes it."""
    try:
        return Entry(number, _instant(at), by, read_act(name, edit))
    except Malformed as wrong:
        raise Refused(f"journal entry {number} cannot be read: {wrong}; go back to a backup of the file") from None


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return {name: _plain(found) for name, found in _told(value)}
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    return value


def _told(value: Any) -> list[tuple[str, Any]]:
    """Return the fields that differ from their defaults, with their values."""
    found = [(field.name, getattr(value, field.name), field.default) for field in fields(value)]
    return [(name, what) for name, what, default in found if default is MISSING or what != default]


@cache
def _reader(hint: Any) -> Reader:
    """Return what reads a JSON value of the type `hint`."""
    origin = get_origin(hint)
    if origin in (Union, UnionType):
        return _optional(hint)
    if origin is Literal:
        return _word(get_args(hint))
    if origin is tuple:
        return _tuple(get_args(hint))
    if is_dataclass(hint):
        return _object(hint)
    return _SCALARS[hint]


def _optional(hint: Any) -> Reader:
    (inner,) = (part for part in get_args(hint) if part is not NoneType)
    read = _reader(inner)
    return lambda value: None if value is None else read(value)


def _word(words: tuple[Any, ...]) -> Reader:
    known = {word: word for word in words}

    def read(value: Any) -> Any:
        if not isinstance(value, str) or value not in known:
            raise Malformed(f"{_short(value)} is none of {', '.join(words)}")
        return known[value]

    return read


def _tuple(parts: tuple[Any, ...]) -> Reader:
    if parts[-1] is Ellipsis:
        each = _reader(parts[0])
        return lambda value: tuple([each(part) for part in _list(value)])
    readers = [_reader(part) for part in parts]

    def read(value: Any) -> Any:
        if len(_list(value)) != len(readers):
            raise Malformed(f"{_short(value)} should have {len(readers)} values")
        return tuple([one(part) for one, part in zip(readers, value, strict=True)])

    return read


def _object(kind: Any) -> Reader:
    hints = get_type_hints(kind)
    readers = {field.name: _reader(hints[field.name]) for field in fields(kind)}
    needed = {field.name for field in fields(kind) if field.default is MISSING and field.default_factory is MISSING}

    def read(value: Any) -> Any:
        if not isinstance(value, dict):
            raise Malformed(f"{_short(value)} should be an object")
        if missing := needed - value.keys():
            raise Malformed(f"it lacks {', '.join(sorted(missing))}")
        if unknown := value.keys() - readers.keys():
            raise Malformed(f"it has an unknown key {_short(min(unknown))}")
        return kind(**{name: readers[name](part) for name, part in value.items()})

    return read


def _list(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise Malformed(f"{_short(value)} should be a list")
    return value


def _exactly(kind: type) -> Reader:
    def read(value: Any) -> Any:
        if type(value) is not kind:
            raise Malformed(f"{_short(value)} should be {_NAMES[kind]}")
        return value

    return read


def _number(value: Any) -> float:
    if type(value) not in (int, float) or not math.isfinite(value):
        raise Malformed(f"{_short(value)} should be a number")
    number: float = value
    return number


def _instant(value: Any) -> datetime:
    try:
        found = datetime.fromisoformat(value)
        if found.tzinfo is not None:
            return found.astimezone(UTC)
    except (TypeError, ValueError, OverflowError):
        pass
    raise Malformed(f"{_short(value)} should be a time in UTC")


def _day(value: Any) -> date:
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        raise Malformed(f"{_short(value)} should be a day") from None


def _short(value: Any) -> str:
    return clean(repr(value))[:60]


_NAMES = {str: "text", int: "a whole number", bool: "true or false"}
_SCALARS: dict[Any, Reader] = {
    str: _exactly(str),
    int: _exactly(int),
    bool: _exactly(bool),
    float: _number,
    datetime: _instant,
    date: _day,
}
