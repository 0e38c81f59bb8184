"""Tables read by columns: in their order whatever the file's, each cell judged, each distinct cell read once."""

from __future__ import annotations

import sqlite3

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.store import cells, shapes
from fitup.store.shapes import Damaged, Row


def lots(rows: list[Row]) -> sqlite3.Connection:
    """Return a file with only a table of lots in it, without rules on what stands in its cells."""
    connection = sqlite3.connect(":memory:")
    connection.execute("CREATE TABLE lot (item, place, have, expires)")
    connection.executemany("INSERT INTO lot VALUES (?, ?, ?, ?)", rows)
    return connection


@settings(deadline=None)
@given(st.permutations(range(6)))
def test_rows_and_columns_come_in_their_order_however_they_were_written(places: list[int]) -> None:
    connection = lots([("primer", place, place / 2, None) for place in places])
    rows = shapes.LOT.read(connection)
    assert [row[1] for row in rows] == list(range(6))
    columns = shapes.LOT.read_columns(connection)
    assert list(zip(*columns.values(), strict=True)) == rows
    connection.close()


def test_an_empty_table_has_its_columns_all_the_same() -> None:
    connection = lots([])
    assert shapes.LOT.read_columns(connection) == {"item": (), "place": (), "have": (), "expires": ()}
    connection.close()


@pytest.mark.parametrize(
    ("row", "column"),
    [((7, 0, 1.0, None), "item"), (("a", None, 1.0, None), "place"), (("a", 0, "much", None), "have"),
     (("a", 0, 1.0, b"2027"), "expires")],
)  # fmt: skip
def test_a_value_of_the_wrong_kind_is_told_with_its_column(row: Row, column: str) -> None:
    connection = lots([("a", 0, 1.0, None), row])
    with pytest.raises(Damaged, match=f"table lot has a value of the wrong kind in column {column}"):
        shapes.LOT.read_columns(connection)
    connection.close()


def test_a_cell_that_comes_again_and_again_is_read_once() -> None:
    read: list[str] = []

    def length(cell: str) -> int:
        read.append(cell)
        return len(cell)

    assert cells.each(length, ("ab", "c", "ab", "", "c")) == [2, 1, 2, 0, 1]
    assert sorted(read) == ["", "ab", "c"]
    assert cells.each(length, ()) == []
