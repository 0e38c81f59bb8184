"""What acts do and what they refuse, on the small plan of the shop floor."""

from __future__ import annotations

from datetime import timedelta
from hashlib import sha256
from pathlib import Path

import pytest
from tests.shop_floor import NINE, PLAN, Wall

from fitup.desk import Desk
from fitup.desk_holds import told_once
from fitup.files.plan_toml import read_plan
from fitup.files.shop import shipped_shop
from fitup.model import asks as a
from fitup.model.amounts import local_day
from fitup.model.edits import Tick
from fitup.model.refusal import Refused
from fitup.model.sheet import Wishes
from fitup.store.project import ProjectFile

JPEG = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00 and so on"
FLAT = (("root", (402.5, 402.2)), ("tip", (400.0, 400.4)))
TWISTED = (("root", (402.5, 400.0)), ("tip", (400.0, 400.4)))
CLOSE = (("root", (402.5, 401.6)), ("tip", (400.0, 400.4)))


def state(desk: Desk, task: str) -> str:
    return desk.readiness().states[task]


def stock(desk: Desk, item: str) -> float:
    return desk.project.stock(item).in_date(local_day(desk.now()))


def test_a_tick_in_parts_leaves_the_task_under_way_then_done(desk: Desk) -> None:
    first = desk.do(a.AskTick("cleco", count=12, minutes=10))
    assert (first.state, first.done) == ("under way", 12)
    rest = desk.do(a.AskTick("cleco"))
    assert (rest.state, rest.done) == ("done", 20)
    assert rest.freed == ("twist",)
    assert desk.project.progress.of("cleco").minutes == 10


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (a.AskTick("rivet"), "rivet is held and cannot be ticked: check twist"),
        (a.AskTick("rivett"), "there is no task 'rivett' in this project; did you mean rivet?"),
        (a.AskTick("cleco", count=21), "21 is more than the 20 still open"),
        (a.AskTick("cleco", count=0), "a count of 0 cannot be ticked"),
        (a.AskTick("cleco", minutes=-4), "-4 minutes is not a length of work"),
        (a.AskTick("cleco", at=NINE + timedelta(hours=1)), "that is still to come"),
        (a.AskTick("twist"), "twist is a check: enter its readings with measure"),
        (a.AskMeasure("cleco", FLAT), "cleco has no check to measure for"),
        (a.AskMeasure("twist", FLAT), "twist is held and cannot be measured"),
        (a.AskReopen("cleco", why="bent"), "cleco has nothing done that could be reopened"),
        (a.AskAgain("mix"), "mix has not been done yet"),
        (a.AskStock("glu", change=1), "there is no item 'glu' in this project; did you mean glue?"),
        (a.AskStock("glue", change=-200), "200 cannot be taken from a stock of 100"),
        (a.AskArrived("nuts"), "nuts is not on order"),
        (a.AskTemperature(180), "180 C is not a shop's temperature"),
        (a.AskTemperature(8, low=12), "the low of 12 C is above the 8 C of now"),
        (a.AskClock(start=False), "no clock of the session is running"),
        (a.AskSign("hinge", "painter"), "waits for a sign-off as inspector, not as painter"),
        (a.AskSign("cleco", "inspector"), "cleco waits for no sign-off"),
        (a.AskCure("rivet", "cleco", 4, "tin"), "rivet has no cure of 'cleco'"),
        (a.AskCure("rivet", "glue-rib", -4, "tin"), "-4 hours is not a cure"),
        (a.AskStop("why", task=None, ref="drawing 9"), "no task refers to 'drawing 9'"),
        (a.AskPhoto("wire", "nowhere.jpg"), "the photo nowhere.jpg cannot be read"),
        (a.AskNote("wire", "  "), "the note is empty"),
        (a.AskUndo(), "there is nothing to undo"),
        (a.AskRedo(), "there is nothing to redo"),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(desk: Desk, ask: a.Ask, says: str) -> None:
    before = desk.project, desk.last_entry
    with pytest.raises(Refused) as refused:
        desk.do(ask)
    assert says in str(refused.value)
    assert "\n" not in str(refused.value)
    assert (desk.project, desk.last_entry) == before


