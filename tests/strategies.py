"""Random plans for property tests: all hold kinds, bays, windows, one-go groups, clecos, tables, checks and items.

Acyclic by construction: a task only waits for tasks that come before it in a shuffled order, and
everything that is given back later (clecos, tables) names tasks that come after it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from hypothesis import strategies as st

from fitup.model.plan import (
    Assembly,
    Bay,
    Check,
    Cleco,
    ClecoLoan,
    Fasteners,
    Hold,
    Item,
    Law,
    Lot,
    Occupy,
    OnOrder,
    Plan,
    Task,
    ThreePoint,
    Tool,
    Within,
    Work,
)

ASSEMBLIES = (Assembly("flap", "Left flap"), Assembly("tank", "Tank bay"))
BAYS = (Bay("bay-1", "between ribs 1 and 2"), Bay("bay-2", "between ribs 2 and 3"))
TOOLS = (Tool("rivet-gun", "Rivet gun"), Tool("table", "Flat table, 2.4 m"), Tool("drill", "Air drill", 2))
ITEMS = (
    Item("sealant", "Tank sealant", unit="g", lots=(Lot(170, date(2027, 3, 1)),), temperature=(21, 32), spare=0.15),
    Item("primer", "Primer", unit="ml", on_order=OnOrder(500, date(2026, 12, 10)), lead_days=14),
    Item("rib-4", "Rib 4", kind="part", lots=(Lot(1),)),
)
CLECOS = (Cleco("3/32", 60), Cleco("clamp", 8))
WORKS = (
    Work("drill", "Drill", "hole", ThreePoint(10, 15, 25), 3, 2, split=True, loud=True, tools=("drill",)),
    Work("buck", "Buck rivets", "rivet", ThreePoint(40, 52, 68), 5, 3, crew=2, split=True, loud=True),
    Work("seal", "Seal", "joint", ThreePoint(300, 600, 900), 1, temperature=(15, 35)),
    Work("scuff", "Scuff", "part", ThreePoint(60, 90, 150), split=True, filler=True, helper_alone=True),
    Work("check", "Measure and judge", "check", ThreePoint(240, 480, 900)),
)
CHECKS = (
    Check("range", "mm", low=10, high=12.5),
    Check("spread", "mm", limit=1, uncertainty=0.3, stations=("root", "tip"), faces=("up", "down")),
    Check("straight", "mm", limit=0.5),
    Check("sample", "mm", low=1.2, high=1.9, n=5, allow=1),
    Check("yes-no", question="Does it fit?"),
)
LAWS: tuple[Law, ...] = ("none", "double-18F")
_ROLES = ("inspector", "helper")
_DAYS = st.none() | st.dates(date(2026, 1, 1), date(2028, 12, 31))
_LETTERS = st.characters(exclude_categories=("C", "Zl", "Zp"), exclude_characters="\u200e\u200f")
_TITLES = st.text(_LETTERS, min_size=1, max_size=12).filter(lambda text: bool(text.strip()))
_PROSE = st.just("") | st.text(_LETTERS | st.sampled_from("\n\t"), max_size=20)


@st.composite
def plans(draw: st.DrawFn, least: int = 0, most: int = 12, rich: bool = True) -> Plan:
    """Draw a plan of `least` to `most` tasks; with `rich` False only what decides readiness is drawn.

    Reading back what `write_plan` makes of it gives an equal plan.
    """
    size = draw(st.integers(least, most))
    ids = [f"t{number}" for number in range(size)]
    shuffled = draw(st.permutations(ids))
    rank = {task_id: place for place, task_id in enumerate(shuffled)}
    check_tasks = frozenset(task_id for task_id in ids if draw(st.integers(0, 4)) == 0)
    tasks = []
    for task_id in ids:
        before, after = shuffled[: rank[task_id]], shuffled[rank[task_id] + 1 :]
        task = _core(draw, task_id, before, after, check_tasks)
        tasks.append(_dressed(draw, task) if rich else task)
    return _whole(draw, tuple(tasks), rich)


def _core(draw: st.DrawFn, task_id: str, before: list[str], after: list[str], check_tasks: frozenset[str]) -> Task:
    """Draw everything about a task that decides whether it is ready or what it takes from others."""
    is_check = task_id in check_tasks
    holds = [draw(_hold(before, check_tasks)) for _ in range(draw(st.integers(0, 3)))]
    task = Task(
        task_id,
        f"Task {task_id}",
        draw(st.sampled_from(ASSEMBLIES)).id,
        "check" if is_check else draw(st.sampled_from(WORKS[:-1])).id,
        count=1 if is_check else draw(st.integers(1, 9)),
        holds=tuple(dict.fromkeys(hold for hold in holds if hold is not None)),
        check=draw(st.sampled_from(CHECKS)) if is_check else None,
        photo=draw(_rarely()),
        one_go=draw(st.sampled_from(("", "", "", "cup-1", "cup-2"))),
        needs=draw(_needs()) if draw(_rarely()) else (),
        inside=(draw(st.sampled_from(BAYS)).id,) if draw(_rarely()) else (),
        closes=(draw(st.sampled_from(BAYS)).id,) if draw(_rarely()) else (),
    )
    if before and draw(st.integers(0, 3)) == 0:
        window = Within(
            draw(st.sampled_from(before)), draw(st.integers(1, 48)), draw(st.sampled_from(("begin", "finish")))
        )
        task = replace(task, within=(window,))
    if after and draw(st.integers(0, 3)) == 0:
        size = draw(st.sampled_from(CLECOS)).size
        loan = ClecoLoan(size, draw(st.integers(1, 40)), draw(st.sampled_from(after)))
        task = replace(task, clecos=(loan,), occupies=(Occupy("table", draw(st.sampled_from(after))),))
    return task


def _rarely() -> st.SearchStrategy[bool]:
    return st.sampled_from((False, False, False, True))


@st.composite
def _needs(draw: st.DrawFn) -> tuple[tuple[str, float], ...]:
    named = draw(st.lists(st.sampled_from(ITEMS), min_size=1, max_size=2, unique_by=lambda item: item.id))
    return tuple((item.id, float(draw(st.integers(1, 120)))) for item in named)


@st.composite
def _hold(draw: st.DrawFn, before: list[str], check_tasks: frozenset[str]) -> Hold | None:
    """Draw a hold of any kind that the tasks before allow; None where they allow none of the kind drawn."""
    kind = draw(st.sampled_from(("after", "after", "after", "check", "cure", "access", "leave-off", "outside")))
    why = draw(st.sampled_from(("", "as the kit's manual says")))
    if kind == "outside":
        return draw(_outside(why))
    allowed = [task for task in before if task in check_tasks] if kind == "check" else before
    if not allowed:
        return None
    until = draw(st.sampled_from(allowed))
    if kind == "cure":
        law = draw(st.sampled_from(LAWS))
        return Hold("cure", until, why, hours=draw(st.integers(0, 96)), law=law, witness=draw(st.booleans()))
    if kind == "check":
        return Hold("check", until, why)
    if kind == "access":
        return Hold("access", until, why)
    return Hold("leave-off", until, why) if kind == "leave-off" else Hold("after", until, why)


@st.composite
def _outside(draw: st.DrawFn, why: str) -> Hold:
    """Draw a hold that no task lifts."""
    kind = draw(st.sampled_from(("supply", "supply", "sign-off", "stop")))
    if kind == "sign-off":
        return Hold("sign-off", why=why, by=draw(st.sampled_from(_ROLES)), expected=draw(_DAYS))
    if kind == "stop":
        return Hold("stop", why=why)
    item = draw(st.sampled_from(ITEMS))
    return Hold("supply", why=why, item=item.id, quantity=draw(st.integers(1, 200)))


def _dressed(draw: st.DrawFn, task: Task) -> Task:
    """Draw the rest of a task: texts, times, figures of the layout."""
    figures = sorted(draw(st.lists(st.integers(0, 600) | st.floats(0, 600), min_size=3, max_size=3)))
    flags = st.none() | st.booleans()
    lengths = st.none() | st.floats(0.1, 100)
    task = replace(
        task,
        title=draw(_TITLES),
        note=draw(_PROSE),
        caution=draw(_PROSE),
        ref=draw(st.sampled_from(("", "drawing 4, sheet 2"))),
        size=draw(st.sampled_from(("", "3/32"))),
        minutes=draw(st.none() | st.just(ThreePoint(figures[0], figures[1], figures[2]))),
        crew=draw(st.sampled_from((None, 1, 2))),
        split=draw(flags),
        loud=draw(flags),
        filler=draw(flags),
        late=draw(st.booleans()),
        least=draw(st.none() | st.integers(1, 9)),
        tools=tuple(tool.id for tool in TOOLS if draw(_rarely())),
    )
    return replace(
        task,
        fasteners=draw(st.none() | st.just(Fasteners("flush", "AD", "3/32", 1.32, half=True))),
        holes=draw(st.sampled_from(("", "rows"))),
        sheets=draw(st.sampled_from(((), (0.51, 0.81)))),
        edge_distance=draw(lengths),
        pitch=draw(lengths),
        row_distance=draw(lengths),
        metals=draw(st.sampled_from(((), ("aluminium", "steel")))),
        protect=draw(st.sampled_from(("", "primer"))),
        temperature=draw(st.sampled_from((None, (15.0, 30.5)))),
        humidity=draw(st.sampled_from((None, (0.0, 65.0)))),
    )


def _whole(draw: st.DrawFn, tasks: tuple[Task, ...], rich: bool) -> Plan:
    """Put the plan together; as when read, it holds the rows of work that are used, in order of first use."""
    rows = {work.id: work for work in WORKS}
    return Plan(
        title=draw(_TITLES) if rich else "Some plan",
        length_unit=draw(st.sampled_from(("mm", "in"))) if rich else "mm",
        works=tuple(rows[work_id] for work_id in dict.fromkeys(task.work for task in tasks)),
        assemblies=ASSEMBLIES,
        bays=BAYS,
        tools=TOOLS,
        items=ITEMS,
        clecos=CLECOS,
        tasks=tasks,
        review_off=draw(st.sampled_from(((), (("redundant", "drawn on purpose"),)))) if rich else (),
    )
