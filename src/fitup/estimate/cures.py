"""How long a cure that starts in a session will hold what waits for it, in whole minutes."""

from __future__ import annotations

from math import ceil

from fitup.model.plan import Hold
from fitup.model.progress import Project
from fitup.trade.clocks import NOMINAL_CELSIUS, factor


def cure_hours(project: Project, task_id: str, hold: Hold) -> float:
    """Return the nominal hours of a cure hold of `task_id`: as corrected by a person, else the plan's."""
    corrected = project.progress.cures.get((task_id, hold.until or ""))
    return hold.hours if corrected is None else corrected.hours


def cure_minutes(project: Project, task_id: str, hold: Hold, celsius: float | None = None) -> int:
    """Return the minutes from the finish of `hold.until` to the end of the cure, rounded up.

    `celsius` is the shop's temperature; None takes the last reading, or 25 C where there is none.
    It counts only where the hold names a law.
    """
    if celsius is None:
        readings = project.progress.temperatures
        celsius = max(readings, key=lambda r: r.at).celsius if readings else NOMINAL_CELSIUS
    return ceil(round(cure_hours(project, task_id, hold) * 60 * factor(celsius, hold.law), 6))
