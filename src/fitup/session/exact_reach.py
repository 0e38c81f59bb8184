"""What a session can be worth at most, and which candidates a better sheet could have on it at all.

The session without its clock times, as a linear programme: who works how long, what is finished,
what that frees. Its answer bounds the worth from above; the reduced cost of a candidate tells how much
less there is at most with it on the sheet. What cannot reach the worth of a sheet already known is
left out of the proof, which stays a proof over all (reduced-cost fixing; Dantzig, Fulkerson and
Johnson 1954). The solver is handed in, so that nothing here needs it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations
from time import monotonic
from typing import Any

from fitup.session.exact_hands import earliest_begins
from fitup.session.problem import Candidate, Frame, Occupation, Window
from fitup.session.rules import Rules
from fitup.session.worth import PER_SET_UP_MINUTE, WINDOW_SAVED

FEW_ROWS = 8
"""At how many minutes of the session the work that begins later, or ends sooner, is held to the time there."""

NEARLY_ON = 0.999
"""From where on a candidate counts as on the sheet anyway, so that forcing it in says nothing new."""

GLOP_SETTINGS = "use_dual_simplex:true use_preprocessing:false"
"""One bound changes from one solve to the next: the dual simplex goes on from where it was."""

Terms = list[tuple[Any, float]]
"""A linear sum: variables with their factors."""


class _Part:
    """One candidate's share: `on`, `full` and `alone` between 0 and 1, its count and minutes as sums."""

    def __init__(self, solver: Any, c: Candidate, full: int, usable: int) -> None:
        fits = full <= usable or c.splits
        self.c, self.length = c, full
        self.on = solver.NumVar(0, 1 if fits else 0, "")
        self.full = solver.NumVar(0, 1 if full <= usable else 0, "") if c.splits else self.on
        self.alone = solver.NumVar(0, 1, "") if c.alone else None
        self.count: Terms = [(self.on, c.open)]
        self.minutes: Terms = [(self.on, full)]
        if c.splits:
            self.count = [(solver.NumVar(0, c.open, ""), 1)]
            self.minutes = [(solver.NumVar(0, min(full, usable), ""), 1)]


