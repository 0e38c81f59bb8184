"""The text of `help plan`, made from the declared tables."""

from __future__ import annotations

from datetime import date
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from annotated_types import Ge, Gt, Le
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from fitup.files import schema as s
from fitup.files.sentences import kind_of, tables_in
from fitup.model.amounts import number

_HEAD = """The plan file says what is to be built. It is TOML: `key = value` lines under [[table]] headers.
Every key is named here with its type and default; "needed" keys have none. All lengths are in the plan's
length-unit, dates are written 2026-12-10 without quotes, ids in lower-case letters, digits, "." and "-".
"""

_PLACES: tuple[tuple[str, type[BaseModel]], ...] = (
    ("at the top of the file", s.PlanTable),
    ("[review]", s.ReviewTable),
    ("[[assembly]]", s.AssemblyTable),
    ("[[bay]]", s.BayTable),
    ("[[tool]]", s.ToolTable),
    ("[[item]]", s.ItemTable),
    ("  an element of lots", s.LotTable),
    ("  on-order", s.OnOrderTable),
    ("[[cleco]]", s.ClecoTable),
    ("[[task]]", s.TaskTable),
    ("  an element of holds", s.AfterHold),
    ("  within, or an element of it", s.WithinTable),
    ("  clecos, or an element of it", s.ClecoLoanTable),
    ("  occupies, or an element of it", s.OccupyTable),
    ("  fasteners", s.FastenersTable),
    ("  check", s.RangeCheck),
    ("[[from]]", s.FromTable),
    ("[[work]]", s.WorkTable),
)
_CHOICES: dict[type[BaseModel], tuple[type[BaseModel], ...]] = {
    s.AfterHold: tables_in(s.HoldTable),
    s.RangeCheck: tables_in(s.CheckTable),
}


def keys_text() -> str:
    """Return every key of a plan file with its type, default and one line of meaning."""
    parts = [_HEAD]
    for place, table in _PLACES:
        for choice in _CHOICES.get(table, (table,)):
            kind = kind_of(choice)
            title = f'{place} with kind = "{kind}"' if kind else place
            parts.append(f"{title}: {_first_line(choice)}\n{_keys(choice)}")
    return "\n".join(parts)


def _first_line(table: type[BaseModel]) -> str:
    text = (table.__doc__ or "").strip().splitlines()[0].rstrip(".")
    return text[0].lower() + text[1:]


def _keys(table: type[BaseModel]) -> str:
    rows = []
    fields = table.model_fields
    names = sorted(fields, key=lambda name: name != "kind") if kind_of(table) else list(fields)
    for name in names:
        field = fields[name]
        kind = _limited(_words(field.annotation, field.metadata), field.metadata)
        rows.append(f"    {field.alias}: {kind}, {_default(field)}\n        {field.description}")
    return "\n".join(rows) + "\n"


def _default(field: FieldInfo) -> str:
    value = field.default
    if field.is_required():
        return "needed"
    if isinstance(value, bool):
        return f"default {str(value).lower()}"
    if isinstance(value, int | float):
        return f"default {number(value)}"
    return f'default "{value}"' if isinstance(value, str) and value else "may be left out"


def _words(annotation: Any, metadata: list[Any]) -> str:
    """Return what a value of this type is called in a plan file."""
    if "id" in metadata:
        return "id"
    origin = get_origin(annotation)
    arguments = get_args(annotation)
    if origin is Annotated:
        return _limited(_words(arguments[0], list(arguments[1:])), list(arguments[1:]))
    if origin is Literal:
        return " or ".join(f'"{choice}"' if isinstance(choice, str) else str(choice) for choice in arguments if choice)
    if origin in (Union, UnionType):
        rest = [argument for argument in arguments if argument is not NoneType]
        return _words(rest[0], metadata) if len(rest) == 1 else "table"
    if origin is list:
        return f"list of {_many(_words(arguments[0], []))}"
    if origin is dict:
        return f"table of {_many(_words(arguments[1], []))}"
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return "table"
    return _NAMES.get(annotation, "any value")


def _many(words: str) -> str:
    for one, many in (("number", "numbers"), ("table", "tables"), ("id", "ids"), ("any value", "any values")):
        if words == one or words.startswith(f"{one} "):
            return words.replace(one, many, 1)
    return words


_NAMES: dict[Any, str] = {
    str: "text",
    bool: "true or false",
    int: "whole number",
    float: "number",
    date: "date",
}


def _limited(words: str, metadata: list[Any]) -> str:
    """Add the least and greatest value, where they tell something."""
    for limit in metadata:
        for inner in getattr(limit, "metadata", [limit]):
            if isinstance(inner, Ge) and words.endswith("number") and float(str(inner.ge)) >= 0:
                words += f" from {number(float(str(inner.ge)))}"
            elif isinstance(inner, Gt) and words.endswith("number"):
                words += f" above {number(float(str(inner.gt)))}"
            elif isinstance(inner, Le) and " from " in words and float(str(inner.le)) <= 2:
                words += f" to {number(float(str(inner.le)))}"
    return words
