"""The tables of trade facts: shared/trade/*.toml, each row with its source and standing.

The tables of the shop folder come first, so that "my kit's manual says" wins over what is
published; the published rows stay behind them and can still be asked for by source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from fitup.trade.exact import exact
from fitup.trade.mistake import BrokenTable

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

STANDINGS = {
    "seen": "the source's text was seen",
    "second-hand": "seen only where others quote it",
    "computed": "worked out from the facts named",
    "common practice": "common practice, no source",
    "memory": "from memory, not confirmed",
    "own": "said by this shop",
}
_CHECKOUT = Path(__file__).resolve().parents[3] / "shared" / "trade"
_LARGEST = 1_000_000


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its values by key, where it stands, and where it comes from.

    `group` is the heading it stands under in the file, `[[group]]`.
    """

    table: str
    group: str
    values: Mapping[str, object]
    source: str
    standing: str

    @property
    def cited(self) -> str:
        """The source and its standing, as shown wherever a value is shown."""
        if self.standing == "seen":
            return self.source
        if not self.source:
            return STANDINGS[self.standing]
        return f"{self.source} ({STANDINGS[self.standing]})"

    def text(self, key: str) -> str:
        """Return the text under `key`, "" where the row has none."""
        value = self.values.get(key, "")
        if not isinstance(value, str):
            raise BrokenTable(f"{key} in the trade table {self.table} must be text in quotes, not {value!r}")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """Return the list of texts under `key`, empty where the row has none."""
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(word, str) for word in value):
            raise BrokenTable(f"{key} in the trade table {self.table} must be a list of texts")
        return tuple(value)

    def figures(self, key: str) -> dict[str, Fraction]:
        """Return the figures under `key` by their names, exactly as written."""
        value = self.values.get(key, {})
        if not isinstance(value, dict):
            raise BrokenTable(f"{key} in the trade table {self.table} must be figures by name, in braces")
        return {name: self._exactly(figure, f"{key}, {name}") for name, figure in value.items()}

    def maybe(self, key: str) -> Fraction | None:
        """Return the figure under `key` exactly as written, None where the row has none."""
        value = self.values.get(key)
        return None if value is None else self._exactly(value, key)

    def figure(self, key: str) -> Fraction:
        """Return the figure under `key` exactly as written; raises `BrokenTable` where it is missing."""
        value = self.maybe(key)
        if value is None:
            raise BrokenTable(f"a row of the trade table {self.table} lacks {key}; source: {self.source or 'none'}")
        return value

    def _exactly(self, value: object, key: str) -> Fraction:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise BrokenTable(f"{key} in the trade table {self.table} must be a number, not {value!r}")
        return exact(value, f"{key} in the trade table {self.table}")


@dataclass(frozen=True)
class Tables:
    """The packaged tables, with those of a shop's own trade folder before them."""

    own: Path | None = None
    _read: dict[str, tuple[Row, ...]] = field(default_factory=dict, repr=False, compare=False)

    def rows(self, table: str) -> tuple[Row, ...]:
        """Return the rows of `table` (the name of its file without .toml), the shop's own first.

        Raises `BrokenTable` where a file cannot be read, is no TOML, or a row lacks its standing.
        """
        if table not in self._read:
            packaged = _rows(_packaged() / f"{table}.toml", table)
            own = _rows(self.own / f"{table}.toml", table) if self.own and self.own != _CHECKOUT else ()
            self._read[table] = (*(row for row in own if row not in packaged), *packaged)
        return self._read[table]

    def matching(self, table: str, group: str, source: str = "", **keys: str) -> tuple[Row, ...]:
        """Return the rows of a group whose texts under `keys` are as asked.

        `source` picks by part of the source's name.
        """
        return tuple(
            row
            for row in self.rows(table)
            if row.group == group
            and source.lower() in row.source.lower()
            and all(row.values.get(key.replace("_", "-")) == value for key, value in keys.items())
        )

    def first(self, table: str, group: str, source: str = "", **keys: str) -> Row:
        """Return the first row that matches; raises `BrokenTable` where there is none."""
        found = self.matching(table, group, source, **keys)
        if not found:
            asked = ", ".join([*keys.values(), *([f"source {source}"] if source else [])])
            raise BrokenTable(f"the trade table {table}.toml has no row [[{group}]] {asked}".rstrip())
        return found[0]


def preferred(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Return only the shop's own rows where there are any, else all: the kit's manual ends a conflict."""
    found = tuple(rows)
    return tuple(row for row in found if row.standing == "own") or found


class _InUse:
    """The shop's trade folder that this process works with: how to find it, and what was found."""

    def __init__(self) -> None:
        self.find: Callable[[], Path | None] = _none
        self.found: Tables | None = None


def _none() -> Path | None:
    return None


_IN_USE = _InUse()


def use_folder(find: Callable[[], Path | None]) -> None:
    """Let every sum that is given no tables use those of the folder that `find` returns.

    Stock, bench list, review and sums must agree on what the shop's manual says, so there is one
    such folder for the whole process. It is looked for when a table is first needed.
    """
    _IN_USE.find, _IN_USE.found = find, None


def tables(own: Path | None = None) -> Tables:
    """Return the tables, read once; `own` is a shop's own trade folder (default: the one in use)."""
    if own is not None:
        return _tables(own)
    if _IN_USE.found is None:
        _IN_USE.found = _tables(_IN_USE.find())
    return _IN_USE.found


@lru_cache(maxsize=8)
def _tables(own: Path | None) -> Tables:
    return Tables(own)


def _packaged() -> Traversable:
    from importlib import resources

    shipped = resources.files("fitup") / "_shop" / "shared" / "trade"
    return shipped if shipped.is_dir() else _CHECKOUT


def _rows(file: Traversable, table: str) -> tuple[Row, ...]:
    if not file.is_file():
        return ()
    try:
        raw = file.read_bytes()
    except OSError as error:
        raise BrokenTable(f"the trade table {file.name} cannot be read: {error.strerror}") from None
    if len(raw) > _LARGEST:
        raise BrokenTable(f"the trade table {file.name} is larger than a million bytes; it is no table of trade facts")
    import tomllib

    try:
        content = tomllib.loads(raw.decode("utf-8"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BrokenTable(f"the trade table {file.name} is not TOML: {error}") from None
    return tuple(row for group, entries in content.items() for row in _group(entries, group, table))


def _group(entries: object, group: str, table: str) -> tuple[Row, ...]:
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise BrokenTable(f"{group} in the trade table {table}.toml must be rows headed [[{group}]]")
    return tuple(_row(entry, group, table) for entry in entries)


def _row(entry: dict[str, object], group: str, table: str) -> Row:
    standing, source = entry.get("standing"), entry.get("source", "")
    if standing not in STANDINGS or not isinstance(standing, str) or not isinstance(source, str):
        raise BrokenTable(
            f"a row of the trade table {table}.toml needs standing = one of {', '.join(STANDINGS)}, not {standing!r}"
        )
    values = {key: value for key, value in entry.items() if key not in ("standing", "source")}
    return Row(table, group, values, source, standing)