class Reach:
    """The session's linear programme."""

    def __init__(self, problem: Frame, solver: Any) -> None:
        self.problem, self.solver, self.rules = problem, solver, Rules(problem)
        solver.SetSolverSpecificParametersAsString(GLOP_SETTINGS)
        full, self.usable = self.rules.full, problem.usable
        self.parts = [_Part(solver, c, full[c.index], self.usable) for c in problem.candidates]
        self.earliest = earliest_begins(problem, self.rules)
        self._set_ups()
        for part in self.parts:
            self._count(part)
            for before, _ in part.c.before:
                self._implies(part.on, self.parts[before].full)
        for members in problem.groups.values():
            for other in members[1:]:
                self._row([(self.parts[members[0]].on, 1), (self.parts[other].on, -1)], 0, 0)
        self._hands()
        self._items()
        self._clecos()
        self._occupied()
        for window in problem.windows:
            self._window(window)
        self._worth()

    def at_most(self, until: float) -> list[float] | None:
        """Return by candidate what a sheet with it on can be worth at most; None when that cannot be worked out.

        After `until`, a reading of the monotonic clock, those left are only known by the bound for all.
        """
        if self.solver.Solve() != self.solver.OPTIMAL:
            return None
        bound = self.solver.Objective().Value()
        on = [part.on.solution_value() for part in self.parts]
        most = [bound + min(0.0, part.on.reduced_cost()) * (on[part.c.index] < 1) for part in self.parts]
        # where the reduced cost says least, there is most to be learnt from forcing the candidate in
        for index in sorted(range(len(most)), key=lambda index: -most[index]):
            if monotonic() > until:
                break
            if on[index] < NEARLY_ON:
                most[index] = min(most[index], self._forced(index))
        return most

    def _forced(self, index: int) -> float:
        on = self.parts[index].on
        high = on.ub()
        if high < 1:
            return float("-inf")
        on.SetBounds(1, 1)
        status = self.solver.Solve()
        worth = float("-inf") if status == self.solver.INFEASIBLE else float("inf")
        if status == self.solver.OPTIMAL:
            worth = float(self.solver.Objective().Value())
        on.SetBounds(0, high)
        return worth

    # -- rows ------------------------------------------------------------------------------------

    def _row(self, terms: Iterable[tuple[Any, float]], low: float, high: float) -> None:
        row = self.solver.Constraint(low, high)
        for variable, factor in _summed(terms):
            row.SetCoefficient(variable, factor)

    def _most(self, terms: Iterable[tuple[Any, float]], high: float) -> None:
        self._row(terms, -self.solver.infinity(), high)

    def _implies(self, one: Any, other: Any) -> None:
        self._most([(one, 1), (other, -1)], 0)

    def _count(self, part: _Part) -> None:
        """A part of a task has at least its least count; its minutes are its count's, rounded."""
        c = part.c
        if not c.splits:
            return
        (count, _), (minutes, _), unit = part.count[0], part.minutes[0], self.rules.unit[c.index]
        least = c.minutes(c.least)
        self._most([(part.on, c.least), (count, -1)], 0)
        self._most([(count, 1), (part.on, 1 - c.open), (part.full, -1)], 0)
        self._most([(part.full, c.open), (count, -1)], 0)
        self._implies(part.full, part.on)
        self._most([(minutes, 1), (count, -unit), (part.on, -0.5)], 0)
        self._most([(minutes, 1), (part.on, -part.length)], 0)
        self._most([(part.on, least), (part.full, part.length - least), (minutes, -1)], 0)

    def _set_ups(self) -> None:
        """Table-timed work of the builder has its tools out and put away once at least."""
        self.tools: Terms = []
        there: dict[str, Any] = {}
        for part in self.parts:
            if not part.c.timed:
                continue
            if part.c.work not in there:
                there[part.c.work] = self.solver.NumVar(0, 1, "")
                self.tools.append((there[part.c.work], part.c.set_up + part.c.clean_up))
            own: Terms = [(part.on, 1), (there[part.c.work], -1)]
            self._most(own if part.alone is None else [*own, (part.alone, -1)], 0)

    def _hands(self) -> None:
        """All that each does fits into the time that each has, and into what is left of it from some minutes on."""
        own: list[tuple[Candidate, Terms]] = []
        helped: list[tuple[Candidate, Terms]] = []
        for part in self.parts:
            c, minutes = part.c, part.minutes
            if part.alone is not None:
                theirs = self.solver.NumVar(0, min(part.length, self.usable), "")
                self._implies(part.alone, part.on)
                self._most([(theirs, 1), (part.alone, -part.length)], 0)
                self._most([(theirs, 1), *((variable, -by) for variable, by in minutes)], 0)
                rest: Terms = [*minutes, (theirs, -1)]
                self._most([*rest, (part.on, -part.length), (part.alone, part.length)], 0)
                helped.append((c, [(theirs, 1)]))
                minutes = rest
            elif c.two:
                helped.append((c, minutes))
            own.append((c, minutes))
        self._most([term for _, terms in own for term in terms] + self.tools, self.usable)
        for minute in _thresholds(self.earliest[c.index] for c, _ in own):
            later = [term for c, terms in own if self.earliest[c.index] >= minute for term in terms]
            self._most(later, self.usable - minute)
        for minute in _thresholds(c.latest for c, _ in own if c.latest < self.usable):
            self._most([term for c, terms in own if c.latest <= minute for term in terms], minute)
        for minute in {0, *_thresholds(self.earliest[c.index] for c, _ in helped)}:
            left = sum(max(0, end - max(begin, minute)) for begin, end in self.problem.helper)
            self._most([term for c, terms in helped if self.earliest[c.index] >= minute for term in terms], left)

    def _items(self) -> None:
        for item in {item for needs in self.rules.needs for item, _ in needs}:
            taken = [
                (variable, factor * quantity)
                for part in self.parts
                for name, quantity in self.rules.needs[part.c.index]
                if name == item
                for variable, factor in part.count
            ]
            self._most(taken, self.problem.stock[item] + 1e-6 * (len(self.parts) + 1))

    def _clecos(self) -> None:
        """At the end no more temporary fasteners of a size are out than there are, or than were out before."""
        for size, loans in self.rules.loans.items():
            out: Terms = []
            before = 0
            for loan in loans:
                given = loan.count * min(loan.done, loan.of) // loan.of
                if loan.lender is None:
                    before += loan.count - given
                else:
                    out.append((self.parts[loan.lender].on, loan.count - given))
                if loan.until is not None:
                    back = self.solver.NumVar(0, loan.count - given, "")
                    each = loan.count / loan.of
                    over = loan.count * min(loan.done, loan.of) / loan.of - given
                    until = self.parts[loan.until]
                    self._most([(back, 1), *((variable, -each * by) for variable, by in until.count)], over)
                    out.append((back, -1))
            self._most(out, max(self.problem.have_clecos.get(size, 0), before) - before)

    def _occupied(self) -> None:
        """What a tool, table or jig is taken for has to be finished before it serves others, or is taken again."""
        for tool in {held.tool for held in self.problem.occupations}:
            have = self.problem.have_tools.get(tool, 1)
            taken = [held for held in self.problem.occupations if held.tool == tool]
            before = [held for held in taken if held.lender is None]
            for part in self.parts if len(before) >= have else ():
                if tool in self.rules.tools[part.c.index]:
                    given = [self._given_back(held) for held in before if part.c.index not in held.serves]
                    if len(given) >= have:
                        self._most([(part.on, 1), *(term for terms in given for term in terms)], 0)
            takers = [held for held in taken if held.lender is not None]
            for one, other in combinations(takers, 2) if have == 1 else ():
                lent = [(self.parts[held.lender].on, 1) for held in (one, other) if held.lender is not None]
                self._most([*lent, *self._given_back(one), *self._given_back(other)], 1)

    def _given_back(self, held: Occupation) -> Terms:
        return [] if held.until is None else [(self.parts[held.until].full, -1)]

    def _window(self, window: Window) -> None:
        """What opens a window that cannot last until the next session comes with what has to be done in it."""
        if self._may_last(window):
            return
        last = None if window.last is None else self.parts[window.last]
        if window.first is None:
            if last is not None and window.true_closes is not None:
                self._implies(last.on, last.full)
            return
        opener = self.parts[window.first]
        is_open = opener.full if window.from_finish else opener.on
        if last is None:
            self._most([(is_open, 1)], 0)
        else:
            self._implies(is_open, last.full)

    def _may_last(self, window: Window) -> bool:
        start = self.problem.next_start
        closes = self.usable + window.true_span if window.first is not None else window.true_closes
        if start is None or closes is None:
            return False
        left = window.margin
        for index, count, likely, over in window.chain:
            left += (likely + (over if window.high else 0.0)) * count if index is None else 0.0
        return closes >= start + left - 1

    def _worth(self) -> None:
        """The public sum of `worth.py`, with nothing lost that a sheet could have."""
        problem = self.problem
        terms: Terms = [(variable, -PER_SET_UP_MINUTE * minutes) for variable, minutes in self.tools]
        for part in self.parts:
            c = part.c
            terms += [(variable, c.per_minute * factor) for variable, factor in part.minutes]
            terms.append((part.full, c.finished + c.clock + WINDOW_SAVED * len(problem.saves.get(c.index, ()))))
            if c.early:
                early = self.solver.NumVar(0, part.length, "")
                later = [(self.parts[index].on, -part.length) for index in problem.needed_by[c.index]]
                self._most([*part.minutes, *later, (early, -1)], 0)
                terms.append((early, -c.early))
        for reward in problem.rewards:
            freed = self.solver.NumVar(0, 1, "")
            for index in reward.needs:
                self._implies(freed, self.parts[index].full)
            if reward.candidate is not None:
                self._most([(freed, 1), (self.parts[reward.candidate].on, 1)], 1)
            terms.append((freed, reward.worth))
        objective = self.solver.Objective()
        for variable, factor in _summed(terms):
            objective.SetCoefficient(variable, factor)
        objective.SetMaximization()


def _summed(terms: Iterable[tuple[Any, float]]) -> Iterable[tuple[Any, float]]:
    """Return each variable once, with the sum of its factors."""
    found: dict[int, list[Any]] = {}
    for variable, factor in terms:
        kept = found.setdefault(variable.index(), [variable, 0.0])
        kept[1] += factor
    return ((variable, factor) for variable, factor in found.values())


def _thresholds(minutes: Iterable[int]) -> Sequence[int]:
    """Return a few of these minutes, spread over them."""
    found = sorted({minute for minute in minutes if minute > 0})
    step = max(1, len(found) // FEW_ROWS)
    return found[::step]
