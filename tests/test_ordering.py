"""What to order by when: small plans walked forward by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.model.amounts import parse_instant
from fitup.model.pattern import parse_pattern
from fitup.model.plan import Fasteners, Hold, Item, Lot, OnOrder, Plan, Task, ThreePoint, Work
from fitup.model.progress import Progress, Project, Stock, TaskProgress
from fitup.ordering import Orders, first_days, orders

SATURDAY = parse_instant("2026-11-28T09:00")
SESSIONS = "sat 09:00-13:00"
MINUTES = {"a": 200.0, "b": 100.0, "c": 30.0, "d": 30.0}
GLUE = Item(
    "glue",
    "Epoxy",
    unit="g",
    lots=(Lot(10), Lot(30, date(2026, 12, 10))),
    on_order=OnOrder(15, date(2026, 12, 20)),
    lead_days=14,
    spare=0.25,
    supplier="by post",
)


def plan(*items: Item, sessions: str = SESSIONS) -> Plan:
    """Return a before b, c a day of cure after b, d on the inspector's day."""
    return Plan(
        sessions=sessions,
        items=items,
        tasks=(
            Task("a", "A", "x", "fit", split=True),
            Task("b", "B", "x", "fit", split=True, holds=(Hold("after", "a"),)),
            Task("c", "C", "x", "fit", split=True, needs=(("glue", 40.0),), holds=(Hold("cure", "b", hours=24),)),
            Task(
                "d", "D", "x", "fit", split=True, holds=(Hold("sign-off", by="inspector", expected=date(2026, 12, 20)),)
            ),
        ),
    )


def test_the_walk_goes_through_the_usual_sessions() -> None:
    # a takes 200 of the first 240 minutes, b the other 40 and 60 of the next Saturday; its cure runs past that session
    days = first_days(Project(plan()), SATURDAY, MINUTES, parse_pattern(SESSIONS))
    assert days == {
        "a": date(2026, 11, 28),
        "b": date(2026, 11, 28),
        "c": date(2026, 12, 12),
        "d": date(2026, 12, 26),
    }
    assert list(days) == ["a", "b", "c", "d"]


def test_a_session_that_runs_counts_with_what_is_left_of_it() -> None:
    late = parse_instant("2026-11-28T12:30")
    days = first_days(Project(plan()), late, MINUTES, parse_pattern(SESSIONS))
    assert (days["a"], days["b"]) == (date(2026, 11, 28), date(2026, 12, 5))


def test_done_work_takes_no_time_and_a_running_cure_goes_on() -> None:
    done = TaskProgress(done=1, finished_at=SATURDAY - timedelta(hours=23), ticked_at=SATURDAY)
    project = Project(plan(), Progress(tasks={"a": done, "b": done}))
    days = first_days(project, SATURDAY, MINUTES, parse_pattern(SESSIONS))
    assert days == {"c": date(2026, 11, 28), "d": date(2026, 12, 26)}


def test_an_order_is_what_stock_in_date_and_on_its_way_leaves_short() -> None:
    found = orders(Project(plan(GLUE)), SATURDAY, MINUTES, 8)
    (order,) = found.orders
    # 40 g and a quarter to spare are 50; 10 g without a date and 15 g on order are left on 12 December
    assert (order.item, order.quantity, order.tasks, order.supplier) == ("glue", 25, ("c",), "by post")
    assert (order.needed, order.order_by) == (date(2026, 12, 12), date(2026, 11, 28))
    (late,) = found.late
    assert (late.quantity, late.expected, late.task) == (15, date(2026, 12, 20), "c")
    (off,) = found.going_off
    assert (off.item, off.quantity, off.expires, off.task) == ("glue", 30, date(2026, 12, 10), "c")


def test_only_what_has_to_be_ordered_within_the_weeks_is_told() -> None:
    slow = replace(GLUE, lead_days=7)
    assert orders(Project(plan(slow)), SATURDAY, MINUTES, 0.9).orders == ()
    assert len(orders(Project(plan(slow)), SATURDAY, MINUTES, 1).orders) == 1
    assert len(orders(Project(plan(GLUE)), SATURDAY, MINUTES, 0).orders) == 1


def test_stock_in_date_until_the_very_day_is_enough() -> None:
    fresh = replace(GLUE, lots=(Lot(50, date(2026, 12, 12)),), on_order=None)
    found = orders(Project(plan(fresh)), SATURDAY, MINUTES, 52)
    assert (found.orders, found.going_off) == ((), ())
    arrived = Progress(stock={"glue": Stock((Lot(50, date(2026, 12, 12)),))})
    assert orders(Project(plan(GLUE), arrived), SATURDAY, MINUTES, 52).orders == ()


