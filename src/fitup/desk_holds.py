"""Holds as they are told to people: the same waiting told once, with every bay that it is for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fitup.readiness import HoldState


def told_once(holds: Iterable[HoldState]) -> list[HoldState]:
    """Return the holds with those of one key made one, in the order of the first; their reasons stand side by side.

    A task that closes two bays waits twice for what is done in both: one wait, and one act that ends it.
    """
    found: dict[tuple[str, str, str], list[HoldState]] = {}
    for hold in holds:
        found.setdefault(hold.key, []).append(hold)
    return [alike[0] if len(alike) == 1 else _joined(alike) for alike in found.values()]


def _joined(alike: list[HoldState]) -> HoldState:
    standing = [hold for hold in alike if hold.state == "standing"] or alike
    return replace(standing[0], why=_reasons([hold.why for hold in standing]))


def _reasons(whys: list[str]) -> str:
    """Return reasons as one, what they begin with alike said once: "it closes bay 1 and bay 2"."""
    whys = list(dict.fromkeys(why for why in whys if why))
    lead = "it closes "
    if len(whys) > 1 and all(why.startswith(lead) for why in whys):
        return lead + " and ".join(why.removeprefix(lead) for why in whys)
    return "; ".join(whys)
