"""Entry point: `fitup` and `python -m fitup`. The one place that knows both the commands and the screens."""

from __future__ import annotations

import gc
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fitup.desk import Desk


def main() -> int:
    """Run the command line in `sys.argv` and return the exit code."""
    # Next to nothing of what a start makes is ever garbage, and looking for it takes a tenth of the time.
    gc.disable()
    from fitup.cli.main import run

    return run(sys.argv[1:], _screens)


def _screens(desk: Desk, *, ascii_only: bool, mouse: bool) -> None:
    """Open the screens; they are imported only now."""
    _import_asyncio_alone()
    from fitup.tui.running import run

    run(desk, ascii_only=ascii_only, mouse=mouse)


def _import_asyncio_alone() -> None:
    """Import asyncio as it is in a Python without ssl: nothing here talks to a network, and ssl costs 4 MB and time."""
    if "asyncio" in sys.modules or "ssl" in sys.modules:
        return
    sys.modules["ssl"] = None  # type: ignore[assignment]  # how an import is made to fail as if there were none
    import asyncio  # noqa: F401

    del sys.modules["ssl"]


if __name__ == "__main__":
    sys.exit(main())
