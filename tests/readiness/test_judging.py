"""Each kind of hold at the instants that matter, and what is said about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from fitup.model.plan import Check, Hold, Item, Lot, OnOrder, Plan, Task, Within, Work
from fitup.model.progress import (
    CureHours,
    Lift,
    Measurement,
    Photo,
    Progress,
    Project,
    ShopTemperature,
    Signature,
    Stop,
    TaskProgress,
    VerdictWord,
    Waiver,
)
from fitup.readiness import HoldState, chain, closed_bays, judge, roots

SATURDAY = datetime(2026, 11, 28, 9, tzinfo=UTC)
DONE = TaskProgress(1, SATURDAY - timedelta(minutes=30), SATURDAY, SATURDAY)


def task(name: str, *holds: Hold, **values: Any) -> Task:
    """Return a task titled as its id with a capital."""
    return Task(name, name.capitalize(), "tank", "seal", holds=holds, **values)


def sealed(hold: Hold, done: bool = True, items: tuple[Item, ...] = (), **progress: Any) -> Project:
    """Return a project in which `rivet` is held by one hold, until `seal` where it waits for a task."""
    plan = Plan(tasks=(task("seal"), task("rivet", hold, count=4)), items=items)
    return Project(plan, Progress(tasks={"seal": DONE} if done else {}, **progress))


def the_hold(project: Project, now: datetime = SATURDAY, of: str = "rivet") -> HoldState:
    """Return the only hold of a task."""
    (found,) = judge(project, now).holds[of]
    return found


@pytest.mark.parametrize("kind", ["after", "check", "access", "leave-off"])
def test_task_lifts_the_hold_when_all_of_it_is_done(kind: Any) -> None:
    assert the_hold(sealed(Hold(kind, "seal"), done=False)).state == "standing"
    assert the_hold(sealed(Hold(kind, "seal"))).state == "lifted"


def test_states_are_ready_held_under_way_and_done() -> None:
    project = sealed(Hold("after", "seal"), done=False)
    assert dict(judge(project, SATURDAY).states) == {"seal": "ready", "rivet": "held"}
    begun = Progress(tasks={"seal": DONE, "rivet": TaskProgress(3, SATURDAY)})
    assert dict(judge(replace(project, progress=begun), SATURDAY).states) == {"seal": "done", "rivet": "under way"}
    held_again = Progress(tasks={"rivet": TaskProgress(3, SATURDAY)})
    assert judge(replace(project, progress=held_again), SATURDAY).states["rivet"] == "held"


def test_cure_ends_to_the_minute_and_says_when() -> None:
    project = sealed(Hold("cure", "seal", hours=12))
    ends = SATURDAY + timedelta(hours=12)
    running = the_hold(project, ends - timedelta(minutes=1))
    assert (running.state, running.expected, running.since) == ("standing", ends, SATURDAY)
    assert running.lifts == "22:00"
    assert the_hold(project, ends).state == "lifted"
    assert the_hold(sealed(Hold("cure", "seal", hours=12), done=False)).lifts == "12 h have passed after: Seal"


def test_cold_shop_doubles_a_cure_only_where_a_law_says_so() -> None:
    # epoxy makers' support pages: twice as long at 59 F (15 C) as at 77 F
    cold = (ShopTemperature(SATURDAY - timedelta(hours=1), 15),)
    by_law = the_hold(sealed(Hold("cure", "seal", hours=2, law="double-18F"), temperatures=cold))
    assert by_law.expected == SATURDAY + timedelta(hours=4)
    assert the_hold(sealed(Hold("cure", "seal", hours=2), temperatures=cold)).expected == SATURDAY + timedelta(hours=2)


def test_a_cure_slowed_by_cold_says_how_far_it_is() -> None:
    # an hour at 15 C counts for half an hour, by the same pages
    cold = (ShopTemperature(SATURDAY - timedelta(hours=1), 15),)
    slow = sealed(Hold("cure", "seal", hours=2, law="double-18F"), temperatures=cold)
    assert the_hold(slow, SATURDAY + timedelta(hours=1)).lifts == "14:00 (30 min of 2 h at 25 C done)"
    assert the_hold(slow, SATURDAY + timedelta(hours=4)).state == "lifted"
    plain = sealed(Hold("cure", "seal", hours=2), temperatures=cold)
    assert the_hold(plain, SATURDAY + timedelta(hours=1)).lifts == "12:00"


def test_corrected_hours_of_a_cure_take_the_place_of_the_plans() -> None:
    cures = {("rivet", "seal"): CureHours("rivet", "seal", 30, "as the tin says", "Robin", SATURDAY)}
    assert the_hold(sealed(Hold("cure", "seal", hours=12), cures=cures)).expected == SATURDAY + timedelta(hours=30)


def test_witnessed_cure_stands_until_someone_says_that_this_batch_is_cured() -> None:
    hold = Hold("cure", "seal", hours=12, witness=True)
    later = SATURDAY + timedelta(hours=20)
    said = Lift("rivet", "cure", "seal", "hard", "Robin", later)
    of_an_earlier_batch = replace(said, at=SATURDAY - timedelta(days=2))
    key = ("rivet", "cure", "seal")
    assert the_hold(sealed(hold), later).lifts == "a person says that the witness sample is cured"
    assert the_hold(sealed(hold), later).state == "standing"
    assert the_hold(sealed(hold, lifts={key: said}), later).state == "lifted"
    assert the_hold(sealed(hold, lifts={key: replace(said, at=SATURDAY)}), later).state == "lifted"
    assert the_hold(sealed(hold, lifts={key: of_an_earlier_batch}), later).state == "standing"


def test_cures_stops_and_the_inspector_are_not_waived() -> None:
    for hold, third in (
        (Hold("cure", "seal"), "seal"),
        (Hold("stop"), ""),
        (Hold("sign-off", by="inspector"), "inspector"),
    ):
        key = ("rivet", hold.kind, third)
        waiver = Waiver(*key, "in a hurry", "Robin", SATURDAY)
        assert the_hold(sealed(hold, done=False, waivers={key: waiver})).state == "standing"


def checked(verdicts: tuple[VerdictWord, ...], done: bool = True) -> Project:
    """Return a project in which `rivet` waits for the check `twist` with these verdicts, oldest first."""
    plan = Plan(tasks=(task("twist", check=Check("yes-no")), task("rivet", Hold("check", "twist"))))
    taken = tuple(Measurement("twist", (), verdict, None, None, "Robin", SATURDAY) for verdict in verdicts)
    return Project(plan, Progress(tasks={"twist": DONE} if done else {}, measurements=taken))


def test_latest_verdict_decides_about_a_check() -> None:
    assert the_hold(checked(("fail", "pass"))).state == "lifted"
    assert the_hold(checked(("pass", "fail"))).state == "standing"
    assert the_hold(checked(("pass", "too close to call"))).state == "standing"
    assert the_hold(checked(("pass",), done=False)).state == "standing"
    assert the_hold(checked(("fail",))).lifts == "Twist passes"


def test_finished_check_without_a_pass_is_the_root_of_what_waits_for_it() -> None:
    project = checked(("fail",))
    (root,) = roots(project, judge(project, SATURDAY), {"twist": 0, "rivet": 40})
    assert (root.id, root.frees_minutes, root.tasks) == ("twist", 40, ("rivet",))


def test_closing_waits_for_the_photo_owed_inside() -> None:
    plan = Plan(tasks=(task("seal", inside=("bay",), photo=True), task("cover", closes=("bay",))))
    bare = Project(plan, Progress(tasks={"seal": DONE}))
    hold = the_hold(bare, of="cover")
    assert (hold.state, hold.lifts) == ("standing", "the photo owed for Seal is on file")
    filed = replace(bare.progress, photos=(Photo("seal", "seal.jpg", "", "Robin", SATURDAY),))
    assert the_hold(Project(plan, filed), of="cover").state == "lifted"
    assert closed_bays(bare) == frozenset()
    assert closed_bays(Project(plan, Progress(tasks={"seal": DONE, "cover": DONE}))) == {"bay"}


GLUE = Item(
    "glue", "Epoxy", unit="g", lots=(Lot(30, date(2026, 11, 28)), Lot(5)), on_order=OnOrder(50, date(2026, 12, 10))
)


def test_supply_counts_what_is_in_date_today_against_the_open_share() -> None:
    plan = Plan(tasks=(task("rivet", count=4, needs=(("glue", 40),)),), items=(GLUE,))
    untouched = Project(plan)
    hold = the_hold(untouched)
    assert (hold.state, hold.expected) == ("standing", date(2026, 12, 10))
    assert hold.lifts == "5 g more of Epoxy (50 on order, expected 10 Dec 2026)"
    one_done = Project(plan, Progress(tasks={"rivet": TaskProgress(1, SATURDAY)}))
    assert the_hold(one_done).state == "lifted"
    assert the_hold(one_done, SATURDAY + timedelta(days=1)).state == "standing"


def test_expiry_goes_by_the_local_day() -> None:
    plan = Plan(tasks=(task("rivet", needs=(("glue", 30),)),), items=(GLUE,))
    before_midnight = datetime(2026, 11, 28, 23, 59).astimezone()
    assert the_hold(Project(plan), before_midnight).state == "lifted"
    assert the_hold(Project(plan), before_midnight + timedelta(minutes=1)).state == "standing"


def test_sign_off_is_lifted_by_a_signature_in_its_role() -> None:
    hold = Hold("sign-off", by="inspector", expected=date(2026, 12, 12))
    helper = {("rivet", "helper"): Signature("rivet", "helper", "Kim", SATURDAY)}
    inspector = {("rivet", "inspector"): Signature("rivet", "inspector", "Kim", SATURDAY)}
    standing = the_hold(sealed(hold, signatures=helper))
    assert (standing.state, standing.lifts, standing.expected) == (
        "standing",
        "the inspector signs",
        date(2026, 12, 12),
    )
    assert the_hold(sealed(hold, signatures=inspector)).state == "lifted"


def test_stops_of_the_plan_are_lifted_by_word_and_those_of_people_by_taking_them_off() -> None:
    lifted = {("rivet", "stop", ""): Lift("rivet", "stop", "", "asked", "Robin", SATURDAY)}
    assert the_hold(sealed(Hold("stop"))).state == "standing"
    assert the_hold(sealed(Hold("stop"), lifts=lifted)).state == "lifted"
    stops = {("rivet", 2): Stop("rivet", 2, "look first", "Kim", SATURDAY)}
    plans, persons = judge(sealed(Hold("stop"), lifts=lifted, stops=stops), SATURDAY).holds["rivet"]
    assert (plans.state, persons.state) == ("lifted", "standing")
    assert (persons.why, persons.lifts, persons.since) == ("look first", "Kim lifts it", SATURDAY)
    assert persons.key == ("rivet", "stop", "2")


def mixed(start: Any, opener: TaskProgress, waivers: Mapping[tuple[str, str, str], Waiver] = {}) -> Project:
    """Return a project whose `bead` has to be finished within two hours of the mix."""
    plan = Plan(tasks=(task("mix"), task("bead", count=4, within=(Within("mix", 2, start),))))
    return Project(plan, Progress(tasks={"mix": opener}, waivers=waivers))


def test_window_that_ran_out_holds_its_task_until_the_mix_is_made_again() -> None:
    opened = SATURDAY - timedelta(minutes=30)
    in_time, too_late = opened + timedelta(hours=2), opened + timedelta(hours=2, minutes=1)
    project = mixed("begin", DONE)
    assert judge(project, in_time).states["bead"] == "ready"
    readiness = judge(project, too_late)
    (hold,) = readiness.standing("bead")
    assert (hold.kind, hold.hold.until, hold.since) == ("within", "mix", in_time)
    assert hold.key == ("bead", "within", "mix")
    assert hold.lifts == "Mix is done again, or the limit is waived"
    assert [root.id for root in roots(project, readiness, {"bead": 10})] == ["mix"]
    assert judge(mixed("finish", DONE), SATURDAY + timedelta(hours=2)).states["bead"] == "ready"
    assert judge(mixed("finish", DONE), SATURDAY + timedelta(hours=3)).states["bead"] == "held"


def test_window_is_not_open_while_nothing_of_the_mix_is_done() -> None:
    begun_only = mixed("begin", TaskProgress(0, SATURDAY))
    assert [hold.kind for hold in judge(begun_only, SATURDAY + timedelta(days=1)).standing("bead")] == ["after"]


def test_window_waived_either_way_holds_nothing() -> None:
    for kind in ("within", "after"):
        key = ("bead", kind, "mix")
        waived = mixed("begin", DONE, {key: Waiver(*key, "still soft", "Robin", SATURDAY)})
        assert judge(waived, SATURDAY + timedelta(days=1)).states["bead"] == "ready"


def test_chain_goes_down_to_what_can_be_acted_on_nearest_first() -> None:
    plan = Plan(
        tasks=(
            task("a"),
            task("b", Hold("after", "a"), Hold("stop", why="ask")),
            task("c", Hold("after", "a")),
            task("d", Hold("after", "c"), Hold("leave-off", "b"), Hold("after", "a")),
        )
    )
    project = Project(plan)
    readiness = judge(project, SATURDAY)
    below = [(hold.task, hold.kind, hold.hold.until) for hold in chain(readiness, "d")]
    assert below == [
        ("d", "after", "c"),
        ("d", "leave-off", "b"),
        ("d", "after", "a"),
        ("c", "after", "a"),
        ("b", "after", "a"),
        ("b", "stop", None),
    ]
    assert chain(readiness, "a") == ()
    found = {root.id: root for root in roots(project, readiness, {"a": 5, "b": 7, "c": 11, "d": 13})}
    assert found["a"].tasks == ("c",)
    assert found["stop:b"].tasks == ()


def test_progress_of_tasks_no_longer_in_the_plan_is_passed_over() -> None:
    project = Project(Plan(tasks=(task("a"),)), Progress(tasks={"gone": DONE}))
    assert dict(judge(project, SATURDAY).states) == {"a": "ready"}


@pytest.mark.parametrize(("needed", "says"), [(1.0, "1 piece more of Nutplates"), (8.0, "8 pieces more of Nutplates")])
def test_what_is_missing_is_counted_as_people_say_it(needed: float, says: str) -> None:
    plan = Plan(
        works=(Work("fit", "Fit"),),
        items=(Item("nuts", "Nutplates", unit="piece"),),
        tasks=(Task("a", "A", "wing", "fit", needs=(("nuts", needed),)),),
    )
    assert judge(Project(plan), SATURDAY).standing("a")[0].lifts == says
