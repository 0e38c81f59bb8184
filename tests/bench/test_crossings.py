"""Crossings of our order against Graphviz dot's, over all typed-in graphs: name this file to pytest to run it."""

import time

import pytest
from tests.bench.figures import DOT, allowed
from tests.bench.plans import plan

from fitup.drawing.order import arrange, chains
from fitup.drawing.ranks import levels


def ours(size: int, density: float, seed: int, effort: int) -> int:
    total, edges = plan(size, density, seed)
    began = time.process_time()
    net = chains(levels(total, edges), edges)
    found = arrange(net, effort)
    print(
        f"{size} {density} {seed}: {found} crossings, dot {DOT[size, density][seed - 1]}, "
        f"{1000 * (time.process_time() - began):.0f} ms"
    )
    return found


@pytest.mark.parametrize("size", [60, 300])
def test_no_more_crossings_than_dot_in_sum_and_hardly_more_in_any_one(size: int) -> None:
    found = {
        (key, seed): ours(*key, seed, 40_000)
        for key, typed in DOT.items()
        if key[0] == size
        for seed in range(1, len(typed) + 1)
    }
    assert sum(found.values()) <= sum(sum(typed) for key, typed in DOT.items() if key[0] == size)
    for (key, seed), crossings in found.items():
        assert crossings <= allowed(DOT[key][seed - 1])


def test_two_thousand_tasks_stay_below_a_quarter_more_than_dot() -> None:
    keys = [key for key in DOT if key[0] == 2000]
    assert sum(ours(*key, 1, 400_000) for key in keys) <= 1.25 * sum(DOT[key][0] for key in keys)
