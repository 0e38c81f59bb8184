"""Linear programmes over whole numbers: against a published knapsack, and against trying everything."""

from __future__ import annotations

from itertools import product
from math import inf
from random import Random

from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model

from fitup.session.exact_linear import Programme, Relaxed, most_with_each, whole

WEIGHTS = (23, 31, 29, 44, 53, 38, 63, 85, 89, 82)
PROFITS = (92, 57, 49, 68, 60, 43, 67, 84, 87, 72)
CAPACITY, BEST = 165, 309
"""A knapsack of ten things, problem P01 of J. Burkardt's data set KNAPSACK_01 (value from memory)."""


def knapsack(weights: tuple[float, ...], profits: tuple[int, ...], capacity: float) -> Programme:
    programme = Programme()
    things = [programme.variable() for _ in weights]
    programme.most(zip(things, weights, strict=True), capacity)
    programme.worth = dict(zip(things, map(float, profits), strict=True))
    return programme


def best_of(programme: Programme) -> int:
    """Return the best sum with whole numbers."""
    model = cp_model.CpModel()
    variables = whole(programme, model)
    model.maximize(sum(round(by) * variables[number] for number, by in programme.worth.items()))
    solver = cp_model.CpSolver()
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def relaxed(programme: Programme) -> Relaxed:
    return Relaxed(programme, pywraplp.Solver.CreateSolver("GLOP"))


def tried(programme: Programme, forced: int | None = None) -> float:
    """Return the best sum by trying everything."""
    best = -inf
    for values in product(*(range(high + 1) for high in programme.highest)):
        if forced is not None and values[forced] != 1:
            continue
        if all(sum(by * values[v] for v, by in row.terms.items()) <= row.high + 1e-9 for row in programme.rows):
            best = max(best, sum(by * values[v] for v, by in programme.worth.items()))
    return best


def test_a_published_knapsack() -> None:
    programme = knapsack(WEIGHTS, PROFITS, CAPACITY)
    assert best_of(programme) == BEST == tried(programme)
    most = most_with_each([relaxed(programme)], range(len(WEIGHTS)), [()] * len(WEIGHTS), BEST, inf)
    assert most is not None
    assert max(most) >= BEST
    assert all(at_most >= tried(programme, place) - 1e-6 for place, at_most in enumerate(most))


def test_what_each_choice_can_bring_is_never_said_too_low() -> None:
    random = Random(4)
    for _ in range(30):
        size = random.randint(3, 8)
        weights = tuple(random.choice((random.randint(1, 30), random.uniform(0.1, 30))) for _ in range(size))
        programme = knapsack(weights, tuple(random.randint(1, 40) for _ in range(size)), random.uniform(5, 60))
        assert best_of(programme) == tried(programme)
        ahead = [tuple(range(place)) if random.random() < 0.3 else () for place in range(size)]
        for place, others in enumerate(ahead):
            for other in others:
                programme.implies(place, other)
        for until, worth in ((inf, -inf), (-inf, -inf), (inf, tried(programme)), (inf, tried(programme) + 1)):
            solvers = [relaxed(programme) for _ in range(random.randint(1, 2))]
            most = most_with_each(solvers, range(size), ahead, worth, until)
            assert most is not None
            assert all(at_most >= tried(programme, place) - 1e-6 for place, at_most in enumerate(most))


def test_factors_that_are_not_whole_forbid_nothing_that_is_allowed() -> None:
    programme = Programme()
    thirds = [programme.variable(3) for _ in range(3)]
    programme.most([(thing, 1 / 3) for thing in thirds], 1)
    programme.worth = dict.fromkeys(thirds, 1.0)
    assert best_of(programme) == 3


def test_what_is_settled_is_so_wherever_the_sum_is_reached() -> None:
    random, settled = Random(8), 0
    for _ in range(40):
        size = random.randint(3, 8)
        weights = tuple(random.randint(1, 30) for _ in range(size))
        programme = knapsack(weights, tuple(random.randint(1, 40) for _ in range(size)), random.uniform(5, 60))
        worth = tried(programme) - random.choice((0, 0, 3, 10))
        found = relaxed(programme).settled(range(size), worth, inf)
        settled += len(found)
        for values in product((0, 1), repeat=size):
            fits = all(sum(by * values[v] for v, by in row.terms.items()) <= row.high for row in programme.rows)
            if fits and sum(by * values[v] for v, by in programme.worth.items()) >= worth:
                assert all(values[number] == value for number, value in found.items())
    assert settled > 40


def test_nothing_is_settled_after_the_time_is_over() -> None:
    programme = knapsack(WEIGHTS, PROFITS, CAPACITY)
    assert relaxed(programme).settled(range(len(WEIGHTS)), BEST, -inf) == {}
    assert relaxed(programme).settled(range(len(WEIGHTS)), BEST, inf)
