"""The shop folder: where projects, plans and the libraries that every project may use are kept."""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from fitup.files.text_in import shown
from fitup.model.refusal import Refused

_PACKAGE = Path(__file__).resolve().parent.parent
_PARTS = ("projects", "shared")


@dataclass(frozen=True, slots=True)
class Shop:
    """A folder with `projects` (project files and plans) and `shared` (work table, tools, procedures)."""

    root: Path

    @property
    def projects(self) -> Path:
        """Where project files and plans are kept."""
        return self.root / "projects"

    @property
    def shared(self) -> Path:
        """Where the libraries are kept."""
        return self.root / "shared"


def find_shop(given: Path | None = None) -> Shop:
    """Find the shop: the folder given, else $FITUP_SHOP, the current folder, the user's own one.

    The user's own shop is made on first use with what fitup ships. Raises `Refused` where a folder
    that was named is no shop, or the user's own one cannot be made.
    """
    if given is not None:
        return _named(given, "--shop")
    named = os.environ.get("FITUP_SHOP", "")
    if named:
        return _named(Path(named), "FITUP_SHOP")
    here = _current_folder()
    if here is not None and _is_shop(here):
        return Shop(here)
    return _own_shop()


def trade_folder(given: Path | None = None) -> Path | None:
    """Return the trade tables' folder of the shop that `find_shop` would find; None where there is none.

    Unlike `find_shop` this makes no folder: what fitup ships is there anyway.
    """
    if given is not None:
        shop = _named(given, "--shop")
    elif os.environ.get("FITUP_SHOP", ""):
        shop = _named(Path(os.environ["FITUP_SHOP"]), "FITUP_SHOP")
    else:
        here = _current_folder()
        shop = Shop(here) if here is not None and _is_shop(here) else Shop(_own_root())
    folder = shop.shared / "trade"
    return folder if folder.is_dir() else None


def shipped_shop() -> Shop:
    """Return what fitup ships: inside the installed package, or the checkout that it runs from."""
    packaged = _PACKAGE / "_shop"
    if _is_shop(packaged):
        return Shop(packaged)
    checkout = _PACKAGE.parent.parent
    if _is_shop(checkout):
        return Shop(checkout)
    raise Refused(f"fitup is installed without its work table ({shown(packaged)} is missing); install it again")


def _named(folder: Path, how: str) -> Shop:
    try:
        root = folder.expanduser().resolve()
        found = _is_shop(root)
    except (OSError, RuntimeError, ValueError):
        found = False
        root = folder
    if not found:
        raise Refused(f"{shown(root)} ({how}) is no shop folder; it needs the folders projects and shared")
    return Shop(root)


def _current_folder() -> Path | None:
    try:
        return Path.cwd()
    except OSError:  # the folder was removed under us: there is no shop here
        return None


def _is_shop(folder: Path) -> bool:
    try:
        return all((folder / part).is_dir() for part in _PARTS)
    except OSError:  # a folder that may not be looked into is no shop
        return False


def _own_root() -> Path:
    from platformdirs import user_data_path

    return user_data_path("fitup", appauthor=False)


def _own_shop() -> Shop:
    root = _own_root()
    if _is_shop(root):
        return Shop(root)
    shipped = shipped_shop()
    try:
        for part in _PARTS:
            _copy(shipped.root / part, root / part)
    except (OSError, shutil.Error) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "it cannot be written"
        raise Refused(
            f"the shop folder {shown(root)} cannot be made ({why.lower()}); name another one with --shop or FITUP_SHOP"
        ) from None
    return Shop(root)


def _copy(source: Path, target: Path) -> None:
    """Copy libraries, plans and journals; a folder is complete or not there, and nothing is overwritten."""
    if target.is_dir():
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    half = target.with_name(f".{target.name}.{os.getpid()}")
    wanted = shutil.ignore_patterns("*.fitup", "*.fitup-*", ".*")
    shutil.copytree(source, half, ignore=wanted)
    try:
        half.rename(target)
    except OSError:
        shutil.rmtree(half)
        if not target.is_dir():
            raise
