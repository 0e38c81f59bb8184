"""Where things stand in a TOML file: the line of every key, table header and list element.

The standard library reads TOML but keeps no positions, so the text is parsed a second time by a
grammar that does. This happens only when there is a mistake to point at, or when the order of
different tables in the file matters.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node

Path = tuple[str | int, ...]
_DEEPEST = 40
_KEYS = ("bare_key", "quoted_key", "dotted_key")


class Positions:
    """Lines of a TOML text by path: ("task", 3, "holds", 0, "until") gives a line from 1."""

    def __init__(self, text: str) -> None:
        import tree_sitter
        import tree_sitter_toml

        self._lines: dict[Path, int] = {}
        self._counts: dict[Path, int] = {}
        language = tree_sitter.Language(tree_sitter_toml.language())
        root = tree_sitter.Parser(language).parse(text.encode("utf-8")).root_node
        for node in root.named_children:
            if node.type == "pair":
                self._pair(node, (), 0)
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def line(self, path: Sequence[str | int]) -> int | None:
        """Return the line of the path, or of the nearest table around it."""
        for length in range(len(path), 0, -1):
            found = self._lines.get(tuple(path[:length]))
            if found is not None:
                return found
        return None

    def order(self, *names: str) -> tuple[tuple[str, int], ...]:
        """Return the elements of the top-level lists `names` in the order of the file: (name, place)."""
        found = [
            (line, place, str(path[0]), int(path[1]))
            for place, (path, line) in enumerate(self._lines.items())
            if len(path) == 2 and path[0] in names and isinstance(path[1], int)
        ]
        return tuple((name, index) for _, _, name, index in sorted(found))

    def _mark(self, path: Path, node: Node) -> None:
        self._lines.setdefault(path, node.start_point.row + 1)

    def _table(self, node: Node) -> None:
        key_node = next((child for child in node.named_children if child.type in _KEYS), None)
        if key_node is None:
            return
        path: Path = ()
        keys = list(_keys(key_node))
        for place, key in enumerate(keys):
            path = (*path, key)
            last = place == len(keys) - 1
            if last and node.type == "table_array_element":
                self._mark(path, node)
                self._counts[path] = self._counts.get(path, 0) + 1
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
        self._mark(path, node)
        for child in node.named_children:
            if child.type == "pair":
                self._pair(child, path, 0)

    def _pair(self, node: Node, path: Path, depth: int) -> None:
        parts = node.named_children
        if not parts or parts[0].type not in _KEYS:
            return
        for key in _keys(parts[0]):
            path = (*path, key)
            self._mark(path, node)
        if len(parts) > 1:
            self._value(parts[-1], path, depth)

    def _value(self, node: Node, path: Path, depth: int) -> None:
        if depth > _DEEPEST:
            return
        if node.type == "inline_table":
            for child in node.named_children:
                if child.type == "pair":
                    self._pair(child, path, depth + 1)
        elif node.type == "array":
            elements = [child for child in node.named_children if child.type not in ("comment", "ERROR")]
            for place, child in enumerate(elements):
                self._mark((*path, place), child)
                self._value(child, (*path, place), depth + 1)


def _keys(node: Node) -> Iterator[str]:
    """Yield the parts of a key, `a."b c"` as a and b c."""
    if node.type == "dotted_key":
        for child in node.named_children:
            yield from _keys(child)
        return
    text = (node.text or b"").decode("utf-8", "replace")
    if node.type == "quoted_key":
        try:
            yield str(tomllib.loads(f"key = {text}")["key"])
        except tomllib.TOMLDecodeError:
            yield text.strip("\"'")
        return
    yield text
