"""Reads the values that people type behind commands: files, times, dates, quantities."""

from __future__ import annotations

import os
import re
from datetime import date, datetime
from pathlib import Path

from fitup.model.amounts import clean, local_day, parse_instant, plain_number
from fitup.model.refusal import Refused


def optional_path(text: str | None) -> Path | None:
    """Return the path that was given, None where none was."""
    return None if text is None else Path(text)


def named_project(*given: str | None) -> Path | None:
    """Return the project file named first of those given, else by $FITUP_PROJECT; None where none is named."""
    named = next((text for text in (*given, os.environ.get("FITUP_PROJECT")) if text), None)
    return optional_path(named)


def parse_moment(text: str, what: str, now: datetime) -> datetime:
    """Read a local time such as 2026-11-28T09:00, or 09:00 for that time today, and return it in UTC."""
    today = re.fullmatch(r"([01]?\d|2[0-3]):[0-5]\d", text.strip()) is not None
    if today:
        text = f"{local_day(now)}T{text.strip():0>5}"
    return parse_instant(text, what)


def parse_day(text: str) -> date:
    """Read an ISO date such as 2027-03-01."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refused(f"{clean(text)!r} is not a date of the calendar; write it as 2027-03-01") from None


def parse_whole(text: str, what: str) -> int:
    """Read a whole number; `what` names it in the sentence of a refusal."""
    if re.fullmatch(r"[+-]?[0-9]{1,9}", text) is None:
        raise Refused(f"{what} {clean(text)!r} is not a whole number")
    return int(text)


def parse_figure(text: str, what: str) -> float:
    """Read a finite number."""
    value = plain_number(text)
    if value is None:
        raise Refused(f"{what} {clean(text)!r} is not a number")
    return value


def parse_stock(text: str) -> tuple[float | None, float | None]:
    """Read +N, -N or =N and return (change, total), one of them None."""
    if re.fullmatch(r"[+\-=][0-9]+(?:\.[0-9]+)?", text) is None:
        raise Refused(f"{clean(text)!r} is not a stock change; write +N, -N or =N")
    value = float(text[1:])
    if text[0] == "=":
        return None, value
    return (value if text[0] == "+" else -value), None
