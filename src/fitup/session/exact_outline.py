"""The outline of a session: what is best done in it when nobody looks at the clock, and whether the clock allows it.

No sheet is worth more than the outline, and mostly one is worth as much. The solver is handed in, so
that nothing here needs it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import floor
from typing import Any

from fitup.session.exact_linear import whole
from fitup.session.exact_model import Model
from fitup.session.exact_parts import linear_solver_of
from fitup.session.exact_reach import Reach
from fitup.session.narrowed import Narrowed
from fitup.session.planned import Proof
from fitup.session.problem import Frame


@dataclass(frozen=True, slots=True)
class Outline:
    """Candidates with their counts; what of it was asked for, what it is worth, and what no sheet is worth more than.

    `sure` tells that nothing has more of what was asked for.
    """

    counts: Mapping[int, int]
    asked: int
    own_worth: int
    worth: int
    sure: bool

    def reached_by(self, proof: Proof) -> bool:
        """Return whether the proof's sheet is as good as the outline, and so the best there is."""
        return self.sure and (proof.asked, proof.worth) == (self.asked, self.worth)


def outline(reach: Reach, cp: Any, limit: float) -> Outline | None:
    """Return the outline, or as much as is known of it after `limit` seconds; None when that is nothing."""
    model, programme = cp.CpModel(), reach.programme
    variables = whole(programme, model)
    asked, sure = 0, True
    if programme.asked:
        total = sum(round(factor) * variables[number] for number, factor in programme.asked.items())
        model.maximize(total)
        solver = linear_solver_of(cp, limit / 2, level=2)
        status = solver.solve(model)
        if status not in (cp.OPTIMAL, cp.FEASIBLE):
            return None
        asked, sure = round(solver.objective_value), status == cp.OPTIMAL
        model.add(total >= asked)
    model.maximize(sum(round(factor) * variables[number] for number, factor in programme.worth.items()))
    solver = linear_solver_of(cp, limit, level=2)
    if solver.solve(model) not in (cp.OPTIMAL, cp.FEASIBLE):
        return None
    counts = {
        part.c.index: sum(round(factor) * solver.value(variables[number]) for number, factor in part.count)
        for part in reach.parts
        if solver.boolean_value(variables[part.on])
    }
    return Outline(counts, asked, round(solver.objective_value), floor(solver.best_objective_bound + 1e-6), sure)


def by_the_clock(
    frame: Frame,
    counts: Mapping[int, int],
    worth: int,
    cp: Any,
    limit: float,
    stays: Mapping[int, int | None] | None = None,
    workers: int = 1,
    seed: int = 0,
) -> Proof | None:
    """Return a sheet with just these counts on it, worth as much; None where the clock does not allow it.

    With `stays` each candidate is done in the stay of that number, None for the helper. None also where
    `limit` seconds do not tell, with this `seed` of the solver's choices.
    """
    narrowed = Narrowed(frame, counts)
    model = Model(narrowed.frame, cp)
    inside = None if stays is None else {narrowed.new[index]: number for index, number in stays.items()}
    model.seed = seed
    model.hold_to({narrowed.new[index]: count for index, count in counts.items()}, worth, inside)
    found = model.solve(limit, lightly=True, workers=workers)
    return None if found is None else replace(found, lines=narrowed.outside(found.lines))
