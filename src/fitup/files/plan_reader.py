"""The reading of one plan file: procedures taken in, tables judged, ids followed, circles found.

Every step goes on after a mistake, so that one reading names them all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from fitup.files.build import plan_of
from fitup.files.positions import Path, Positions
from fitup.files.procedures import Misuse, Procedure, expand, library_names, read_procedure
from fitup.files.references import RawTask, references, written_loop
from fitup.files.schema import FromTable, PlanTable
from fitup.files.sentences import dotted, mistakes, nearest, quoted
from fitup.files.shop import Shop
from fitup.files.text_in import shown
from fitup.files.values import is_library
from fitup.files.works import read_tools, read_works
from fitup.model.amounts import clean
from fitup.model.finding import Finding
from fitup.model.plan import Plan, Tool, Work
from fitup.model.refusal import Refused

_SUGGESTIONS = 40
"""How many unknown ids get a search for the nearest known one; the rest are named without."""

_MOST = 10_000
"""How many mistakes are named one by one; the rest are counted."""

_LINKS = 12
"""How many links of a circle are written out."""

_PLURALS = {
    "assembly": "assemblies",
    "bay": "bays",
    "tool": "tools",
    "item": "items",
    "cleco": "cleco sizes",
    "work": "kinds of work",
    "task": "tasks",
}


@dataclass(frozen=True, slots=True)
class _Origin:
    """Where a raw task comes from: its path in the plan, or a place in a procedure used there."""

    path: Path
    procedure: Procedure | None = None
    place: int = 0


LINKING = frozenset(("dangling", "same-id", "circle"))
"""Mistakes in how things hang together: a plan with no other can still be reviewed."""


class Reader:
    """Reads one plan file and collects what is wrong with it.

    `draft` is the plan that was read, also where it is refused only for how things hang together.
    """

    def __init__(self, path: FilePath, text: str, raw: dict[str, Any], shop: Shop) -> None:
        self._path, self._text, self._raw, self._shop = path, text, raw, shop
        self._findings: list[Finding] = []
        self._searches = self._more = 0
        self._origins: list[_Origin] = []
        self.draft: Plan | None = None

    def read(self) -> tuple[Plan | None, tuple[Finding, ...]]:
        """Return the plan, or None and every mistake in the order of the file."""
        works = self._rows(read_works)
        tools = self._rows(read_tools)
        document = self._expanded()
        table = self._validated(document)
        self._same_ids(document)
        self._dangling(document, works, tools)
        self._circle(document)
        if table is None or self._findings:
            found = sorted(dict.fromkeys(self._findings), key=lambda finding: finding.line or 0)
            if self._more:
                says = f"there are {self._more} mistakes more"
                found.append(Finding("more", "error", "plan", says, "mend these first, then read it again"))
            if table is not None and {finding.rule for finding in found} <= LINKING:
                self.draft = plan_of(table, works, tools, clean(self._path.stem))
            return None, tuple(found)
        self.draft = plan_of(table, works, tools, clean(self._path.stem))
        return self.draft, ()

    @cached_property
    def _positions(self) -> Positions:
        return Positions(self._text)

    @property
    def _allowed(self) -> list[Any]:
        return _rows_of(self._raw, "use")

    def _add(self, rule: str, path: Path, where: str, says: str, mend: str) -> None:
        if len(self._findings) >= _MOST:
            self._more += 1
            return
        line = self._positions.line(path)
        self._findings.append(Finding(rule, "error", where, says, mend, line=line or 1))

    def _rows(self, read: Any) -> dict[str, Any]:
        try:
            return {row.id: row for row in read(self._shop)}
        except Refused as refusal:
            for line in str(refusal).splitlines():
                says, _, mend = line.rpartition("; ")
                self._findings.append(Finding("shop", "error", "shop", says, mend))
            return {}

    # procedures

    def _expanded(self) -> dict[str, Any]:
        """Return the document with every [[from]] replaced by its tasks, and remember where each task came from."""
        document = dict(self._raw)
        uses = document.pop("from", [])
        libraries = self._libraries()
        tasks = document.get("task", [])
        if not isinstance(uses, list) or (uses and not isinstance(tasks, list)):
            document["from"] = uses
            return document
        if not uses:
            self._origins = [_Origin(("task", place)) for place in range(len(tasks))] if isinstance(tasks, list) else []
            return document
        merged: list[Any] = []
        for name, place in self._order(len(tasks), len(uses)):
            if name == "task":
                merged.append(tasks[place])
                self._origins.append(_Origin(("task", place)))
            else:
                merged.extend(self._used(uses[place], place, libraries))
        document["task"] = merged
        return document

    def _order(self, tasks: int, uses: int) -> Iterable[tuple[str, int]]:
        every = [*(("task", place) for place in range(tasks)), *(("from", place) for place in range(uses))]
        seen = self._positions.order("task", "from")
        return seen if sorted(seen) == sorted(every) else every

    def _libraries(self) -> dict[str, Procedure]:
        """Read the libraries that the plan allows itself, by the name of the procedure."""
        found: dict[str, Procedure] = {}
        for place, library in enumerate(self._allowed):
            if not isinstance(library, str) or not is_library(library):
                continue
            known = library_names(self._shop)
            if library not in known:
                says, mend = f"there is no library {quoted(library)} in the shop", self._suggestion(library, known)
                self._add("dangling", ("use", place), "use", says, mend)
                continue
            try:
                procedure = read_procedure(self._shop, library)
            except Refused as refusal:
                for line in str(refusal).splitlines():
                    says, _, mend = line.rpartition("; ")
                    self._add("procedure", ("use", place), library, says, mend)
                continue
            found[procedure.name] = procedure
        return found

    def _used(self, raw: Any, place: int, libraries: Mapping[str, Procedure]) -> list[RawTask]:
        """Return the tasks of one [[from]] table."""
        try:
            table = FromTable.model_validate(raw)
        except ValidationError as error:
            as_document = raw if isinstance(raw, dict) else {}
            for rule, path, says, mend in mistakes(error, as_document, FromTable):
                self._add(rule, ("from", place, *path), f"from {place + 1}", f"[[from]] {place + 1}: {says}", mend)
            return []
        name = f"[[from]] {quoted(table.as_)}"
        procedure = libraries.get(table.procedure)
        if procedure is None:
            self._unknown_procedure(table, ("from", place, "procedure"), libraries)
            return []
        try:
            tasks = expand(procedure, table.as_, table.assembly, table.with_)
        except Misuse as misuse:
            self._add(misuse.rule, ("from", place, *misuse.path), table.as_, f"{name}: {misuse.says}", misuse.mend)
            return []
        self._origins.extend(_Origin(("from", place), procedure, number) for number in range(len(tasks)))
        return tasks

    def _unknown_procedure(self, table: FromTable, path: Path, libraries: Iterable[str]) -> None:
        """Say what is wrong with the name of a procedure; a library in `use` with mistakes has been named already."""
        library = f"procedures/{table.procedure}"
        if library in self._allowed:
            return
        says = f"[[from]] {quoted(table.as_)}: there is no procedure {quoted(table.procedure)} among those in `use`"
        in_shop = library in library_names(self._shop)
        mend = f"add {quoted(library)} to `use`" if in_shop else self._suggestion(table.procedure, libraries)
        self._add("dangling", path, table.as_, says, mend)

    # tables

    def _validated(self, document: dict[str, Any]) -> PlanTable | None:
        try:
            return PlanTable.model_validate(document)
        except ValidationError as error:
            for rule, path, says, mend in mistakes(error, document, PlanTable):
                self._at(rule, path, document, says, mend)
        return None

    def _at(self, rule: str, path: Path, document: Mapping[str, Any], says: str, mend: str) -> None:
        """Add a mistake at a path of the expanded document, with the name of its table in front."""
        if len(self._findings) >= _MOST:
            self._more += 1
            return
        if len(path) < 2 or not isinstance(path[1], int) or path[0] not in _PLURALS:
            self._add(rule, path, dotted(path[:1]) or "plan", says, mend)
            return
        where = _name(path, document)
        inner = dotted(path[2:-1] if isinstance(path[-1], str) else path[2:-2])
        says = f"{path[0]} {where}{f', {inner}' if inner else ''}: {says}"
        if path[0] != "task" or path[1] >= len(self._origins):
            self._add(rule, path, where.strip('"'), says, mend)
            return
        origin = self._origins[path[1]]
        if origin.procedure is None:
            self._add(rule, (*origin.path, *path[2:]), where.strip('"'), says, mend)
            return
        line = origin.procedure.line(("task", origin.place, *path[2:]))
        there = f"{shown(origin.procedure.path)}:{line or 1}"
        self._add(rule, origin.path, where.strip('"'), f"{says} (at {there})", mend)

    # ids

    def _same_ids(self, document: Mapping[str, Any]) -> None:
        for list_name, sort in _PLURALS.items():
            key = "size" if list_name == "cleco" else "id"
            seen: dict[str, Path] = {}
            for place, row_id, _ in _named(document, list_name, key):
                path: Path = (list_name, place, key)
                if row_id not in seen:
                    seen[row_id] = path
                    continue
                first = self._line_of(seen[row_id])
                says = f"there are two {sort} with the {key} {quoted(row_id)}, the first in line {first}"
                self._at("same-id", path, document, says, "rename one of them")

    def _line_of(self, path: Path) -> int:
        if path[0] == "task" and isinstance(path[1], int) and path[1] < len(self._origins):
            origin = self._origins[path[1]]
            path = origin.path if origin.procedure else (*origin.path, *path[2:])
        return self._positions.line(path) or 1

    def _dangling(self, document: Mapping[str, Any], works: Mapping[str, Work], tools: Mapping[str, Tool]) -> None:
        known = {
            sort: {row_id for _, row_id, _ in _named(document, sort)}
            for sort in ("assembly", "bay", "tool", "item", "work", "task")
        }
        self._row_tools(document, works, known["tool"] | set(tools))
        known["work"] |= set(works)
        known["tool"] |= set(tools)
        for place, task in enumerate(_rows_of(document, "task")):
            if not isinstance(task, dict):
                continue
            for found in references(task):
                if found.id in known[found.sort]:
                    continue
                sort = "kind of work" if found.sort == "work" else found.sort
                path: Path = ("task", place, *found.path)
                mend = self._suggestion(found.id, known[found.sort])
                self._at("dangling", path, document, f"there is no {sort} {quoted(found.id)}", mend)

    def _row_tools(self, document: Mapping[str, Any], works: Mapping[str, Work], known: set[str]) -> None:
        """Follow the tools of the rows of work that are used."""
        used = {work_id for _, work_id, _ in _named(document, "task", "work")}
        own = set()
        for place, row_id, row in _named(document, "work"):
            own.add(row_id)
            for number, tool in enumerate(_rows_of(row, "tools")):
                if isinstance(tool, str) and tool not in known:
                    path: Path = ("work", place, "tools", number)
                    mend = self._suggestion(tool, known)
                    self._at("dangling", path, document, f"there is no tool {quoted(tool)}", mend)
        for work_id, work in works.items():
            if work_id in own or work_id not in used:
                continue
            for tool in work.tools:
                if tool not in known:
                    says = f"the shop's work table names a tool {quoted(tool)} for {quoted(work_id)}, and there is none"
                    self._findings.append(Finding("dangling", "error", work_id, says, "add a [[tool]] with this id"))

    def _suggestion(self, word: str, known: Iterable[str]) -> str:
        self._searches += 1
        near = nearest(word, known) if self._searches <= _SUGGESTIONS else ""
        return f"did you mean {quoted(near)}?" if near else "mend the name, or add what is missing"

    def _circle(self, document: Mapping[str, Any]) -> None:
        tasks: dict[str, RawTask] = {}
        places: dict[str, int] = {}
        for place, task_id, task in _named(document, "task"):
            if task_id not in tasks:
                tasks[task_id], places[task_id] = task, place
        loop = written_loop(tasks)
        if not loop:
            return
        follows = [*loop[1:], loop[0]]
        links = [f"{quoted(one)} waits for {quoted(other)}" for one, other in zip(loop, follows, strict=True)]
        if len(links) > _LINKS:
            links[_LINKS - 1 : -1] = [f"{len(links) - _LINKS} more in between"]
        says = f"tasks wait for each other in a circle: {', '.join(links)}" if len(loop) > 1 else "it waits for itself"
        link = next(found for found in references(tasks[loop[0]]) if found.waits and found.id == follows[0])
        self._at("circle", ("task", places[loop[0]], *link.path), document, says, "take one of these holds out")


def _rows_of(document: Mapping[str, Any], name: str) -> list[Any]:
    rows = document.get(name, [])
    return rows if isinstance(rows, list) else []


def _named(document: Mapping[str, Any], name: str, key: str = "id") -> Iterator[tuple[int, str, dict[str, Any]]]:
    """Yield (place, id, table) of the tables of a list that have an id."""
    for place, row in enumerate(_rows_of(document, name)):
        if isinstance(row, dict) and isinstance(row.get(key), str):
            yield place, row[key], row


def _name(path: Path, document: Mapping[str, Any]) -> str:
    """Return what the table at (list, place, ...) is called: its id in quotes, or its number."""
    rows = _rows_of(document, str(path[0]))
    place = int(path[1])
    row = rows[place] if place < len(rows) else None
    if isinstance(row, dict):
        for key in ("id", "size", "as"):
            if isinstance(row.get(key), str):
                return quoted(row[key])
    return str(place + 1)
