"""The journal's text: what was written once is read for ever, and anything else is named."""

from __future__ import annotations

from datetime import date

import pytest
from tests.store.shelf import AT

from fitup.model import edits as e
from fitup.model.plan import Hold, Plan, Task, ThreePoint
from fitup.model.refusal import Refused
from fitup.store.codec import Malformed, act_json, read_act, read_entry

T = "2026-09-05T08:20:00+00:00"
HOLD = Hold("stop", why="ask first", expected=date(2026, 12, 12))
TASK = Task("a", "A", "flap", "drill", minutes=ThreePoint(1, 2, 3.5), needs=(("mek", 20),), holds=(HOLD,))

WRITTEN: list[tuple[str, str, e.Act]] = [
    (
        "plan",
        '{"plan":{"title":"Flap","tasks":[{"id":"a","title":"A","assembly":"flap","work":"drill",'
        '"minutes":{"low":1,"likely":2,"high":3.5},"needs":[["mek",20]],'
        '"holds":[{"kind":"stop","why":"ask first","expected":"2026-12-12"}]}]}}',
        e.AdoptPlan(Plan("Flap", tasks=(TASK,))),
    ),
    (
        "tick",
        f'{{"task":"a","count":2,"begun_at":"{T}","finished_at":"{T}","minutes":12.5,"used":[["mek",3]]}}',
        e.Tick("a", 2, AT, AT, 12.5, (("mek", 3),)),
    ),
    (
        "measure",
        f'{{"task":"a","readings":[["root",[402.5,402]]],"verdict":"too close to call","figure":0.5,"limit":null,'
        f'"finished_at":"{T}","decided":true}}',
        e.Measure("a", (("root", (402.5, 402)),), "too close to call", 0.5, None, AT, True),
    ),
    ("reopen", '{"task":"a","count":1,"why":"drilled out"}', e.Reopen("a", 1, "drilled out")),
    ("again", '{"task":"a"}', e.Again("a")),
    ("lift", '{"task":"a","kind":"cure","until":"b","why":"hard"}', e.LiftHold("a", "cure", "b", "hard")),
    ("lift-stop", '{"task":"a","number":2,"why":"asked"}', e.LiftStop("a", 2, "asked")),
    (
        "waive",
        '{"task":"a","kind":"check","until":"b","why":"so","second":"Kim"}',
        e.Waive("a", "check", "b", "so", "Kim"),
    ),
    ("stop", '{"tasks":["a","b"],"why":"drawing 4"}', e.PutStop(("a", "b"), "drawing 4")),
    ("sign", f'{{"task":"a","role":"inspector","signed_at":"{T}"}}', e.Sign("a", "inspector", AT)),
    ("cure", '{"task":"a","until":"b","hours":36,"why":"cold"}', e.SetCure("a", "b", 36, "cold")),
    ("photo", '{"task":"a","file":"a.jpg","sha256":"00ff"}', e.AddPhoto("a", "a.jpg", "00ff")),
    ("note", '{"task":"a","text":"Öl \\"x\\"","next_time":true}', e.AddNote("a", 'Öl "x"', True)),
    ("temperature", f'{{"celsius":18,"low":6.5,"taken_at":"{T}"}}', e.TakeTemperature(18, 6.5, AT)),
    ("clock-start", f'{{"task":"","began_at":"{T}"}}', e.StartClock("", AT)),
    ("clock-stop", f'{{"task":"","ended_at":"{T}"}}', e.StopClock("", AT)),
    ("stock", '{"item":"mek","change":-3,"expires":"2027-03-01"}', e.ChangeStock("mek", -3, None, date(2027, 3, 1))),
    ("arrived", '{"item":"mek"}', e.Arrive("mek")),
    ("lay-out", '{"line":"tools/gun","out":false}', e.LayOut("tools/gun", False)),
    ("undo", "{}", e.Undo()),
    ("redo", "{}", e.Redo()),
]


@pytest.mark.parametrize(("name", "text", "act"), WRITTEN, ids=[name for name, _, _ in WRITTEN])
def test_an_act_keeps_its_text(name: str, text: str, act: e.Act) -> None:
    assert read_act(name, text) == act
    assert act_json(act) == text


def test_every_act_has_its_text_above() -> None:
    assert [name for name, _, _ in WRITTEN] == list(e.EDIT_NAMES)


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("sing", "{}", "no act named 'sing'"),
        ("tick", "{", "not JSON"),
        ("tick", "[" * 100_000, "not JSON"),
        ("tick", "[]", "should be an object"),
        ("again", "{}", "it lacks task"),
        ("again", '{"task":"a","tune":1}', "unknown key 'tune'"),
        ("again", '{"task":1}', "1 should be text"),
        ("reopen", '{"task":"a","count":1.5,"why":""}', "1.5 should be a whole number"),
        ("reopen", '{"task":"a","count":true,"why":""}', "True should be a whole number"),
        ("cure", '{"task":"a","until":"b","hours":NaN,"why":""}', "nan should be a number"),
        ("cure", '{"task":"a","until":"b","hours":"2","why":""}', "'2' should be a number"),
        ("note", '{"task":"a","text":"","next_time":1}', "1 should be true or false"),
        ("lift", '{"task":"a","kind":"after","until":"","why":""}', "'after' is none of stop, cure"),
        ("sign", '{"task":"a","role":"r","signed_at":"2026-09-05T08:20"}', "should be a time in UTC"),
        ("sign", '{"task":"a","role":"r","signed_at":7}', "should be a time in UTC"),
        ("arrived", '{"item":"mek","expires":"2026-02-31"}', "should be a day"),
        ("stop", '{"tasks":"a","why":""}', "should be a list"),
        ("tick", f'{{"task":"a","count":1,"begun_at":"{T}","finished_at":"{T}","used":[["mek"]]}}', "2 values"),
    ],
)
def test_what_is_no_act_is_named(name: str, text: str, said: str) -> None:
    with pytest.raises(Malformed, match=said):
        read_act(name, text)


def test_an_entry_that_cannot_be_read_is_one_sentence_with_its_number() -> None:
    with pytest.raises(Refused, match=r"^journal entry 7 cannot be read: it lacks task; go back to a backup"):
        read_entry(7, T, "Robin", "again", "{}")
    with pytest.raises(Refused, match="journal entry 8 cannot be read"):
        read_entry(8, "yesterday", "Robin", "again", '{"task":"a"}')


def test_a_figure_that_json_cannot_keep_is_refused() -> None:
    with pytest.raises(Refused, match="infinite or not a number"):
        act_json(e.SetCure("a", "b", float("inf"), ""))
