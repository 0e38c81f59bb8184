"""Random plans with random histories, quick enough to try thousands: `some_project(seed)`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from random import Random

from fitup.model import edits as e
from fitup.model.apply import apply
from fitup.model.plan import Bay, Check, Hold, Item, Law, Lot, OnOrder, Plan, Task, Within
from fitup.model.progress import Project, VerdictWord

START = datetime(2026, 11, 1, 8, tzinfo=UTC)
ROLES = ("inspector", "second person")
LAWS: tuple[Law, ...] = ("none", "double-18F")
VERDICTS: tuple[VerdictWord, ...] = ("pass", "fail", "too close to call")
ITEMS = (
    Item("sealant", "Sealant", unit="g", lots=(Lot(60, date(2026, 11, 6)), Lot(40))),
    Item("rib", "Rib", kind="part", on_order=OnOrder(4, date(2026, 12, 10))),
)


def some_plan(random: Random, size: int) -> Plan:
    """Return a plan of `size` tasks in which a task waits only for earlier ones."""
    tasks = []
    for number in range(size):
        earlier = [f"t{other}" for other in range(number)]
        is_check = random.random() < 0.25
        tasks.append(
            Task(
                f"t{number}",
                f"Task {number}",
                "flap",
                "fit",
                count=1 if is_check else random.randint(1, 4),
                holds=tuple(dict.fromkeys(_holds(random, earlier))),
                within=tuple(_windows(random, earlier)),
                needs=tuple((item.id, random.randint(1, 80)) for item in ITEMS if random.random() < 0.1),
                inside=("bay",) if random.random() < 0.2 else (),
                closes=("bay",) if random.random() < 0.1 else (),
                photo=random.random() < 0.25,
                check=Check("yes-no") if is_check else None,
            )
        )
    return Plan(tasks=tuple(tasks), items=ITEMS, bays=(Bay("bay", "the bay"),))


def _holds(random: Random, earlier: list[str]) -> Iterator[Hold]:
    for until in random.sample(earlier, min(len(earlier), random.randint(0, 2))):
        kind = random.choice(("after", "after", "check", "cure", "access", "leave-off"))
        if kind == "cure":
            hours = random.choice((0, 2, 12, 48))
            yield Hold("cure", until, hours=hours, law=random.choice(LAWS), witness=random.random() < 0.4)
        elif kind in ("check", "access", "leave-off"):
            yield Hold(kind, until, why="for a reason")  # type: ignore[arg-type]
        else:
            yield Hold("after", until)
    if random.random() < 0.1:
        yield Hold("sign-off", by=random.choice(ROLES), expected=date(2026, 12, 1))
    if random.random() < 0.05:
        yield Hold("stop", why="ask first")
    if random.random() < 0.05:
        yield Hold("supply", item="rib", quantity=3)


def _windows(random: Random, earlier: list[str]) -> Iterator[Within]:
    if earlier and random.random() < 0.2:
        yield Within(random.choice(earlier), random.choice((2, 30)), random.choice(("begin", "finish")))


def some_edits(random: Random, project: Project, steps: int) -> tuple[Project, datetime]:
    """Let anything happen, also what the acts would refuse; return the project and the instant after it."""
    now = START
    for number in range(steps):
        now += timedelta(minutes=random.choice((1, 37, 120, 700)))
        for edit in _edit(random, project, now, number):
            project = apply(project, edit, random.choice(("Robin", "Kim")), now)
    return project, now + timedelta(minutes=random.choice((0, 3, 60, 800)))


def _edit(random: Random, project: Project, now: datetime, number: int) -> Iterator[e.Edit]:
    task = random.choice(project.plan.tasks)
    missing = project.open_count(task.id)
    dice = random.random()
    if dice < 0.6:
        if task.check is not None:
            verdict = random.choices(VERDICTS, (6, 2, 1))[0]
            yield e.Measure(task.id, (("", (1.0,)),), verdict, 1.0, None, now)
        elif missing:
            count = random.choice((1, missing, missing))
            used = tuple((item, quantity * count / task.count) for item, quantity in task.needs)
            yield e.Tick(task.id, count, now - timedelta(minutes=20), now, None, used)
    elif dice < 0.7:
        yield random.choice((e.Reopen(task.id, random.randint(1, 3), "drilled out"), e.Again(task.id)))
    elif dice < 0.8:
        hold = random.choice(task.holds) if task.holds else Hold("after", "t0")
        third = hold.until or hold.item or hold.by
        kind = "within" if task.within and random.random() < 0.5 else hold.kind
        yield e.Waive(task.id, kind, task.within[0].of if kind == "within" else third, "on purpose")
        if hold.kind == "cure":
            yield e.LiftHold(task.id, "cure", third, "the sample is hard")
            if random.random() < 0.3:
                yield e.SetCure(task.id, third, random.choice((1, 30)), "as the tin says")
        if hold.kind == "stop":
            yield e.LiftHold(task.id, "stop", "", "asked")
    elif dice < 0.84:
        yield e.PutStop((task.id,), "look first")
    elif dice < 0.86:
        yield from (e.LiftStop(stopped, stop, "looked") for stopped, stop in list(project.progress.stops)[:1])
    elif dice < 0.9:
        yield e.Sign(task.id, random.choice(ROLES), now)
    elif dice < 0.94:
        yield e.AddPhoto(task.id, f"{number}.jpg")
    elif dice < 0.97:
        yield e.TakeTemperature(random.randint(5, 30), random.choice((None, 4.0)), now)
    else:
        item = random.choice(project.plan.items)
        yield e.ChangeStock(item.id, change=random.choice((-30, 5, 100)))


def some_project(seed: int) -> tuple[Project, datetime]:
    """Return a random plan of up to 14 tasks after a random history, and an instant to judge it at."""
    random = Random(seed)
    plan = some_plan(random, random.randint(1, 14))
    return some_edits(random, Project(plan), random.randint(0, 40))