def test_a_task_cannot_be_finished_before_what_it_waited_for(desk: Desk) -> None:
    desk.do(a.AskTick("cleco"))
    with pytest.raises(Refused, match="cleco, which it waits for, was finished at 09:00"):
        desk.do(a.AskMeasure("twist", FLAT, at=NINE - timedelta(minutes=30)))


def test_a_pass_ticks_the_check_and_a_later_fail_reopens_it(desk: Desk) -> None:
    desk.do(a.AskTick("cleco"))
    passed = desk.do(a.AskMeasure("twist", FLAT))
    assert passed.measurement is not None
    assert passed.measurement.verdict == "pass"
    assert passed.measurement.figure == pytest.approx(0.4)
    assert state(desk, "twist") == "done"
    failed = desk.do(a.AskMeasure("twist", TWISTED))
    assert failed.measurement is not None
    assert failed.measurement.verdict == "fail"
    assert state(desk, "twist") == "ready"
    assert desk.project.progress.of("twist").reopened
    assert "check" in {hold.kind for hold in desk.readiness().standing("rivet")}


def test_a_figure_in_the_guard_band_is_decided_with_a_reason(desk: Desk) -> None:
    desk.do(a.AskTick("cleco"))
    close = desk.do(a.AskMeasure("twist", CLOSE))
    assert close.measurement is not None
    assert close.measurement.verdict == "too close to call"
    assert state(desk, "twist") == "ready"
    with pytest.raises(Refused, match="needs a reason"):
        desk.do(a.AskMeasure("twist", CLOSE, decide="pass"))
    with pytest.raises(Refused, match="nothing to decide, the figure is a clear fail"):
        desk.do(a.AskMeasure("twist", TWISTED, decide="pass", why="looks fine"))
    desk.do(a.AskMeasure("twist", CLOSE, decide="pass", why="measured twice with a finer rule"))
    assert state(desk, "twist") == "done"
    assert desk.project.progress.measurements[-1].decided


def test_a_cure_runs_by_the_wall_clock(desk: Desk, wall: Wall) -> None:
    desk.do(a.AskTick("glue-rib", at=NINE))
    cures = [hold for hold in desk.readiness().standing("rivet") if hold.kind == "cure"]
    assert [hold.expected for hold in cures] == [NINE + timedelta(hours=12)]
    wall.pass_hours(12)
    assert all(hold.kind != "cure" for hold in desk.readiness().standing("rivet"))


def test_the_hours_of_a_cure_are_corrected_not_waived(desk: Desk) -> None:
    desk.do(a.AskTick("glue-rib"))
    with pytest.raises(Refused, match="a cure is not waived"):
        desk.do(a.AskWaive("rivet", "cure", "in a hurry"))
    desk.do(a.AskCure("rivet", "glue-rib", 0, "the tin says no wait"))
    assert all(hold.kind != "cure" for hold in desk.readiness().standing("rivet"))


def test_waiving_asks_for_what_the_kind_needs(desk: Desk) -> None:
    with pytest.raises(Refused, match="needs a reason"):
        desk.do(a.AskWaive("rivet", "check", ""))
    with pytest.raises(Refused, match="needs a second person's name"):
        desk.do(a.AskWaive("rivet", "check", "seen flat"))
    with pytest.raises(Refused, match="needs a second person's name"):
        desk.do(a.AskWaive("rivet", "check", "seen flat", second="Robin"))
    desk.do(a.AskWaive("rivet", "check", "seen flat", second="Sam"))
    assert [h.state for h in desk.readiness().holds["rivet"] if h.kind == "check"] == ["waived"]
    with pytest.raises(Refused, match="say which with --until"):
        desk.do(a.AskWaive("rivet", "access", "no wire in this one"))
    with pytest.raises(Refused, match=r"\(--sure-to-close\)"):
        desk.do(a.AskWaive("rivet", "access", "no wire in this one", until="wire"))
    desk.do(a.AskWaive("rivet", "access", "no wire in this one", until="wire", sure_to_close=True))
    with pytest.raises(Refused, match="an inspector's sign-off is not waived"):
        desk.do(a.AskWaive("hinge", "sign-off", "he is late"))
    with pytest.raises(Refused, match="lifted by its author"):
        desk.do(a.AskWaive("hinge", "stop", "never mind"))
    with pytest.raises(Refused, match="there is no hold of kind 'mood'"):
        desk.do(a.AskWaive("hinge", "mood", "x"))


