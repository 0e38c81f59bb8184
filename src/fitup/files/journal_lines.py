"""A journal written by hand or by a script: JSON, one act a line, replayed into a project."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fitup.files.text_in import read_text, shown
from fitup.model import asks as a
from fitup.model.amounts import parse_instant
from fitup.model.progress import Readings
from fitup.model.refusal import Refused

if TYPE_CHECKING:
    from fitup.files import journal_schema as j


def read_asks(path: Path) -> Iterator[tuple[datetime, str, a.Ask]]:
    """Yield (time, name of the person, ask) of every line, oldest first.

    The whole file is judged before the first line is yielded. Raises `Refused` with file and line
    for the first line that is no act, or that lies before the one above it.
    """
    found: list[tuple[datetime, str, a.Ask]] = []
    for number, text in enumerate(read_text(path, "journal").splitlines(), start=1):
        if not text.strip():
            continue
        try:
            at, by, ask = _ask(text)
            if found and at < found[-1][0]:
                raise Refused("this happened before the line above it; put the lines in order of time")
        except Refused as refusal:
            raise Refused(f"{shown(path)}:{number}: {refusal}") from None
        found.append((at, by, ask))
    yield from found


def _ask(text: str) -> tuple[datetime, str, a.Ask]:
    from pydantic import ValidationError

    from fitup.files.journal_schema import WrittenLine
    from fitup.files.sentences import mistakes

    try:
        document = {"line": json.loads(text)}
    except (ValueError, RecursionError):
        raise Refused("not JSON; write one { } with the act on one line") from None
    try:
        line = WrittenLine.model_validate(document).line
    except ValidationError as error:
        _, _, says, mend = mistakes(error, document, WrittenLine)[0]
        raise Refused(f"{says.replace('`line`', 'the line')}; {mend}") from None
    at = parse_instant(line.at, "the time")
    return at, line.by, _MAKERS[line.do](line, at)


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _readings(given: Any) -> Readings:
    """Return readings as they are kept: yes is 1, a plain list has the name ""."""
    if isinstance(given, str):
        return (("", (1.0 if given == "yes" else 0.0,)),)
    if isinstance(given, list):
        return (("", tuple(given)),)
    return tuple((name, tuple(figures) if isinstance(figures, list) else (figures,)) for name, figures in given.items())


def _tick(line: j.TickLine, at: datetime) -> a.Ask:
    return a.AskTick(line.task, line.count, line.minutes, at)


def _measure(line: j.MeasureLine, at: datetime) -> a.Ask:
    return a.AskMeasure(line.task, _readings(line.readings), line.decide, line.why, at)


def _waive(line: j.WaiveLine, at: datetime) -> a.Ask:
    return a.AskWaive(line.task, line.kind, line.why, line.until, line.second, line.sure_to_close)


def _stock(line: j.StockLine, at: datetime) -> a.Ask:
    change = line.add if line.add is not None else None if line.take is None else -line.take
    return a.AskStock(line.item, change, line.set, _day(line.expires))


_MAKERS: dict[str, Callable[[Any, datetime], a.Ask]] = {
    "tick": _tick,
    "measure": _measure,
    "waive": _waive,
    "stock": _stock,
    "reopen": lambda line, at: a.AskReopen(line.task, line.why, line.count),
    "again": lambda line, at: a.AskAgain(line.task),
    "lift": lambda line, at: a.AskLift(line.task, line.kind, line.why, line.until),
    "stop": lambda line, at: a.AskStop(line.why, line.task, line.ref),
    "sign": lambda line, at: a.AskSign(line.task, line.role, at),
    "cure": lambda line, at: a.AskCure(line.task, line.until, line.hours, line.why),
    "photo": lambda line, at: a.AskPhoto(line.task, line.file, must_exist=False),
    "note": lambda line, at: a.AskNote(line.task, line.text, line.next),
    "temperature": lambda line, at: a.AskTemperature(line.celsius, line.low, at),
    "clock": lambda line, at: a.AskClock(line.start, line.task, at),
    "arrived": lambda line, at: a.AskArrived(line.item, _day(line.expires)),
    "undo": lambda line, at: a.AskUndo(),
    "redo": lambda line, at: a.AskRedo(),
}
