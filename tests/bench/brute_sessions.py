"""Thousands of tiny sessions, exact against exhaustive: `python -m tests.bench.brute_sessions 0 3300`."""

from __future__ import annotations

import sys
from collections import Counter

from tests.session.brute import best_of
from tests.session.test_cpsat import problems

from fitup.session.audit import faults
from fitup.session.candidates import problem_of
from fitup.session.cpsat import prove, stages
from fitup.session.greedy import Greedy
from fitup.session.sheets import planned_lines

MOST_ORDERS = 20_000


def main(first: int, end: int) -> Counter[str]:
    """Compare the sessions of these seeds; print every difference, and return how many there were of what."""
    found: Counter[str] = Counter()
    for seed, problem, standing in problems(range(first, end)):
        whole = problem_of(standing.project, standing.question, scale=problem.scale, prune=False)
        best = best_of(whole if len(whole.candidates) <= 6 else problem, standing, MOST_ORDERS)
        proof = prove(problem, limit=20)
        last, _ = list(stages(problem.frame(), (), 20, workers=1 + seed % 2))[-1]
        if best is None or proof is None or last is None:
            found["not compared"] += 1
            continue
        greedy = Greedy(problem)
        rank = greedy.rank(greedy.best())
        found["compared"] += 1
        found["proven"] += proof.proven and last.proven
        differs = (proof.asked, proof.worth) != best.rank
        steps_differ = (last.asked, last.worth, last.bound) != (*best.rank, best.rank[1])
        found["different"] += differs
        found["different step by step"] += steps_differ
        found["refused by the audit"] += bool(faults(standing, planned_lines(problem, proof.lines)))
        found["greedy best"] += rank == best.rank
        found["greedy above"] += rank > best.rank
        if differs or steps_differ or rank > best.rank:
            steps = f"step by step {last.asked, last.worth, last.bound}"
            print(f"seed {seed}: exact {proof.asked, proof.worth}, {steps}, exhaustive {best.rank}, greedy {rank}")
    return found


if __name__ == "__main__":
    print(dict(main(int(sys.argv[1]), int(sys.argv[2]))))
