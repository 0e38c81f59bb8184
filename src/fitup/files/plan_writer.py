"""A plan written as TOML, complete in itself: tasks of procedures written out, rows of work and tools included."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, fields
from datetime import date
from typing import TYPE_CHECKING, Any

from fitup.model.plan import Hold, Plan, Task, ThreePoint

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_WIDTH = 110


def plan_text(plan: Plan) -> str:
    """Return the TOML text of a plan."""
    head: dict[str, Any] = {"fitup": 1, "title": plan.title, "length-unit": plan.length_unit}
    if plan.sessions:
        head["sessions"] = plan.sessions
    if plan.use:
        head["use"] = plan.use
    parts = [_block("", head)]
    if plan.review_off:
        parts.append(_block("[review]", {"off": dict(plan.review_off)}))
    lists: tuple[tuple[str, tuple[DataclassInstance, ...]], ...] = (
        ("assembly", plan.assemblies),
        ("bay", plan.bays),
        ("tool", plan.tools),
        ("item", plan.items),
        ("cleco", plan.clecos),
        ("work", plan.works),
    )
    for name, rows in lists:
        parts.extend(_block(f"[[{name}]]", _table(row)) for row in rows)
    parts.extend(_block("[[task]]", _task(task)) for task in plan.tasks)
    return "\n".join(parts)


def _task(task: Task) -> dict[str, Any]:
    """Return the keys of a task: plain waiting as `after` where nothing stands before it."""
    table = _table(task, "holds", "needs", "within", "clecos", "occupies")
    plain = 0
    while plain < len(task.holds) and task.holds[plain] == Hold("after", until=task.holds[plain].until):
        plain += 1
    if plain:
        table["after"] = [hold.until for hold in task.holds[:plain]]
    if task.holds[plain:]:
        table["holds"] = [_hold(hold) for hold in task.holds[plain:]]
    for name, tables in (("within", task.within), ("clecos", task.clecos), ("occupies", task.occupies)):
        if tables:
            written = [_table(row) for row in tables]
            table[name] = written[0] if len(written) == 1 else written
    if task.needs:
        table["needs"] = dict(task.needs)
    for name in ("photo", "check", "note", "caution"):
        if name in table:
            table[name] = table.pop(name)
    return table


def _hold(hold: Hold) -> dict[str, Any]:
    table = _table(hold, "own")
    if hold.kind == "cure":  # its hours must be there, even none
        table["hours"] = hold.hours
    return table


def _table(value: DataclassInstance, *without: str) -> dict[str, Any]:
    """Return the keys of a value that differ from their defaults, in the order of declaration."""
    return {name: inner for name, inner in _differing(value) if name not in without}


def _differing(value: DataclassInstance) -> Iterator[tuple[str, Any]]:
    for field in fields(value):
        inner = getattr(value, field.name)
        if inner is None or (field.default is not MISSING and inner == field.default):
            continue
        name = "from" if field.name == "start" else field.name.replace("_", "-")
        yield name, _plain(inner)


def _plain(value: Any) -> Any:
    if isinstance(value, ThreePoint):
        return [value.low, value.likely, value.high]
    if isinstance(value, tuple):
        return [_plain(inner) for inner in value]
    return _table(value) if hasattr(value, "__dataclass_fields__") else value


def _block(header: str, table: Mapping[str, Any]) -> str:
    lines = [header] if header else []
    for name, value in table.items():
        text = f"{_key(name)} = {_value(value)}"
        if len(text) > _WIDTH and isinstance(value, list) and len(value) > 0:
            inner = "".join(f"  {_value(element)},\n" for element in value)
            text = f"{_key(name)} = [\n{inner}]"
        lines.append(text)
    return "\n".join(lines) + "\n"


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _text(name)


def _text(text: str) -> str:
    """Write a basic string: the escapes of JSON are TOML's, but for DEL, which TOML wants escaped, too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any) -> str:
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        inner = ", ".join(f"{_key(name)} = {_value(element)}" for name, element in value.items())
        return f"{{{inner}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(element) for element in value)}]"
    return str(value)
