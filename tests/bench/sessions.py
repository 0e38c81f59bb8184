"""Seeded sessions on large plans, timed: `python -m tests.bench.sessions SIZE MINUTES COUNT [LIMIT] [WORKERS]`.

The plans have every rule of a session in them and stand as a build does in its middle: what came
first is done, some parts are under way, the rest waits. Prints candidates, milliseconds to prune and
to the first sheet, seconds to the proof, how many were proven, and how far greedy fell short.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from random import Random
from time import perf_counter

from tests.session.generate import START, project_of

from fitup.model.holds import hold_book
from fitup.model.plan import Hold, Plan
from fitup.model.progress import Progress, Project, TaskProgress
from fitup.model.sheet import Question
from fitup.readiness import judge
from fitup.session.candidates import problem_of
from fitup.session.cpsat import stages
from fitup.session.greedy import Greedy
from fitup.session.planned import planned_of
from fitup.session.worth import scale_of

HOURS = (3, 20, 30, 50, 80, 200)
"""Ages of what was done last: since earlier today, since yesterday, ..."""


def morning_of(seed: int, size: int) -> Project:
    """Return a plan of about `size` tasks with some parts under way and everything before them done."""
    random = Random(seed)
    plan = _tied(random, project_of(seed, size, parts_open=0.05, share_done=0).plan)
    first = random.uniform(0.2, 0.6) * len(plan.tasks)
    under_way = first + random.uniform(0.04, 0.12) * len(plan.tasks) + 10
    book, tasks = hold_book(plan), dict[str, TaskProgress]()
    for name in book.order:
        place = plan.position[name]
        free = all(until in tasks for until in book.before(name))
        if not free or place > under_way or (place > first and random.random() > 0.7):
            continue
        age = timedelta(hours=random.choice(HOURS) if place > first else 400)
        before = [tasks[until].finished_at for until in book.before(name)]
        finished = max([START - age, *(at for at in before if at is not None)])
        tasks[name] = TaskProgress(plan.task[name].count, finished - timedelta(minutes=20), finished)
    return Project(plan, Progress(tasks=tasks))


def _tied(random: Random, plan: Plan) -> Plan:
    """Return the plan with most of its loose ends tied to a task shortly before."""
    book, tasks, share = hold_book(plan), [], random.uniform(0.45, 1.0)
    for task in plan.tasks:
        place = plan.position[task.id]
        loose = place > 0 and not book.before(task.id) and random.random() < share
        if loose:
            until = plan.tasks[max(0, place - random.randint(1, 30))].id
            task = replace(task, holds=(Hold("after", until=until), *task.holds))
        tasks.append(task)
    return replace(plan, tasks=tuple(tasks))


def asked_of(seed: int, minutes: int) -> Question:
    """Return what a builder asks on such a morning; one in three has a helper for a part of it."""
    random = Random(seed * 11 + 3)
    begin = random.randrange(0, max(15, minutes - 45), 15)
    helper = ((begin, min(minutes, begin + random.choice((45, 60, 90)))),) if random.random() < 0.34 else ()
    return Question(
        start=START,
        minutes=minutes,
        clean_up=5,
        helper=helper,
        celsius=random.choice((None, 18.0, 22.0)),
        quiet_from=random.choice((None, None, None, minutes - 20)),
        next_start=24 * 60,
    )


def middle(found: Sequence[float]) -> str:
    """Return p50/p95 of these figures."""
    found = sorted(found)
    return f"{found[len(found) // 2]:.2f}/{found[min(len(found) - 1, int(0.95 * len(found)))]:.2f}"


def main(size: int, minutes: int, count: int, limit: float, workers: int, first: int) -> None:
    """Time `count` sessions and print the figures."""
    candidates, prune, at_once, proof_times, short = [], [], [], [], []
    proven = 0
    for seed in range(first, first + count):
        project, question = morning_of(seed, size), asked_of(seed, minutes)
        readiness = judge(project, question.start)
        # as in the program, where no garbage is looked for in a plan once it is read
        gc.freeze()
        begun = perf_counter()
        scale = scale_of(project, question, readiness=readiness)
        problem = problem_of(project, question, scale=scale)
        pruned = perf_counter()
        greedy = Greedy(problem)
        draft = greedy.best()
        drafted = perf_counter()
        best, good = greedy.rank(draft)[1], False
        for proof, final in stages(problem.frame(), planned_of(draft), limit, workers):
            if proof is not None:
                best, good = max(best, proof.worth), final and proof.proven
        candidates.append(len(problem.candidates))
        prune.append(1000 * (pruned - begun))
        at_once.append(1000 * (drafted - begun))
        proof_times.append(perf_counter() - drafted)
        proven += good
        short.append(100 * (1 - greedy.rank(draft)[1] / best) if best > 0 else 0.0)
        if not good:
            print(f"seed {seed}: {len(problem.candidates)} candidates, not proven", flush=True)
    print(
        f"{size} tasks, {minutes} min, {count} sessions: candidates {middle(candidates)}, prune ms {middle(prune)}, "
        f"first answer ms {middle(at_once)}, proven {proven}, seconds {middle(proof_times)}, "
        f"greedy short % {sum(short) / len(short):.1f} mean, {middle(short)}"
    )


if __name__ == "__main__":
    given = [float(word) for word in sys.argv[1:]] + [10.0, 2.0, 0.0][len(sys.argv) - 4 :]
    main(int(given[0]), int(given[1]), int(given[2]), given[3], int(given[4]), int(given[5]))
