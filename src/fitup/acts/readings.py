"""Readings as people write them, and the verdict on them by the check's own rule."""

from __future__ import annotations

from collections.abc import Sequence

from fitup.model.amounts import clean, plain_number
from fitup.model.plan import Check
from fitup.model.progress import Readings
from fitup.model.refusal import Refused
from fitup.trade import measures

YES_NO = {"yes": 1.0, "y": 1.0, "no": 0.0, "n": 0.0}


def parse_readings(task_id: str, check: Check, words: Sequence[str]) -> Readings:
    """Read what was typed for a check: `root=402.5/402.0`, `402.5 402.6`, `0=5.9 0.9=5.4` or `yes`.

    Raises `Refused` with an example in the check's own form.
    """
    if not words:
        raise Refused(f"{task_id}: no readings given; write {example(check)}")
    if check.kind == "yes-no":
        if len(words) != 1 or words[0].lower() not in YES_NO:
            raise Refused(f"{task_id}: answer yes or no")
        return (("", (YES_NO[words[0].lower()],)),)
    if check.kind in ("range", "sample"):
        return (("", tuple(_figure(task_id, check, word) for word in words)),)
    named: list[tuple[str, tuple[float, ...]]] = []
    for word in words:
        name, equals, figures = word.partition("=")
        if not equals or not name:
            raise Refused(f"{task_id}: {clean(word)!r} is not a reading here; write {example(check)}")
        if name in (known for known, _ in named):
            raise Refused(f"{task_id}: {clean(name)} is given twice")
        named.append((name, tuple(_figure(task_id, check, figure) for figure in figures.split("/"))))
    return tuple(named)


def example(check: Check) -> str:
    """Return how readings for this check are written, with its own stations."""
    if check.kind == "spread":
        stations = check.stations or ("root", "tip")
        faces = "/".join("0.0" for _ in check.faces or ("a", "b"))
        return " ".join(f"{station}={faces}" for station in stations)
    if check.kind == "straight":
        unit = check.unit or "one unit"
        return f"0=5.9 900=5.4 1800=4.4 (place=reading, both in {unit})"
    if check.kind == "yes-no":
        return "yes or no"
    return " ".join("402.5" for _ in range(min(check.n, 3) or 2)) + (" ..." if check.n > 3 else "")


def _figure(task_id: str, check: Check, word: str) -> float:
    value = plain_number(word)
    if value is None:
        raise Refused(f"{task_id}: {clean(word)!r} is not a figure; write {example(check)}")
    return value


def judge_readings(task_id: str, check: Check, readings: Readings) -> measures.Verdict:
    """Judge readings by the check's rule; raises `Refused` where they do not fit it."""
    try:
        return measures.judge_check(check, readings)
    except Refused as mistake:
        raise Refused(f"{task_id}: {mistake} (write {example(check)})") from None
