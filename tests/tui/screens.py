"""Opens the screens for tests on the shop-floor plan, and reads what they show."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.shop_floor import NINE, Wall, write_plan_file
from textual.pilot import Pilot

from fitup.desk import Desk
from fitup.desk_proof import Proofs
from fitup.files.plan_toml import read_plan
from fitup.files.shop import shipped_shop
from fitup.model.plan import Plan
from fitup.store.project import ProjectFile
from fitup.tui.app import FitupApp

Shown = Pilot[None]


@cache
def _plan() -> Plan:
    """Return the shop-floor plan, read once."""
    with TemporaryDirectory() as folder:
        return read_plan(write_plan_file(Path(folder)), shipped_shop())


@asynccontextmanager
async def screens(
    folder: Path,
    size: tuple[int, int] = (80, 24),
    change: Callable[[Plan], Plan] = lambda plan: plan,
    ascii_only: bool = False,
    wall: Wall | None = None,
    proofs: Proofs | None = None,
) -> AsyncIterator[tuple[FitupApp, Shown]]:
    """Open the screens on a new project and close everything afterwards."""
    path = folder / "tab.fitup"
    ProjectFile.create(path, change(_plan()), "Robin", NINE).close()
    desk = Desk.open(path, "Robin", wall or Wall())
    app = FitupApp(desk, ascii_only=ascii_only, proofs=proofs)
    try:
        async with app.run_test(size=size) as pilot:
            await settle(app, pilot)
            yield app, pilot
    finally:
        desk.close()


async def settle(app: FitupApp, pilot: Shown) -> None:
    """Wait until everything is shown, and what is planned behind the screens has come in."""
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()


def lines_of(app: FitupApp) -> list[str]:
    """Return the text on the screen, line by line."""
    return ["".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips()]


def text_of(app: FitupApp) -> str:
    """Return the text on the screen with its runs of spaces made one."""
    return " ".join(" ".join(lines_of(app)).split())


async def press(pilot: Shown, *keys: str) -> None:
    """Press keys, and wait until what they brought is shown."""
    await pilot.press(*keys)
    assert isinstance(pilot.app, FitupApp)
    await settle(pilot.app, pilot)


async def choose(app: FitupApp, pilot: Shown, page: str, key: str) -> None:
    """Go to a page and choose the row of a key."""
    app.go(page, key)
    await settle(app, pilot)
    assert app.list.chosen == key


async def fill(app: FitupApp, pilot: Shown, *answers: str | None) -> None:
    """Type answers into the panel's fields in turn, None leaving one as it is, and go."""
    form = app.panel.form
    assert form is not None
    for field, answer in zip(form.fields, answers, strict=False):
        if answer is not None:
            field.text, field.caret = answer, len(answer)
    await press(pilot, "enter")
