"""The shop's work table and tools."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from fitup.files.shop import Shop
from fitup.files.text_in import shown
from fitup.model.amounts import clean
from fitup.model.refusal import Refused

if TYPE_CHECKING:
    from fitup.model.plan import Tool, Work


def read_works(shop: Shop) -> tuple[Work, ...]:
    """Read the work table of the shop; a shop without one has no rows.

    Raises `Refused` with every mistake of the file, a line each.
    """
    from fitup.files.build import work_of
    from fitup.files.libraries import read_library
    from fitup.files.shop_schema import WorksFile

    path = shop.shared / "work.toml"
    if not os.path.exists(path):
        return ()
    table, _ = read_library(path, WorksFile)
    _refuse_twice(path, (row.id for row in table.work))
    return tuple(work_of(row) for row in table.work)


def read_tools(shop: Shop) -> tuple[Tool, ...]:
    """Read the tools of the shop; a shop without a list has none. Raises `Refused` as `read_works` does."""
    from fitup.files.build import tool_of
    from fitup.files.libraries import read_library
    from fitup.files.shop_schema import ToolsFile

    path = shop.shared / "tools.toml"
    if not os.path.exists(path):
        return ()
    table, _ = read_library(path, ToolsFile)
    _refuse_twice(path, (row.id for row in table.tool))
    return tuple(tool_of(row, {}) for row in table.tool)


def _refuse_twice(path: Path, ids: Iterable[str]) -> None:
    seen: set[str] = set()
    for row_id in ids:
        if row_id in seen:
            raise Refused(f'{shown(path)}: there are two rows "{clean(row_id)}"; rename one or take it out')
        seen.add(row_id)
