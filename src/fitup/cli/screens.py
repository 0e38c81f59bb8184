"""Opens the screens on a project, or says in plain text what a terminal without screens can show."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from fitup.cli.values import named_project, optional_path
from fitup.model.marks import CAUTION
from fitup.model.refusal import Refused

if TYPE_CHECKING:
    from fitup.desk import Desk


class Screens(Protocol):
    """What opens the screens on a desk; handed in from above, since commands and screens do not know each other."""

    def __call__(self, desk: Desk, *, ascii_only: bool, mouse: bool) -> None:
        """Show the screens until they are left."""


def open_screens(args: Namespace, by: str, now: datetime, screens: Screens | None) -> None:
    """Open the screens on the project named, the shop's only one, or, where there is none, the demo.

    Raises `Refused` where the terminal cannot show screens.
    """
    shown = _on_a_terminal(screens)
    _open(_project(args), args, by, now, shown)


def open_demo(args: Namespace, by: str, now: datetime, screens: Screens | None) -> None:
    """Open the screens on the demo project, made first where it is not there."""
    from fitup import desk_files

    shown = _on_a_terminal(screens)
    shop = desk_files.find_shop(optional_path(args.shop))
    path = Path(args.file) if args.file else desk_files.demo_path(shop)
    if not path.exists():
        desk_files.make_demo(path, shop)
    _open(path, args, by, now, shown)


def _on_a_terminal(screens: Screens | None) -> Screens:
    """Return the screens where there is a terminal to show them on."""
    dumb = os.environ.get("TERM") == "dumb" or not (sys.stdin.isatty() and sys.stdout.isatty())
    if dumb or screens is None:
        raise Refused("the screens need a terminal; without one use the commands, such as fitup session (fitup --help)")
    return screens


def _open(path: Path, args: Namespace, by: str, now: datetime, screens: Screens) -> None:
    from fitup.desk import Desk, utc_now

    desk = Desk.open(path, by, utc_now if args.now is None else lambda: now)
    try:
        screens(desk, ascii_only=args.ascii or not _utf8(), mouse=args.mouse)
    finally:
        desk.close()


def _project(args: Namespace) -> Path:
    named = named_project(args.project_file, args.project)
    if named is not None:
        return named
    from fitup import desk_files

    shop = desk_files.find_shop(optional_path(args.shop))
    if desk_files.projects_in(shop):
        return desk_files.only_project(shop)
    print(f"No project yet: making the demo. {CAUTION}", file=sys.stderr)
    return desk_files.make_demo(None, shop).path


def _utf8() -> bool:
    """Return whether the terminal's character set is UTF-8, by the locale that the user has set."""
    for name in ("LC_ALL", "LC_CTYPE", "LANG"):
        value = os.environ.get(name)
        if value:
            return "utf" in value.lower()
    return False
