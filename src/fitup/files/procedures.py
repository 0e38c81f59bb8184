"""Procedures: tasks with parameters, taken into a plan by [[from]] in the place where it stands.

A text that is exactly "{holes}" takes the parameter's own type; inside other text the value is
written out. Ids become `<as>.<id>`; ids of the procedure's own tasks are followed, all others stay
as they are. Names of one-go and hole groups written out in a procedure become groups of each use;
those that come from a parameter stay as given.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from fitup.files.libraries import read_library
from fitup.files.positions import Path, Positions
from fitup.files.references import RawTask, rename_tasks
from fitup.files.sentences import nearest, quoted
from fitup.files.shop import Shop
from fitup.files.shop_schema import ProcedureFile
from fitup.model.amounts import number

_MARK = re.compile(r"\{([a-z0-9_-]+)\}")
_GROUPS = ("one-go", "holes")


@dataclass
class Procedure:
    """A procedure as read: its parameters with their defaults (None where one must be given), its raw tasks."""

    name: str
    path: FilePath
    text: str
    parameters: dict[str, Any] = field(default_factory=dict)
    tasks: list[RawTask] = field(default_factory=list)

    def line(self, path: Path) -> int | None:
        """Return the line of a path in the procedure's file."""
        return Positions(self.text).line(path)


class Misuse(Exception):
    """A mistake in how a procedure is used or written: rule, place in the [[from]] table, sentence, mend."""

    def __init__(self, rule: str, path: Path, says: str, mend: str) -> None:
        super().__init__(says)
        self.rule, self.path, self.says, self.mend = rule, path, says, mend


def library_path(shop: Shop, library: str) -> FilePath:
    """Return the file of a library named in `use`: procedures/flush-skin."""
    return shop.shared / f"{library}.toml"


def library_names(shop: Shop) -> list[str]:
    """Return the libraries that the shop has."""
    return sorted(f"procedures/{path.stem}" for path in (shop.shared / "procedures").glob("*.toml"))


def read_procedure(shop: Shop, library: str) -> Procedure:
    """Read a procedure. Raises `Refused` with all of its own mistakes in one text, a line each."""
    path = library_path(shop, library)
    table, text = read_library(path, ProcedureFile)
    parameters = {parameter.name: parameter.default for parameter in table.parameter}
    return Procedure(library.removeprefix("procedures/"), path, text, parameters, table.task)


def expand(procedure: Procedure, prefix: str, assembly: str, given: Mapping[str, Any]) -> list[RawTask]:
    """Return the raw tasks of one use of a procedure. Raises `Misuse` once per call, for the first mistake."""
    for name in given:
        if name not in procedure.parameters:
            near = nearest(name, procedure.parameters)
            mend = f'did you mean "{near}"?' if near else "take it out"
            raise Misuse("parameter", ("with", name), f"{procedure.name} has no parameter {quoted(name)}", mend)
    values = {**{name: value for name, value in procedure.parameters.items() if value is not None}, **given}
    missing = [name for name in procedure.parameters if name not in values]
    if missing:
        names = ", ".join(missing)
        raise Misuse("parameter", ("with",), f"{procedure.name} lacks its parameters {names}", "give them in `with`")
    local = {
        task["id"] for task in (_fill(task, values) for task in procedure.tasks) if isinstance(task.get("id"), str)
    }
    return [_expanded(task, values, local, prefix, assembly) for task in procedure.tasks]


def _expanded(task: RawTask, values: Mapping[str, Any], local: set[str], prefix: str, assembly: str) -> RawTask:
    filled: RawTask = _fill(task, values)
    filled = rename_tasks(filled, lambda name: f"{prefix}.{name}" if name in local else name)
    if isinstance(filled.get("id"), str):
        filled["id"] = f"{prefix}.{filled['id']}"
    if assembly:
        filled.setdefault("assembly", assembly)
    for key in _GROUPS:
        written = task.get(key)
        if isinstance(written, str) and written and not _MARK.search(written):
            filled[key] = f"{prefix}.{written}"
    return filled


def _fill(value: Any, values: Mapping[str, Any]) -> Any:
    if isinstance(value, dict):
        return {_fill_text(key, values): _fill(inner, values) for key, inner in value.items()}
    if isinstance(value, list):
        return [_fill(inner, values) for inner in value]
    if not isinstance(value, str):
        return value
    whole = _MARK.fullmatch(value)
    if whole:
        return _value(whole[1], values)
    return _fill_text(value, values)


def _fill_text(text: str, values: Mapping[str, Any]) -> str:
    def written(match: re.Match[str]) -> str:
        value = _value(match[1], values)
        return number(value) if isinstance(value, float) else str(value)

    return _MARK.sub(written, text)


def _value(name: str, values: Mapping[str, Any]) -> Any:
    if name not in values:
        says = f"its tasks name a parameter {{{name}}} that it does not declare"
        raise Misuse("parameter", ("procedure",), says, "declare it as [[parameter]] in the procedure's file")
    return values[name]
