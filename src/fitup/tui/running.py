"""Opens the screens and closes them again, with all that runs behind them."""

from __future__ import annotations

import gc
import os

from fitup.desk import Desk
from fitup.desk_proof import Proofs
from fitup.model.refusal import Refused
from fitup.tui.app import FitupApp


def run(desk: Desk, *, ascii_only: bool, mouse: bool = False) -> None:
    """Open the screens on a desk and return when they are left; raises `Refused` where a terminal cannot show them."""
    if os.environ.get("TERM") == "dumb":
        raise Refused("this terminal cannot show screens (TERM=dumb); use the commands: fitup session, fitup --help")
    gc.disable()
    with Proofs() as proofs:
        proofs.warm()
        FitupApp(desk, ascii_only=ascii_only, proofs=proofs).run(mouse=mouse)
