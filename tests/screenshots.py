"""Makes the README's pictures anew: `python -m tests.screenshots` writes .screens/*.svg from the demo project."""

from __future__ import annotations

import asyncio
import re
import tempfile
from pathlib import Path

from tests.tui.screens import settle

from fitup.desk import Desk
from fitup.desk_files import make_demo
from fitup.files.shop import shipped_shop
from fitup.model.amounts import parse_instant
from fitup.tui.app import FitupApp

FOLDER = Path(__file__).parent.parent / ".screens"
MORNING = parse_instant("2026-11-28T08:40")
PICTURES = {"session": ("1",), "graph": ("2",), "holds": ("3",), "bench": ("4",)}


async def take(project: Path, name: str, keys: tuple[str, ...]) -> None:
    """Press keys on a fresh start and keep the screen as an SVG without web fonts."""
    desk = Desk.open(project, "Robin", lambda: MORNING)
    app = FitupApp(desk, ascii_only=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        await pilot.press(*keys)
        await settle(app, pilot)
        picture = app.export_screenshot(title="fitup", simplify=True)
    desk.close()
    picture = re.sub(r"@font-face \{.*?\}\s*", "", picture, flags=re.DOTALL)
    # some viewers trim even blanks that do not break
    picture = picture.replace("<svg ", '<svg xml:space="preserve" ', 1)
    (FOLDER / f"{name}.svg").write_text(picture, encoding="utf-8")


def main() -> None:
    """Take every picture."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder) / "demo.fitup"
        make_demo(project, shipped_shop())
        for name, keys in PICTURES.items():
            asyncio.run(take(project, name, keys))


if __name__ == "__main__":
    main()