def test_closing_waits_for_the_photo_that_is_owed_inside(desk: Desk, tmp_path: Path) -> None:
    desk.do(a.AskTick("wire"))
    assert "wire" in {h.hold.until for h in desk.readiness().standing("rivet") if h.kind == "access"}
    picture = tmp_path / "wire.jpg"
    picture.write_bytes(JPEG)
    desk.do(a.AskPhoto("wire", str(picture)))
    assert "wire" not in {h.hold.until for h in desk.readiness().standing("rivet") if h.kind == "access"}
    assert desk.project.progress.photos[-1].sha256 == sha256(JPEG).hexdigest()


def test_a_stop_is_lifted_by_its_author_alone(desk: Desk, wall: Wall) -> None:
    desk.do(a.AskStop("ask about the spar hole", task="cleco"))
    assert state(desk, "cleco") == "held"
    other = Desk.open(desk.path, "Sam", wall)
    with pytest.raises(Refused, match="stopped by Robin, who alone lifts it"):
        other.do(a.AskLift("cleco", "stop", "fine by me"))
    other.close()
    desk.do(a.AskLift("cleco", "stop", "answered"))
    assert state(desk, "cleco") == "ready"


def test_a_stop_of_a_drawing_marks_what_is_done_to_look_again(desk: Desk) -> None:
    desk.do(a.AskTick("cleco"))
    desk.do(a.AskStop("misprint in the drawing", ref="drawing 4"))
    assert desk.project.progress.of("cleco").look_again
    assert state(desk, "glue-rib") == "held"
    assert state(desk, "wire") == "ready", "drawing 41 is another drawing"


def test_the_plans_own_stop_and_the_inspectors_signature(desk: Desk) -> None:
    desk.do(a.AskLift("hinge", "stop", "the maker says the long pin"))
    desk.do(a.AskSign("hinge", "inspector"))
    kinds = {hold.kind for hold in desk.readiness().standing("hinge")}
    assert kinds == {"after", "leave-off"}
    with pytest.raises(Refused, match="already signed"):
        desk.do(a.AskSign("hinge", "inspector"))


def test_a_tick_draws_its_share_of_the_stock(desk: Desk) -> None:
    desk.do(a.AskTick("glue-rib"))
    assert stock(desk, "glue") == 60
    desk.do(a.AskUndo())
    assert stock(desk, "glue") == 100


def test_fasteners_with_the_part_number_are_drawn_one_a_hole(desk: Desk, wall: Wall) -> None:
    desk.do(a.AskTick("cleco"))
    desk.do(a.AskMeasure("twist", FLAT))
    desk.do(a.AskTick("glue-rib"))
    desk.do(a.AskCure("rivet", "glue-rib", 0, "tin"))
    for inner in ("wire", "glue-rib"):
        if state(desk, inner) != "done" or inner == "wire":
            desk.do(a.AskWaive("rivet", "access", "clear", until=inner, sure_to_close=True))
    desk.do(a.AskTick("rivet", count=25))
    assert stock(desk, "rivets") == 75


def test_missing_parts_hold_until_they_are_there(desk: Desk) -> None:
    assert state(desk, "nutplates") == "held"
    assert desk.do(a.AskStock("nuts", change=4)).freed == ("nutplates",)
    desk.do(a.AskArrived("glue"))
    assert stock(desk, "glue") == 150


def test_a_window_that_ran_out_holds_until_a_fresh_mix_or_a_waiver(desk: Desk, wall: Wall) -> None:
    desk.do(a.AskTick("mix", minutes=6, at=NINE))
    assert state(desk, "bead") == "ready"
    wall.pass_hours(1.95)
    assert state(desk, "bead") == "held", "two hours count from the begin of the mixing, 08:54"
    desk.do(a.AskAgain("mix"))
    desk.do(a.AskTick("mix", minutes=6))
    assert state(desk, "bead") == "ready"
    wall.pass_hours(3)
    desk.do(a.AskWaive("bead", "within", "slow sealant, still wet", until="mix"))
    assert state(desk, "bead") == "ready"


