"""Linear programmes over whole numbers, as plain values, and the two ways in which they are solved.

As it stands, by the constraint solver, which finds what whole numbers can reach; or with parts of
numbers allowed, by the simplex method, which tells at once what each choice can bring at most. Solver
and model are handed in, so that nothing here needs them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from math import floor
from time import monotonic
from typing import Any, NamedTuple

FINE = 1_000_000
"""Parts into which factors that are not whole are cut."""

NEARLY_ON = 0.999
"""From where on a choice counts as made anyway, so that forcing it says nothing new."""

GLOP_SETTINGS = "use_dual_simplex:true use_preprocessing:false"
"""One bound changes from one solve to the next: the dual simplex goes on from where it was."""

Terms = list[tuple[int, float]]
"""A linear sum: variables, by number, with their factors."""


class Row(NamedTuple):
    """A sum that is at most `high`."""

    terms: Mapping[int, float]
    high: float


class Programme:
    """Variables from 0 to `highest`, rows that hold, and the sum `worth` that is to be as large as can be.

    Where `asked` is not empty, that sum is to be as large as can be first of all.
    """

    def __init__(self) -> None:
        self.highest: list[int] = []
        self.rows: list[Row] = []
        self.worth: Mapping[int, float] = {}
        self.asked: Mapping[int, float] = {}
        self.settled: Mapping[int, int] = {}
        """Variables whose value is known, for the sheets that are looked for."""

    def variable(self, high: int = 1) -> int:
        """Return the number of a new variable."""
        self.highest.append(high)
        return len(self.highest) - 1

    def most(self, terms: Iterable[tuple[int, float]], high: float) -> None:
        """Keep a sum from being more than `high`."""
        self.rows.append(Row(summed(terms), high))

    def implies(self, one: int, other: int) -> None:
        """Keep one variable from being more than another."""
        self.most([(one, 1), (other, -1)], 0)


def summed(terms: Iterable[tuple[int, float]]) -> dict[int, float]:
    """Return each variable once, with the sum of its factors."""
    found: dict[int, float] = {}
    for variable, factor in terms:
        found[variable] = found.get(variable, 0.0) + factor
    return found


def whole(programme: Programme, model: Any, known: Mapping[int, Any] | None = None) -> list[Any]:
    """Write the programme's variables and rows into a constraint model; return the variables.

    `known` are those that the model has already.
    """
    variables = [model.new_int_var(0, high, "") for high in programme.highest]
    for number, variable in (known or {}).items():
        variables[number] = variable
        if programme.highest[number] == 0:
            model.add(variable == 0)
    for number, value in programme.settled.items():
        model.add(variables[number] == value)
    for row in programme.rows:
        factors, high = _in_whole_numbers(programme, row)
        model.add(sum(factor * variables[number] for number, factor in factors.items()) <= high)
    return variables


def _in_whole_numbers(programme: Programme, row: Row) -> tuple[dict[int, int], int]:
    """Return a row with whole factors that allows whatever the true row allows."""
    if all(factor == int(factor) for factor in row.terms.values()):
        return {number: int(factor) for number, factor in row.terms.items()}, floor(row.high + 1e-9)
    fine = {number: round(FINE * factor) for number, factor in row.terms.items()}
    lost = sum(abs(FINE * factor - fine[number]) * programme.highest[number] for number, factor in row.terms.items())
    return fine, floor(FINE * row.high + lost + 1)


class Relaxed:
    """The programme with parts of numbers allowed, in a linear solver; `besides` are rows beside its own."""

    def __init__(self, programme: Programme, solver: Any, besides: Sequence[Row] = ()) -> None:
        solver.SetSolverSpecificParametersAsString(GLOP_SETTINGS)
        self.solver = solver
        self.variables = [solver.NumVar(0, high, "") for high in programme.highest]
        for row in (*programme.rows, *besides):
            constraint = solver.Constraint(-solver.infinity(), row.high)
            for number, factor in row.terms.items():
                constraint.SetCoefficient(self.variables[number], factor)
        objective = solver.Objective()
        for number, factor in programme.worth.items():
            objective.SetCoefficient(self.variables[number], factor)
        objective.SetMaximization()

    def solved(self) -> bool:
        """Solve the programme as it stands; return whether there is a best."""
        return bool(self.solver.Solve() == self.solver.OPTIMAL)

    def by_reduced_cost(self, choices: Sequence[int]) -> list[float]:
        """Return for each of these variables what the sum can be at most with it at 1, as the solution at hand tells.

        By the reduced costs (Dantzig, Fulkerson and Johnson 1954).
        """
        bound = self.solver.Objective().Value()
        variables = [self.variables[number] for number in choices]
        return [bound + min(0.0, v.reduced_cost()) * (v.solution_value() < 1) for v in variables]

    def made(self, choices: Sequence[int]) -> set[int]:
        """Return the places of the choices that the solution at hand makes."""
        return {place for place, number in enumerate(choices) if self.variables[number].solution_value() >= NEARLY_ON}

    def settled(self, choices: Iterable[int], worth: float, until: float) -> dict[int, int]:
        """Return the value of those 0-or-1 variables that are alike wherever the sum reaches `worth`.

        Not looked for after `until`, a reading of the monotonic clock. What is found stays in the programme.
        """
        found: dict[int, int] = {}
        met: dict[int, set[int]] = {0: set(), 1: set()}
        if not self._reaches(worth, met):
            return found
        for number in choices:
            for value in (0, 1):
                if number in met[value]:
                    continue
                if monotonic() > until:
                    return found
                self.variables[number].SetBounds(value, value)
                if not self._reaches(worth, met):
                    found[number] = 1 - value
                    self.variables[number].SetBounds(1 - value, 1 - value)
                    break
                self.variables[number].SetBounds(0, 1)
        return found

    def _reaches(self, worth: float, met: Mapping[int, set[int]]) -> bool:
        """Return whether the sum may reach `worth`; then note by value which variables have it in the solution."""
        status = self.solver.Solve()
        if status != self.solver.OPTIMAL:
            return bool(status != self.solver.INFEASIBLE)
        if self.solver.Objective().Value() < worth:
            return False
        for number, variable in enumerate(self.variables):
            value = variable.solution_value()
            if value >= NEARLY_ON:
                met[1].add(number)
            elif value <= 1 - NEARLY_ON:
                met[0].add(number)
        return True

    def forced(self, choice: int, enough: float, reached: set[int], choices: Sequence[int]) -> float:
        """Return the sum with this choice made; with it those are `reached` that go with a sum that is `enough`."""
        variable = self.variables[choice]
        high = variable.ub()
        if high < 1:
            return float("-inf")
        variable.SetBounds(1, 1)
        status = self.solver.Solve()
        worth = float("-inf") if status == self.solver.INFEASIBLE else float("inf")
        if status == self.solver.OPTIMAL:
            worth = float(self.solver.Objective().Value())
            if worth >= enough:
                reached |= self.made(choices)
        variable.SetBounds(0, high)
        return worth


def most_with_each(
    solvers: Sequence[Relaxed], choices: Sequence[int], ahead: Sequence[Sequence[int]], worth: float, until: float
) -> list[float] | None:
    """Return for each of these variables what the sum can be at most with it at 1; None when that is not known.

    `solvers` of one programme share the choices out, each in a thread of its own. `ahead` are by choice the
    places of those that have to be at 1 with it. Looked into is only what may decide whether the sum can be
    `worth`. After `until`, a reading of the monotonic clock, the rest is known by the reduced costs.
    """
    most: list[float] = []
    reached: set[int] = set()

    def look_into(relaxed: Relaxed, places: Sequence[int]) -> None:
        for place in places:
            if most[place] < worth or monotonic() > until:
                return
            most[place] = min([most[place], *(most[other] for other in ahead[place])])
            if place not in reached and most[place] >= worth:
                most[place] = min(most[place], relaxed.forced(choices[place], worth, reached, choices))

    with ThreadPoolExecutor(len(solvers)) as pool:
        if not all(pool.map(Relaxed.solved, solvers)):
            return None
        most += solvers[0].by_reduced_cost(choices)
        reached |= solvers[0].made(choices)
        # where the reduced cost says least, there is most to be learnt from forcing the choice
        order = sorted(range(len(most)), key=lambda place: -most[place])
        shares = [order[number :: len(solvers)] for number in range(len(solvers))]
        # as a list, so that what goes wrong in a thread is raised here
        list(pool.map(look_into, solvers, shares))
    return most