def test_an_order_that_comes_on_the_day_is_not_late() -> None:
    on_time = replace(GLUE, on_order=OnOrder(15, date(2026, 12, 12)))
    assert orders(Project(plan(on_time)), SATURDAY, MINUTES, 8).late == ()
    (late,) = orders(Project(plan(replace(GLUE, on_order=OnOrder(15)))), SATURDAY, MINUTES, 8).late
    assert late.expected is None


def test_fasteners_are_drawn_by_part_number_and_ordered_whole() -> None:
    rivets = Item("r", "Rivets", "fastener", lots=(Lot(40),), part_number="KIT-4", spare=0.1)
    tasks = (Task("a", "A", "x", "buck", 66, fasteners=Fasteners("flush", "AD", "3/32", callout="KIT-4")),)
    project = Project(Plan(items=(rivets,), tasks=tasks), Progress(tasks={"a": TaskProgress(done=20)}))
    (order,) = orders(project, SATURDAY, {"a": 60}, 1).orders
    # 46 open, 50.6 with spare, 40 there: 10.6
    assert order.quantity == 11
    assert not orders(project, SATURDAY, {"a": 60}, 1).by_pattern


def test_a_stop_or_a_missing_part_does_not_keep_what_comes_later_from_being_ordered() -> None:
    items = (GLUE, Item("part", "Part", "part", lead_days=5))
    base = plan(*items)
    held = replace(base.tasks[0], needs=(("part", 1.0),), holds=(Hold("stop", why="ask"),))
    found = orders(Project(replace(base, tasks=(held, *base.tasks[1:]))), SATURDAY, MINUTES, 8).orders
    assert [(order.item, order.order_by) for order in found] == [
        ("part", date(2026, 11, 23)),
        ("glue", date(2026, 11, 28)),
    ]


def test_far_ends_of_the_calendar_do_no_harm() -> None:
    slow = replace(GLUE, lead_days=10**8)
    (order,) = orders(Project(plan(slow)), SATURDAY, MINUTES, 1e9).orders
    assert order.order_by < date(2026, 1, 1)
    late = datetime(9990, 1, 1, 9, tzinfo=UTC)
    assert orders(Project(plan(GLUE)), late, MINUTES, 1e9).until.year == 9999


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.floats(0, 500), st.integers(0, 20)), min_size=1, max_size=8),
    st.lists(st.tuples(st.integers(1, 60), st.sampled_from([None, 3, 10, 30, 90])), max_size=4),
    st.floats(0, 1),
)
def test_stock_used_and_orders_together_cover_the_plan(
    work: list[tuple[float, int]], lots: list[tuple[int, int | None]], spare: float
) -> None:
    today = date(2026, 11, 28)
    stock = tuple(Lot(have, None if days is None else today + timedelta(days=days)) for have, days in lots)
    tasks = tuple(Task(f"t{n}", "T", "x", "fit", needs=(("i", float(q)),)) for n, (_, q) in enumerate(work))
    item = Item("i", "I", lots=stock, spare=spare)
    minutes = {f"t{n}": time for n, (time, _) in enumerate(work)}
    found = orders(Project(Plan(sessions=SESSIONS, items=(item,), tasks=tasks)), SATURDAY, minutes, 500)
    ordered = sum(order.quantity for order in found.orders)
    needed = sum(quantity for _, quantity in work) * (1 + spare)
    there = sum(have for have, _ in lots)
    assert ordered >= needed - there - 0.01
    assert ordered <= needed + 0.01
    if all(days is None for _, days in lots):
        assert abs(ordered - max(0.0, needed - there)) < 0.01
        assert found.going_off == ()


def begun(tasks: tuple[Task, ...], minutes: dict[str, float], *works: Work) -> dict[str, date]:
    return first_days(Project(Plan(works=works, tasks=tasks)), SATURDAY, minutes, parse_pattern(SESSIONS))


def test_the_longest_chain_comes_first_and_not_what_stands_first_in_the_plan() -> None:
    loose, head = Task("loose", "L", "x", "fit"), Task("head", "H", "x", "fit")
    tail = Task("tail", "T", "x", "fit", holds=(Hold("after", "head"),))
    days = begun((loose, head, tail), {"loose": 200.0, "head": 200.0, "tail": 200.0})
    # nothing waits behind loose and tail, so the plan's order decides between them
    assert days == {"head": date(2026, 11, 28), "loose": date(2026, 12, 5), "tail": date(2026, 12, 12)}


def test_what_is_wanted_late_comes_last() -> None:
    tasks = (Task("late", "L", "x", "fit", late=True), Task("soon", "S", "x", "fit"))
    assert list(begun(tasks, {"late": 10.0, "soon": 10.0})) == ["soon", "late"]


