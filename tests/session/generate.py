"""Seeded plans with a history and a question, in which every rule of a session has something to bite on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random

from fitup.model.holds import hold_book
from fitup.model.plan import (
    Assembly,
    Bay,
    Check,
    Cleco,
    ClecoLoan,
    Hold,
    Item,
    Law,
    Lot,
    Occupy,
    Plan,
    Task,
    ThreePoint,
    Tool,
    Within,
    Work,
)
from fitup.model.progress import Photo, Progress, Project, ShopTemperature, Stop, TaskProgress, Waiver
from fitup.model.sheet import Question

START = datetime(2026, 11, 28, 8, 0, tzinfo=UTC)

WORKS = (
    Work("fit", "Fit", "piece", ThreePoint(240, 420, 900), 2, 1, tools=("table",)),
    Work("cleco", "Cleco", "hole", ThreePoint(6, 10, 18), 2, 0, split=True, helper_alone=True),
    Work("drill", "Drill", "hole", ThreePoint(12, 20, 40), 4, 3, split=True, loud=True, tools=("air-drill",)),
    Work("deburr", "Deburr", "hole", ThreePoint(8, 14, 30), 2, 1, split=True, filler=True, helper_alone=True),
    Work("dimple", "Dimple", "hole", ThreePoint(10, 15, 25), 5, 3, split=True, loud=True, tools=("squeezer",)),
    Work("clean", "Clean", "part", ThreePoint(90, 150, 300), 3, 2, filler=True, helper_alone=True),
    Work("prime", "Prime", "part", ThreePoint(120, 180, 300), 10, 12, temperature=(15, 35)),
    Work("seal", "Seal", "joint", ThreePoint(200, 360, 700), 6, 8, tools=("sealant-gun",)),
    Work("mix", "Mix", "cup", ThreePoint(240, 300, 480), 1, 0),
    Work("buck", "Buck", "rivet", ThreePoint(25, 40, 75), 5, 2, crew=2, split=True, loud=True, tools=("rivet-gun",)),
    Work("squeeze", "Squeeze", "rivet", ThreePoint(12, 20, 30), 3, 1, split=True, tools=("squeezer",)),
    Work("check", "Check", "check", ThreePoint(240, 420, 800), 1, 0, tools=("table",)),
    Work("mark", "Mark", "part", ThreePoint(60, 90, 180), 0, 0, filler=True),
)
FEW = tuple(
    replace(row, seconds=row.seconds.times(min(30.0, 360 / row.seconds.likely)) if row.split else row.seconds)
    for row in WORKS
)
"""The same kinds of work with few, long units, so that every count can be tried out."""

SIZES = ("3/32", "1/8", "clamp")
TOOLS = (Tool("table", "Flat table", 2), Tool("jig", "Jig", 1), Tool("squeezer", "Squeezer", 1))


def project_of(
    seed: int, size: int, share_done: float = 0.35, tiny: bool = False, parts_open: float = 0.4, few: bool = False
) -> Project:
    """Return a plan of about `size` tasks with a history.

    `tiny` packs all features into few tasks, `few` gives them few and long units; `parts_open` is the
    share of parts that wait for no other part.
    """
    random = Random(seed)
    builder = _Builder(random, size, tiny, parts_open, few)
    plan = builder.plan()
    return Project(plan, _history(random, plan, share_done))


def question_of(seed: int, minutes: int | None = None) -> Question:
    """Return a question with some of the wishes and circumstances that a builder may name."""
    random = Random(seed * 7 + 1)
    minutes = minutes or random.choice((45, 60, 90, 120, 180, 240))
    helper: list[tuple[int, int]] = []
    for _ in range(random.choice((0, 1, 1, 2))):
        begin = random.randrange(0, minutes, 15)
        helper.append((begin, min(minutes, begin + random.choice((30, 60, 90)))))
    return Question(
        start=START,
        minutes=minutes,
        clean_up=random.choice((0, 5, 10)),
        helper=tuple(helper),
        celsius=random.choice((None, 8.0, 18.0, 22.0, 25.0)),
        humidity=random.choice((None, 30.0, 50.0)),
        quiet_from=random.choice((None, None, minutes - 30, minutes // 2)),
        next_start=random.choice((None, minutes + 600, 24 * 60, 3 * 24 * 60)),
    )


def wishes_of(seed: int, project: Project, question: Question) -> Question:
    """Return the question with tasks to do first or to do without."""
    random = Random(seed * 13 + 5)
    names = [task.id for task in project.plan.tasks if not project.done(task.id)]
    if not names or random.random() < 0.5:
        return question
    first = (random.choice(names),) if random.random() < 0.6 else ()
    without = (random.choice(names),) if random.random() < 0.6 else ()
    return replace(question, first=first, without=tuple(set(without) - set(first)))


class _Builder:
    """One plan in the making: parts that each go through some kinds of work, tied together here and there."""

    def __init__(self, random: Random, size: int, tiny: bool, parts_open: float, few: bool) -> None:
        self.random, self.size, self.tiny, self.parts_open, self.few = random, size, tiny, parts_open, few
        self.rich = 0.5 if tiny else 0.12
        self.tasks: list[Task] = []

    def plan(self) -> Plan:
        random = self.random
        part = 0
        while len(self.tasks) < self.size:
            self._part(part)
            part += 1
        have = (4, 12, 30) if self.tiny else (30, 80, 200)
        return Plan(
            title="Generated",
            works=FEW if self.few else WORKS,
            assemblies=(Assembly("a", "Assembly"),),
            bays=tuple(Bay(f"bay-{number}", f"Bay {number}") for number in range(part)),
            tools=TOOLS,
            items=(
                Item("goo", "Goo", unit="g", lots=tuple(self._lots()), temperature=(10, 35), humidity=(20, 90)),
                Item("rag", "Rags", lots=(Lot(random.choice((2, 6, 40)) * (1 if self.tiny else 10)),)),
            ),
            clecos=tuple(Cleco(size, random.choice(have)) for size in SIZES),
            tasks=tuple(self.tasks),
        )

    def _lots(self) -> Iterator[Lot]:
        yield Lot(self.random.choice((20, 60, 200)) * (1 if self.tiny else 8), date(2027, 1, 1))
        yield Lot(500, date(2026, 1, 1))

    def _part(self, part: int) -> None:
        random = self.random
        before: list[str] = []
        if self.tasks and random.random() >= self.parts_open:
            before = [random.choice(self.tasks[-40:]).id]
        for step in range(random.randint(1, 4) if self.tiny else random.randint(3, 9)):
            made = self._recipe(part, step, before)
            self.tasks += made
            before = [made[-1].id] if random.random() < 0.8 else []

    def _recipe(self, part: int, step: int, before: Sequence[str]) -> list[Task]:
        draw = self.random.random()
        name = f"p{part}.s{step}"
        if draw < self.rich * 0.5:
            return self._cup(name, before)
        if draw < self.rich * 0.8:
            return self._coats(name, before)
        if draw < self.rich * 1.2:
            return self._lent(name, part, before)
        return [self._task(name, part, before)]

    def _task(self, name: str, part: int, before: Sequence[str], work: str = "") -> Task:
        random = self.random
        row = next(row for row in WORKS if row.id == work) if work else random.choice(WORKS)
        count = random.randint(1, 3)
        if row.split and not self.few:
            count = random.randint(10, 120) if not self.tiny else random.randint(5, 60)
        holds = [Hold("after", until=until) for until in before]
        roll = random.random()
        if before and roll < self.rich:
            hours = random.choice((0.25, 0.5, 8, 24))
            law: Law = random.choice(("none", "double-18F"))
            holds[0] = Hold("cure", until=before[0], hours=hours, law=law, witness=random.random() < 0.15)
        elif before and roll < 1.3 * self.rich:
            holds[0] = Hold("leave-off", until=before[0], why="it would be in the way")
        if random.random() < self.rich * 0.3:
            outside = (Hold("sign-off", by="inspector"), Hold("stop", why="ask the maker first"))
            holds.append(random.choice(outside))
        own = ThreePoint(8, 12, 20).times(random.choice((0.5, 1, 2, 4))) if random.random() < 0.2 else None
        check = Check("yes-no", question="Is it straight?") if row.id == "check" else None
        return Task(
            id=name,
            title=f"{row.title} {name}",
            assembly="a",
            work=row.id,
            count=count,
            minutes=own,
            split=random.choice((None, None, None, False)) if row.split else None,
            late=random.random() < self.rich * 0.3,
            least=random.choice((None, None, 1 if self.few else 3)) if row.split else None,
            tools=("jig",) if random.random() < self.rich * 0.4 else (),
            needs=self._needs(),
            inside=(f"bay-{part}",) if random.random() < 0.3 else (),
            closes=(f"bay-{part}",) if random.random() < self.rich * 0.3 else (),
            photo=random.random() < 0.05,
            holds=tuple(holds),
            check=check,
            temperature=(20, 30) if random.random() < self.rich * 0.2 else None,
        )

    def _needs(self) -> tuple[tuple[str, float], ...]:
        if self.random.random() >= self.rich:
            return ()
        return ((self.random.choice(("goo", "rag")), float(self.random.choice((1, 2, 5, 15)))),)

    def _cup(self, name: str, before: Sequence[str]) -> list[Task]:
        """A mix that has to be used up within its application life, mostly in one go."""
        random = self.random
        group = name if random.random() < 0.7 else ""
        hours = random.choice((0.75, 1, 2, 30))
        mix = replace(self._task(f"{name}.mix", 0, before, "mix"), one_go=group, inside=(), closes=(), count=1)
        seal = replace(self._task(f"{name}.seal", 0, [mix.id], "seal"), one_go=group, inside=(), closes=(), count=1)
        last = self._task(f"{name}.rivet", 0, [seal.id], random.choice(("buck", "squeeze")))
        window = Within(mix.id, hours, "begin", random.choice((0, 5, 10)))
        last = replace(
            last,
            one_go=group,
            within=(window,),
            inside=(),
            closes=(),
            count=random.randint(1, 3) if self.few else random.randint(3, 20),
        )
        plain = [
            replace(task, holds=tuple(replace(h, kind="after", hours=0) for h in task.holds if h.until))
            for task in (seal, last)
        ]
        return [mix, *plain]

    def _coats(self, name: str, before: Sequence[str]) -> list[Task]:
        """Two coats: the second after the first has dried, and before it has hardened."""
        random = self.random
        first = replace(self._task(f"{name}.coat-1", 0, before, "prime"), closes=())
        dry = random.choice((0.25, 0.5, 5))
        second = replace(
            self._task(f"{name}.coat-2", 0, [], "prime"),
            closes=(),
            holds=(Hold("cure", until=first.id, hours=dry),),
            within=(Within(first.id, dry + random.choice((1, 8, 20, 200)), "finish"),),
        )
        return [first, second]

    def _lent(self, name: str, part: int, before: Sequence[str]) -> list[Task]:
        """Clecos lent, and sometimes a table taken, until the riveting is done."""
        random = self.random
        back = f"{name}.rivet"
        size = random.choice(SIZES)
        lend = replace(
            self._task(f"{name}.cleco", part, before, "cleco"),
            clecos=(ClecoLoan(size, random.randint(2, 12) if self.tiny else random.randint(10, 60), back),),
            occupies=(Occupy(random.choice(("table", "jig")), back),) if random.random() < 0.5 else (),
            closes=(),
        )
        drill = replace(self._task(f"{name}.drill", part, [lend.id]), closes=())
        rivet = replace(self._task(back, part, [drill.id], random.choice(("squeeze", "buck"))), closes=())
        return [lend, drill, rivet]


def _history(random: Random, plan: Plan, share: float) -> Progress:
    """Return progress in which what is done came after what it waits for, with some work half done."""
    book = hold_book(plan)
    tasks: dict[str, TaskProgress] = {}
    photos = []
    for name in book.order:
        task = plan.task[name]
        before = [tasks.get(until) for until in book.before(name)]
        free = all(state is not None and state.finished_at is not None for state in before)
        if not free or random.random() > share * 1.9:
            continue
        latest = max((s.finished_at for s in before if s is not None and s.finished_at is not None), default=None)
        age = timedelta(hours=random.choice((0.3, 0.7, 1, 3, 6, 20, 48, 200)))
        begun = max(START - age, latest or START - age)
        finished = min(START - timedelta(minutes=1), begun + timedelta(minutes=20))
        if task.count > 1 and random.random() < 0.15:
            tasks[name] = TaskProgress(done=random.randint(1, task.count - 1), begun_at=begun)
            continue
        tasks[name] = TaskProgress(done=task.count, begun_at=begun, finished_at=finished)
        if task.photo and random.random() < 0.7:
            photos.append(Photo(name, "a.jpg", "", "Robin", finished))
    held = [task.id for task in plan.tasks if task.id not in tasks]
    return Progress(
        tasks=tasks,
        photos=tuple(photos),
        waivers=dict(_waivers(random, plan, held)),
        stops={(name, 1): Stop(name, 1, "wrong part", "Robin", START) for name in held if random.random() < 0.01},
        temperatures=(ShopTemperature(START - timedelta(days=2), 20.0),),
    )


def _waivers(random: Random, plan: Plan, held: Sequence[str]) -> Iterator[tuple[tuple[str, str, str], Waiver]]:
    for name in held:
        for hold in plan.task[name].holds:
            if hold.kind == "after" and hold.until and random.random() < 0.02:
                yield (name, "after", hold.until), Waiver(name, "after", hold.until, "tried", "Robin", START)
        for window in plan.task[name].within:
            if random.random() < 0.05:
                yield (name, "within", window.of), Waiver(name, "within", window.of, "scuffed", "Robin", START)
