"""Nothing in the trade's room is kept for the tests alone: a command, a screen or a review rule leads to all of it."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator
from pathlib import Path

import fitup

SRC = Path(fitup.__file__).parent
Name = tuple[str, str]
"""(module, name) of something defined at the top of a module of the trade."""


def test_a_way_from_outside_leads_to_every_public_name_of_the_trade() -> None:
    defined = {module.stem: dict(_defined(module)) for module in (SRC / "trade").glob("*.py")}
    leads_to = {
        (module, name): set(_used(statement, module, defined, _tree(module)))
        for module, names in defined.items()
        for name, statement in names.items()
    }
    reached: set[Name] = set()
    outside = [ast.parse(file.read_text("utf-8")) for file in SRC.rglob("*.py") if file.parent.name != "trade"]
    waiting = [name for tree in outside for name in _used(tree, "", defined, tree)]
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            waiting += leads_to.get(name, ())
    public = {(module, name) for module, names in defined.items() for name in names if not name.startswith("_")}
    assert sorted(public - reached) == []


def test_every_kind_of_row_in_the_tables_is_read() -> None:
    words = {
        node.value
        for module in (SRC / "trade").glob("*.py")
        for node in ast.walk(ast.parse(module.read_text("utf-8")))
        if isinstance(node, ast.Constant)
    }
    tables = (SRC.parent.parent / "shared" / "trade").glob("*.toml")
    kinds = {kind for table in tables for kind in tomllib.loads(table.read_text("utf-8"))}
    assert kinds - words == set()


def _tree(module: str) -> ast.Module:
    return ast.parse((SRC / "trade" / f"{module}.py").read_text("utf-8"))


def _defined(file: Path) -> Iterator[tuple[str, ast.stmt]]:
    for statement in ast.parse(file.read_text("utf-8")).body:
        if isinstance(statement, ast.FunctionDef | ast.ClassDef):
            yield statement.name, statement


def _used(part: ast.AST, module: str, defined: dict[str, dict[str, ast.stmt]], whole: ast.Module) -> Iterator[Name]:
    """Yield what a part of a file names of the trade, by the imports of the whole file or as its own."""
    modules: dict[str, str] = {}
    names: dict[str, Name] = {name: (module, name) for name in defined.get(module, ())}
    for node in ast.walk(whole):
        if isinstance(node, ast.ImportFrom) and node.module == "fitup.trade":
            modules |= {alias.asname or alias.name: alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("fitup.trade."):
            origin = str(node.module).removeprefix("fitup.trade.")
            names |= {alias.asname or alias.name: (origin, alias.name) for alias in node.names}
    for node in ast.walk(part):
        if isinstance(node, ast.Name) and node.id in names:
            yield names[node.id]
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in modules:
            yield modules[node.value.id], node.attr
