"""The files of a shop as declared tables: work table, tools and procedures."""

from __future__ import annotations

from typing import Any

from fitup.files.schema import ToolTable, WorkTable
from fitup.files.values import Id, Prose, Table, Title, key


class WorksFile(Table):
    """The shop's work table, work.toml."""

    work: list[WorkTable] = key(..., "kinds of work")


class ToolsFile(Table):
    """The shop's tools, tools.toml."""

    tool: list[ToolTable] = key(..., "tools, tables and jigs")


class ProcedureHead(Table):
    """What a procedure is."""

    id: Id = key(..., "its name, that of its file")
    title: Title = key(..., "what it is for")
    note: Prose = key("", "a remark for whoever uses it")
    source: Prose = key("", "where it comes from")


class ParameterTable(Table):
    """A parameter of a procedure, written {name} in its tasks."""

    name: Id = key(..., "its name")
    title: Title = key(..., "what it means")
    default: Any = key(None, "its value where [[from]] gives none; without it one must be given")


class ProcedureFile(Table):
    """A procedure: tasks with parameters that a plan takes in by [[from]]."""

    procedure: ProcedureHead = key(..., "what it is")
    parameter: list[ParameterTable] = key([], "its parameters")
    task: list[dict[str, Any]] = key(..., "its tasks, with {name} where a parameter goes")
