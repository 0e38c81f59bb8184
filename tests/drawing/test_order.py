"""Order on the levels: never worse than where it started, optimal where that can be checked, few crossings."""

from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bench.figures import DOT, allowed
from tests.bench.plans import plan

from fitup.drawing.order import arrange, chains, crossings
from fitup.drawing.ranks import in_order, levels, without_circles

Pairs = list[tuple[int, int]]


@st.composite
def acyclic(draw: st.DrawFn, most: int = 14) -> tuple[int, Pairs]:
    size = draw(st.integers(2, most))
    pairs = draw(st.lists(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)), max_size=2 * size))
    return size, [(min(pair), max(pair)) for pair in pairs if pair[0] != pair[1]]


@settings(max_examples=150, deadline=None)
@given(acyclic())
def test_every_edge_leads_at_least_one_level_down_and_no_level_is_empty(graph: tuple[int, Pairs]) -> None:
    size, edges = graph
    level = levels(size, edges)
    assert all(level[above] < level[below] for above, below in edges)
    assert sorted(set(level)) == list(range(max(level) + 1))


@settings(max_examples=150, deadline=None)
@given(st.integers(2, 12), st.data())
def test_turning_edges_round_leaves_no_circle(size: int, data: st.DataObject) -> None:
    ends = st.tuples(st.integers(0, size - 1), st.integers(0, size - 1))
    edges = [pair for pair in data.draw(st.lists(ends, max_size=30)) if pair[0] != pair[1]]
    straight, turned = without_circles(size, edges)
    assert len(in_order(size, straight)) == size
    for before, after, was_turned in zip(edges, straight, turned, strict=True):
        assert after == (before[::-1] if was_turned else before)


@settings(max_examples=100, deadline=None)
@given(acyclic())
def test_the_order_is_never_worse_than_the_one_it_starts_from(graph: tuple[int, Pairs]) -> None:
    size, edges = graph
    net = chains(levels(size, edges), edges)
    before = [list(reversed(row)) for row in net.rows]
    start = crossings(before, net.down)
    found = arrange(net, 2_000, before)
    assert found <= start
    assert found == crossings(net.rows, net.down)
    assert [sorted(row) for row in net.rows] == [sorted(row) for row in before]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 4), st.integers(5, 8)), min_size=1, max_size=12))
def test_on_two_small_levels_no_order_at_all_has_fewer_crossings(edges: Pairs) -> None:
    net = chains([0] * 5 + [1] * 4, edges)
    found = arrange(net, 20_000)
    best = min(
        crossings([upper, lower], net.down)
        for upper, lower in product(map(list, permutations(range(5))), map(list, permutations(range(5, 9))))
    )
    assert found == best


def test_crossings_of_a_complete_pair_of_levels_follow_the_formula() -> None:
    # Complete bipartite K(m, n) drawn on two lines: m(m-1)/2 * n(n-1)/2 crossings in every order.
    net = chains([0] * 5 + [1] * 6, [(a, b) for a in range(5) for b in range(5, 11)])
    assert arrange(net) == 10 * 15


def test_a_tree_is_drawn_without_a_crossing() -> None:
    edges = [(node, 2 * node + side) for node in range(1, 32) for side in (0, 1)]
    edges = [(above - 1, below - 1) for above, below in edges if below < 64]
    assert arrange(chains(levels(63, edges), edges)) == 0


def test_the_same_graph_gets_the_same_order_each_time() -> None:
    size, edges = plan(60, 1.6, 1)
    first, second = (chains(levels(size, edges), edges) for _ in range(2))
    arrange(first)
    arrange(second)
    assert first.rows == second.rows


@pytest.mark.parametrize(("size", "density", "seed"), [(60, 1.3, 1), (60, 1.6, 2), (60, 2.0, 5), (300, 1.6, 1)])
def test_crossings_stay_within_what_graphviz_dot_draws(size: int, density: float, seed: int) -> None:
    total, edges = plan(size, density, seed)
    net = chains(levels(total, edges), edges)
    assert arrange(net) <= allowed(DOT[size, density][seed - 1])