def test_reopening_marks_what_was_done_before_its_hold(desk: Desk) -> None:
    desk.do(a.AskTick("cleco"))
    desk.do(a.AskMeasure("twist", FLAT))
    desk.do(a.AskReopen("cleco", why="skin came off", count=5))
    assert desk.project.progress.of("cleco").done == 15
    assert desk.project.progress.of("cleco").reopened
    assert desk.project.progress.of("twist").before_holds == ("cleco",)
    desk.do(a.AskTick("cleco"))
    assert desk.project.progress.of("twist").before_holds == ()


def test_the_clock_gives_the_minutes_and_the_begin_of_a_tick(desk: Desk, wall: Wall) -> None:
    desk.do(a.AskClock(start=True, task="cleco"))
    wall.pass_hours(0.75)
    outcome = desk.do(a.AskTick("cleco"))
    act = desk.journal()[outcome.entry - 1].act
    assert isinstance(act, Tick)
    assert act.minutes == 45
    assert act.begun_at == NINE
    assert not desk.project.progress.clocks


def test_undo_says_what_and_whose_and_redo_brings_it_back(desk: Desk, wall: Wall) -> None:
    other = Desk.open(desk.path, "Sam", wall)
    other.do(a.AskTick("cleco"))
    other.close()
    undone = desk.do(a.AskUndo())
    assert "cleco" in undone.says
    assert "by Sam" in undone.says
    assert state(desk, "cleco") == "ready"
    assert desk.do(a.AskRedo()).state == "done"
    assert [entry.name for entry in desk.journal()] == ["plan", "tick", "undo", "redo"]


def test_an_act_from_another_terminal_is_taken_in_before_ones_own(desk: Desk, wall: Wall) -> None:
    other = Desk.open(desk.path, "Sam", wall)
    desk.do(a.AskTick("cleco"))
    with pytest.raises(Refused, match="cleco is already done"):
        other.do(a.AskTick("cleco"))
    assert other.project == desk.project
    other.close()


def test_a_check_is_measured_again_not_started_afresh(desk: Desk) -> None:
    with pytest.raises(Refused, match="twist is a check: measure it again"):
        desk.do(a.AskAgain("twist"))


def test_a_photo_needs_a_name(desk: Desk) -> None:
    with pytest.raises(Refused, match="no photo is named"):
        desk.do(a.AskPhoto("cleco", " "))


def test_a_name_typed_with_a_line_break_is_refused_in_one_line(desk: Desk) -> None:
    with pytest.raises(Refused) as refusal:
        desk.do(a.AskClock(False, "a\nb"))
    assert "\n" not in str(refusal.value)


def test_a_reading_taken_in_the_middle_of_a_session_counts_for_its_rest(desk: Desk, wall: Wall) -> None:
    desk.do(a.AskTemperature(22))
    wall.pass_hours(1)
    desk.do(a.AskTemperature(12))
    assert desk.question(Wishes(start=NINE)).celsius == 12


def test_a_task_that_closes_two_bays_is_waived_once_for_both(tmp_path: Path) -> None:
    two = PLAN.replace(
        'title = "inside of the tab"', 'title = "inside of the tab"\n\n[[bay]]\nid = "nose"\ntitle = "nose"'
    )
    two = two.replace('inside = ["box"]\nphoto', 'inside = ["box", "nose"]\nphoto')
    two = two.replace('closes = ["box"]', 'closes = ["box", "nose"]')
    (tmp_path / "two.toml").write_text(two)
    plan = read_plan(tmp_path / "two.toml", shipped_shop())
    ProjectFile.create(tmp_path / "two.fitup", plan, "Robin", NINE).close()
    desk = Desk.open(tmp_path / "two.fitup", "Robin", Wall())
    waits = [h for h in desk.readiness().standing("rivet") if h.kind == "access" and h.hold.until == "wire"]
    assert [h.why for h in waits] == ["it closes inside of the tab", "it closes nose"]
    assert [h.why for h in told_once(waits)] == ["it closes inside of the tab and nose"]
    desk.do(a.AskWaive("rivet", "access", "seen from behind", until="wire", sure_to_close=True))
    assert {h.state for h in desk.readiness().holds["rivet"] if h.hold.until == "wire"} == {"waived"}
    desk.close()
