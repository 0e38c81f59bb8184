"""Mistakes in words: what a failed validation says to the person who wrote the file."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from fitup.files.positions import Path
from fitup.model.amounts import clean, number

_LONGEST_SEARCH = 3_000

_TYPES = {
    "string_type": "text in quotes",
    "int_type": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "list_type": "a list in [ ]",
    "dict_type": "a table in { }",
    "model_type": "a table in { }",
    "model_attributes_type": "a table in { }",
    "date_type": "a date such as 2026-12-10, without quotes",
    "finite_number": "a number that is finite",
}


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known word most like `word`, "" when none is like it."""
    choices = list(known)
    if len(choices) > _LONGEST_SEARCH or len(word) > 200:
        return ""
    found = difflib.get_close_matches(word, choices, n=1, cutoff=0.6)
    return found[0] if found else ""


def quoted(value: object) -> str:
    """Return a value from a file fit to be shown in a sentence: cleaned, cut, text in quotes."""
    text = clean(str(value))
    if len(text) > 60:
        text = text[:57] + "..."
    return f'"{text}"' if isinstance(value, str) else text


def dotted(path: Sequence[str | int]) -> str:
    """Write a path as a reader would: holds 2, until (elements counted from 1)."""
    words: list[str] = []
    for part in path:
        if isinstance(part, int):
            words[-1:] = [f"{words[-1]} {part + 1}" if words else str(part + 1)]
        else:
            words.append(clean(part)[:60])
    return ", ".join(words)


def mistakes(
    error: ValidationError, document: Mapping[str, Any], model: type[BaseModel]
) -> list[tuple[str, Path, str, str]]:
    """Return every mistake of a validation as (rule, path in the document, what is wrong, how to mend it)."""
    return [_one(details, document, model) for details in error.errors(include_url=False)]


def _one(details: ErrorDetails, document: Mapping[str, Any], model: type[BaseModel]) -> tuple[str, Path, str, str]:
    kind = details["type"]
    path = _written_path(details["loc"], document, new_key=kind == "missing")
    context = details.get("ctx", {})
    value = details.get("input")
    name = f"`{dotted(path[-1:])}`" if path and isinstance(path[-1], str) else dotted(path[-2:])
    if kind == "missing":
        return "missing-key", path, f"{name} is missing", "add it"
    if kind == "extra_forbidden":
        near = nearest(str(path[-1]), keys_at(model, details["loc"][:-1]))
        mend = f"did you mean `{near}`?" if near else "take it out; `fitup help plan` lists the keys"
        return "unknown-key", path, f"{name} is no key here", mend
    if kind == "invalid_key":
        return "unknown-key", path, f"{name} is no key", "write a key in letters"
    tag = str(context.get("discriminator", "")).strip("'")
    if kind == "union_tag_not_found":
        return "missing-key", (*path, tag), f"`{tag}` is missing", "add it"
    if kind == "union_tag_invalid":
        choices = str(context.get("expected_tags", "")).replace("'", "")
        return "type", (*path, tag), f"`{tag}` is {quoted(context.get('tag', ''))}", f"write one of {choices}"
    if kind == "literal_error":
        choices = str(context.get("expected", "")).replace("'", '"')
        return "type", path, f"{name} is {quoted(value)}", f"write {choices}"
    if kind in _TYPES:
        return "type", path, f"{name} is {_what(value)}", f"write {_TYPES[kind]}"
    return "value", path, *_sense(kind, name, value, context)


def _sense(kind: str, name: str, value: object, context: Mapping[str, Any]) -> tuple[str, str]:
    """Return what is out of sense with a value of the right type, and how to mend it."""
    if kind == "value_error":
        says, _, mend = str(context.get("error", "")).partition("; ")
        return f"{name} {says}", mend or "mend it"
    for limit, words in (("ge", "at least"), ("gt", "more than"), ("le", "at most"), ("lt", "less than")):
        if limit in context:
            return f"{name} is {quoted(value)}, out of sense", f"write {words} {number(float(context[limit]))}"
    if kind in ("too_short", "too_long"):
        wanted = context.get("min_length", context.get("max_length"))
        return f"{name} has {context.get('actual_length')} elements", f"write {wanted}"
    return f"{name} is {quoted(value)}: {clean(kind.replace('_', ' '))}", "mend it"


def _what(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return quoted(value)


def _written_path(loc: Sequence[str | int], document: Mapping[str, Any], new_key: bool) -> Path:
    """Return the path as written: without the kinds and places that validation puts between.

    With `new_key` the last part is a key that is not there.
    """
    here: Any = document
    path: list[str | int] = []
    for part in loc[:-1] if new_key else loc:
        if not _has(here, part):
            continue
        here = here[part]
        path.append(part)
    if new_key:
        path.append(loc[-1])
    return tuple(path)


def _has(value: Any, part: str | int) -> bool:
    if isinstance(value, list):
        return isinstance(part, int) and part < len(value)
    return isinstance(value, dict) and part in value


def keys_at(model: type[BaseModel], loc: Sequence[str | int]) -> tuple[str, ...]:
    """Return the keys that the table at `loc` may have."""
    tables: tuple[type[BaseModel], ...] = (model,)
    for part in loc:
        if not isinstance(part, str):
            continue
        inner: list[type[BaseModel]] = []
        for table in tables:
            for field in table.model_fields.values():
                if field.alias == part:
                    inner.extend(tables_in(field.annotation))
        chosen = [table for table in tables if kind_of(table) == part]
        tables = tuple(inner or chosen or tables)
    return tuple(dict.fromkeys(str(field.alias) for table in tables for field in table.model_fields.values()))


def kind_of(table: type[BaseModel]) -> str:
    """Return the one `kind` that a table stands for, "" where it has none."""
    field = table.model_fields.get("kind")
    choices = get_args(field.annotation) if field is not None else ()
    return str(choices[0]) if len(choices) == 1 else ""


def tables_in(annotation: Any) -> tuple[type[BaseModel], ...]:
    """Return the declared tables that a type is made of: those of a list, of a choice, or itself."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return (annotation,)
    origin = get_origin(annotation)
    if origin is Annotated:
        return tables_in(get_args(annotation)[0])
    if origin in (list, Union, UnionType):
        return tuple(table for part in get_args(annotation) for table in tables_in(part))
    return ()
