"""How long work takes: three-point times per task, their sums, and the chance of finishing in time."""

from fitup.estimate.cures import cure_hours, cure_minutes
from fitup.estimate.sums import PACE_SD, Total, chance_within, log_sd, total
from fitup.estimate.times import (
    clean_up_of,
    remaining_minutes,
    set_up_of,
    unit_likely,
    unit_time,
    whole_minutes,
    work_time,
)

__all__ = [
    "PACE_SD",
    "Total",
    "chance_within",
    "clean_up_of",
    "cure_hours",
    "cure_minutes",
    "log_sd",
    "remaining_minutes",
    "set_up_of",
    "total",
    "unit_likely",
    "unit_time",
    "whole_minutes",
    "work_time",
]
