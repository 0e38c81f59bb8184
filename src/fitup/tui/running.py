"""Opens the screens and closes them again, with all that runs behind them."""

from __future__ import annotations

import os
import sys

from fitup.desk import Desk
from fitup.desk_proof import Proofs
from fitup.model.refusal import Refused
from fitup.tui.app import FitupApp

SWITCH = 0.001
"""Seconds after which the thread that plans gives way to a key; Python's own 5 ms add up over the hands it passes."""


def run(desk: Desk, *, ascii_only: bool, mouse: bool = False) -> None:
    """Open the screens on a desk and return when they are left; raises `Refused` where a terminal cannot show them."""
    if os.environ.get("TERM") == "dumb":
        raise Refused("this terminal cannot show screens (TERM=dumb); use the commands: fitup session, fitup --help")
    sys.setswitchinterval(SWITCH)
    with Proofs() as proofs:
        FitupApp(desk, ascii_only=ascii_only, proofs=proofs).run(mouse=mouse)