def test_what_may_not_be_split_waits_for_a_session_with_room_for_it() -> None:
    first = Task("first", "F", "x", "fit", holds=())
    behind = Task("behind", "B", "x", "fit", holds=(Hold("after", "first"),))
    whole, part = Task("whole", "W", "x", "fit"), Task("part", "P", "x", "fit", split=True)
    minutes = {"first": 200.0, "behind": 200.0, "whole": 60.0, "part": 60.0}
    days = begun((first, behind, whole, part), minutes)
    # 40 minutes are left of the first Saturday: the splittable hour begins, the whole one does not fit
    assert (days["first"], days["part"]) == (date(2026, 11, 28), date(2026, 11, 28))
    assert days["whole"] > date(2026, 11, 28)


def test_work_longer_than_any_session_is_begun_with_one_and_runs_on() -> None:
    long = Task("long", "L", "x", "fit")
    after = Task("after", "A", "x", "fit", holds=(Hold("after", "long"),))
    assert begun((long, after), {"long": 500.0, "after": 10.0}) == {
        "long": date(2026, 11, 28),
        "after": date(2026, 12, 12),
    }


def test_each_kind_of_work_is_set_up_once_a_session() -> None:
    drill = Work("drill", "Drill", set_up_minutes=20, clean_up_minutes=10, split=True)
    tasks = tuple(Task(f"t{n}", "T", "x", "drill") for n in range(5))
    # 30 + 3 x 70 fill the 240 minutes; the next two begin a week later
    days = begun(tasks, {task.id: 70.0 for task in tasks}, drill)
    assert [day.day for day in days.values()] == [28, 28, 28, 5, 5]
    own = tuple(replace(task, minutes=ThreePoint(70, 70, 70)) for task in tasks)
    assert [day.day for day in begun(own, {task.id: 70.0 for task in tasks}, drill).values()] == [28, 28, 28, 28, 5]


@st.composite
def networks(draw: st.DrawFn) -> tuple[Task, ...]:
    """Return tasks that wait for earlier ones, some by a cure, some of which may be split."""
    tasks: list[Task] = []
    for place in range(draw(st.integers(1, 10))):
        untils = draw(st.lists(st.integers(0, place - 1), max_size=3, unique=True)) if place else []
        holds = tuple(
            Hold("cure", f"t{until}", hours=float(hours)) if hours else Hold("after", f"t{until}")
            for until, hours in ((until, draw(st.sampled_from([0, 0, 12, 72]))) for until in untils)
        )
        tasks.append(
            Task(f"t{place}", "T", "x", "drill", holds=holds, split=draw(st.booleans()), late=draw(st.booleans()))
        )
    return tuple(draw(st.permutations(tasks)))


DRILL = Work("drill", "Drill", set_up_minutes=25, clean_up_minutes=10)
times = st.lists(st.sampled_from([0.0, 5.0, 40.0, 130.0, 230.0, 700.0]), min_size=10, max_size=10)


@settings(deadline=None, max_examples=120)
@given(networks(), times)
def test_nothing_is_begun_before_what_it_waits_for_and_nothing_is_forgotten(
    tasks: tuple[Task, ...], minutes: list[float]
) -> None:
    days = begun(tasks, {f"t{place}": time for place, time in enumerate(minutes)}, DRILL)
    assert set(days) == {task.id for task in tasks}
    for task in tasks:
        for hold in task.holds:
            assert hold.until is not None
            assert days[task.id] >= days[hold.until] + timedelta(days=hold.hours // 24)


@settings(deadline=None, max_examples=60)
@given(networks(), times, st.integers(0, 60), st.integers(0, 60))
def test_what_arrives_earlier_makes_nothing_later(
    tasks: tuple[Task, ...], minutes: list[float], later: int, sooner: int
) -> None:
    needing = tuple(replace(task, needs=(("i", 10.0),)) for task in tasks)
    remaining = {f"t{place}": time for place, time in enumerate(minutes)}

    def asked(days: int) -> Orders:
        coming = OnOrder(30, date(2026, 11, 28) + timedelta(days=days))
        item = Item("i", "I", lead_days=7, on_order=coming)
        return orders(
            Project(Plan(sessions=SESSIONS, works=(DRILL,), items=(item,), tasks=needing)), SATURDAY, remaining, 500
        )

    slow, quick = asked(later + sooner), asked(later)
    assert slow.orders == quick.orders, "the day on which work wants something does not hang on its delivery"
    assert len(quick.late) <= len(slow.late)
    assert all(a.needed == b.needed for a, b in zip(quick.late, slow.late, strict=False))
