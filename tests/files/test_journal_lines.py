"""Written journals: every act is read, and a bad line is refused with its number."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from fitup.files.journal_lines import read_asks
from fitup.model import asks as a
from fitup.model.amounts import parse_instant
from fitup.model.refusal import Refused

AT = "2026-09-05T10:20"
WHEN = parse_instant(AT)


def write(path: Path, *acts: dict[str, object]) -> Path:
    """Write acts as lines, all at one time by one person."""
    lines = [json.dumps({"at": AT, "by": "Robin", **act}) for act in acts]
    path.write_text("\n".join(lines) + "\n\n")
    return path


@pytest.mark.parametrize(
    ("act", "ask"),
    [
        ({"do": "tick", "task": "a"}, a.AskTick("a", at=WHEN)),
        ({"do": "tick", "task": "a", "count": 3, "minutes": 12.5}, a.AskTick("a", 3, 12.5, WHEN)),
        (
            {"do": "measure", "task": "a", "readings": {"root": [402.5, 402], "tip": 3}},
            a.AskMeasure("a", (("root", (402.5, 402)), ("tip", (3,))), at=WHEN),
        ),
        (
            {"do": "measure", "task": "a", "readings": [402.5, 402.6], "decide": "pass", "why": "close"},
            a.AskMeasure("a", (("", (402.5, 402.6)),), "pass", "close", WHEN),
        ),
        ({"do": "measure", "task": "a", "readings": "yes"}, a.AskMeasure("a", (("", (1,)),), at=WHEN)),
        ({"do": "measure", "task": "a", "readings": "no"}, a.AskMeasure("a", (("", (0,)),), at=WHEN)),
        ({"do": "reopen", "task": "a", "why": "w", "count": 2}, a.AskReopen("a", "w", 2)),
        ({"do": "again", "task": "a"}, a.AskAgain("a")),
        ({"do": "lift", "task": "a", "kind": "stop", "why": "w"}, a.AskLift("a", "stop", "w")),
        (
            {"do": "waive", "task": "a", "kind": "access", "why": "w", "until": "b", "sure-to-close": True},
            a.AskWaive("a", "access", "w", "b", "", True),
        ),
        ({"do": "stop", "ref": "drawing 4", "why": "w"}, a.AskStop("w", ref="drawing 4")),
        ({"do": "sign", "task": "a", "role": "inspector"}, a.AskSign("a", "inspector", WHEN)),
        ({"do": "cure", "task": "a", "until": "b", "hours": 3, "why": "w"}, a.AskCure("a", "b", 3, "w")),
        ({"do": "photo", "task": "a", "file": "x.jpg"}, a.AskPhoto("a", "x.jpg", must_exist=False)),
        ({"do": "note", "task": "a", "text": "t", "next": True}, a.AskNote("a", "t", True)),
        ({"do": "temperature", "celsius": 18, "low": 6}, a.AskTemperature(18, 6, WHEN)),
        ({"do": "clock", "start": True}, a.AskClock(True, None, WHEN)),
        ({"do": "stock", "item": "i", "add": 5, "expires": "2027-01-31"}, a.AskStock("i", 5, None, date(2027, 1, 31))),
        ({"do": "stock", "item": "i", "take": 5}, a.AskStock("i", -5)),
        ({"do": "stock", "item": "i", "set": 0}, a.AskStock("i", total=0)),
        ({"do": "arrived", "item": "i"}, a.AskArrived("i")),
        ({"do": "undo"}, a.AskUndo()),
        ({"do": "redo"}, a.AskRedo()),
    ],
)
def test_every_act_is_read(tmp_path: Path, act: dict[str, object], ask: a.Ask) -> None:
    assert list(read_asks(write(tmp_path / "j.jsonl", act))) == [(WHEN, "Robin", ask)]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ("[1]", "the line is a list; write a table"),
        ('{"do": "fly", "at": "x", "by": "R"}', '`do` is "fly"; write one of tick'),
        ('{"at": "x", "by": "R"}', "`do` is missing"),
        ('{"do": "undo", "by": "R", "at": "2026-02-30T09:00"}', "is not a time"),
        ('{"do": "undo", "by": "R", "at": 3}', "write text in quotes"),
        ('{"do": "tick", "by": "R", "at": "2026-02-20T09:00", "task": "a", "count": 1e999}', "write a whole number"),
        ('{"do": "tick", "by": "R", "at": "2026-02-20T09:00", "task": "a", "cuont": 1}', "did you mean `count`?"),
        ('{"do": "measure", "by": "R", "at": "2026-02-20T09:00", "task": "a", "readings": [true]}', "no readings"),
        ('{"do": "measure", "by": "R", "at": "2026-02-20T09:00", "task": "a", "readings": [NaN]}', "no readings"),
        ('{"do": "stop", "by": "R", "at": "2026-02-20T09:00", "why": "w"}', "give one of `task` and `ref`"),
        ('{"do": "stock", "by": "R", "at": "2026-02-20T09:00", "item": "i"}', "give one of `add`, `take` and `set`"),
        ('{"do": "arrived", "by": "R", "at": "2026-02-20T09:00", "item": "i", "expires": "2026-02-30"}', "is no day"),
    ],
)
def test_a_bad_line_is_refused_with_its_number(tmp_path: Path, line: str, says: str) -> None:
    path = tmp_path / "j.jsonl"
    path.write_text('\n{"do": "undo", "by": "R", "at": "2026-02-20T09:00"}\n' + line)
    with pytest.raises(Refused) as caught:
        next(read_asks(path))
    assert str(caught.value).startswith(f"{path}:3: ")
    assert says in str(caught.value)


def test_a_journal_goes_forward_in_time(tmp_path: Path) -> None:
    path = write(tmp_path / "j.jsonl", {"do": "undo"}, {"do": "undo", "at": "2026-09-05T10:19"})
    with pytest.raises(Refused, match="put the lines in order of time"):
        next(read_asks(path))


def test_the_shipped_journal_is_read() -> None:
    path = Path(__file__).parents[2] / "projects" / "dunlin-left-wing.journal.jsonl"
    assert len(list(read_asks(path))) > 100
