"""The exact model: the session as a constraint model, whose best sheet is proved to be the best there is.

Every line has its own begin and end; the builder's lines fall into stays at one kind of work, at most
two per kind, and tools are got out in the first table-timed line of a stay and put away in the last.
One method per rule; the rules are those of `draft.py` and, independently of both, of the audit. The
solver is handed in, so that nothing here needs it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING, Any

from fitup.session.draft import BOTH, BUILDER, HELPER
from fitup.session.exact_linear import whole
from fitup.session.exact_parts import SEED, linear_solver_of, solver_of
from fitup.session.exact_reach import Reach
from fitup.session.exact_rules import Ruled
from fitup.session.planned import Planned, Proof
from fitup.session.problem import Frame
from fitup.session.worth import PER_SET_UP_MINUTE, WINDOW_SAVED

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

HINT_LIMIT = 1.0
"""Seconds after which the attempt to lay down a known sheet in the model is given up."""


class Model(Ruled):
    """The whole model with what a sheet is worth; building it takes some milliseconds."""

    def __init__(self, problem: Frame, cp: Any, bounded: bool = True, reach: Reach | None = None) -> None:
        """Build the model of a session with `cp`, the solver's module.

        `bounded`: with all that holds without clock times, which changes no answer but brings it much sooner;
        `reach` is that, where it is at hand.
        """
        super().__init__(problem, cp.CpModel())
        self.cp = cp
        self.terms: list[Any] = []
        self.asked: list[Any] = []
        self.known: Sequence[Planned] = ()
        self.seed = SEED
        self._for_worth = False
        """Whether a sheet of some worth is asked for, and with that what it has of what was asked for first."""
        self.refuted = False
        """Whether it is proved that there is no sheet such as was looked for."""
        self._worth()
        if bounded:
            self._bounded(reach or Reach(problem))
        else:
            self._energy()

    def _worth(self) -> None:
        """The public sum of `worth.py`, and the minutes of what was asked for first."""
        model, problem = self.model, self.problem
        for line in self.lines:
            c = line.c
            self.terms.append(c.per_minute * line.minutes)
            self.terms.append((c.finished + c.clock) * line.full)
            if c.asked:
                self.asked.append(line.minutes + c.begun * line.on)
            for closes in problem.saves.get(c.index, ()):
                saved = model.new_bool_var(f"saved {c.index}")
                model.add_implication(saved, line.full)
                model.add(line.end <= int(closes)).only_enforce_if(saved)
                self.terms.append(WINDOW_SAVED * saved)
            if c.early:
                early = model.new_int_var(0, self.usable, f"early {c.index}")
                later = [self.lines[index].on.negated() for index in problem.needed_by[c.index]]
                model.add(early >= line.minutes).only_enforce_if(later)
                self.terms.append(-c.early * early)
        for (work, _), stay in self.stays.items():
            timed = next((line.c for line in self.lines if line.c.work == work and line.c.timed), None)
            if timed is not None:
                self.terms.append(-PER_SET_UP_MINUTE * (timed.set_up + timed.clean_up) * stay[3])
        for reward in problem.rewards:
            freed = model.new_bool_var(f"freed {reward.task}")
            for index in reward.needs:
                model.add_implication(freed, self.lines[index].full)
            if reward.candidate is not None:
                model.add_implication(freed, self.lines[reward.candidate].on.negated())
            self.terms.append(reward.worth * freed)

    def _bounded(self, reach: Reach) -> None:
        """Redundant, and what makes the bound good: the rows that every sheet keeps, whatever its clock times."""
        known: dict[int, Any] = {}
        for part, line in zip(reach.parts, self.lines, strict=True):
            known[part.on], known[part.full] = line.on, line.full
            if part.alone is not None:
                known[part.alone] = line.alone
            if line.c.splits:
                (count, _), (minutes, _) = part.count[0], part.minutes[0]
                known[count], known[minutes] = line.count, line.minutes
        variables = whole(reach.programme, self.model, known)
        for work, times in reach.tools.items():
            # the table's minutes are in the rows for each time that the tools come out, and in the worth for each stay
            stays = sum(stay[3] for (name, _), stay in self.stays.items() if name == work)
            self.model.add(sum(variables[number] for number, _ in times) == stays)
        worth = reach.programme.worth.items()
        self.model.add(sum(self.terms) <= sum(round(factor) * variables[number] for number, factor in worth))

    def hold_to(self, counts: Mapping[int, int], worth: int, stays: Mapping[int, int | None] | None = None) -> None:
        """Have these candidates on the sheet, each with this count, and no others, and be worth so much at least.

        Where they are given, also keep to the builder's `stays`, by number, None for what the helper does.
        """
        self.model.add(sum(self.terms) >= worth)
        self._for_worth = True
        for line in self.lines:
            self.model.add(line.on == (line.c.index in counts))
            if line.c.splits:
                self.model.add(line.count == counts.get(line.c.index, 0))
            if stays is not None and line.c.index in stays:
                for number, stay in enumerate(line.stay):
                    self.model.add(stay == (number == stays[line.c.index]))

    def hold_above(self, least: int, asked: int) -> None:
        """Be worth `least` or more, with as much as `asked` of what was asked for, which none has more of."""
        self.model.add(sum(self.terms) >= least)
        if self.asked:
            self.model.add(sum(self.asked) >= asked)
        self._for_worth = True

    def hint(self, lines: Sequence[Planned]) -> None:
        """Start from these lines."""
        model = self.model
        by_index = {line.candidate: line for line in lines}
        for line in self.lines:
            given = by_index.get(line.c.index)
            model.add_hint(line.on, given is not None)
            if given is not None and line.timed:
                model.add_hint(line.begin, given.begin)
                model.add_hint(line.end, given.end)
            if line.c.splits:
                model.add_hint(line.count, given.count if given is not None else 0)
                model.add_hint(line.full, given is not None and given.count == line.c.open)
                model.add_hint(line.minutes, line.c.minutes(given.count) if given is not None else 0)
            if line.c.alone:
                model.add_hint(line.alone, given is not None and given.who == HELPER)

    def _start(self) -> None:
        """Let the hint be the known sheet, and speak of every variable where that can be.

        A solver makes far more of such a hint than of one that leaves some of them open.
        """
        solver = self._laid_down(self.known) if self.known else None
        if solver is not None:
            self.model.clear_hints()
            hint = self.model.proto.solution_hint
            hint.values.extend(solver.response_proto.solution)
            hint.vars.extend(range(len(hint.values)))

    def _laid_down(self, lines: Sequence[Planned]) -> cp_model.CpSolver | None:
        """Return a solver that has these lines for its solution; None where they cannot be a sheet."""
        self.model.clear_hints()
        self.hint(lines)
        solver = solver_of(self.cp, HINT_LIMIT, 1)
        solver.parameters.fix_variables_to_their_hinted_value = True
        solver.parameters.cp_model_probing_level = 0
        return solver if solver.solve(self.model) in (self.cp.OPTIMAL, self.cp.FEASIBLE) else None

    def judged(self, lines: Sequence[Planned], bound: int) -> Proof | None:
        """Return these lines with what they are worth, at most `bound`; None where they cannot be a sheet."""
        self.model.maximize(sum(self.terms))
        solver = self._laid_down(lines)
        if solver is None:
            return None
        asked = solver.value(sum(self.asked)) if self.asked else 0
        return Proof(self._found(solver), asked, round(solver.objective_value), bound, False, solver.wall_time)

    def solve(self, limit: float, lightly: bool = False, workers: int = 1) -> Proof | None:
        """Solve for what was asked first, then for worth.

        `lightly`: with rows only propagated, which soon tells whether there is a sheet at all and proves less.
        """
        asked, spent, sure = 0, 0.0, True
        if self.asked and not self._for_worth:
            self.model.maximize(sum(self.asked))
            self._start()
            solver, status = self._run(limit / 2, lightly, workers)
            if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
                return None
            asked, spent, sure = round(solver.objective_value), solver.wall_time, status == self.cp.OPTIMAL
            self.model.add(sum(self.asked) >= asked)
        self.model.maximize(sum(self.terms))
        self._start()
        solver, status = self._run(max(0.1, limit - spent), lightly, workers)
        self.refuted = status == self.cp.INFEASIBLE
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        asked = solver.value(sum(self.asked)) if self.asked else 0
        return self._answer(solver, asked, sure and status == self.cp.OPTIMAL, spent + solver.wall_time)

    def _answer(self, solver: cp_model.CpSolver, asked: int, proven: bool, seconds: float) -> Proof:
        worth, bound = round(solver.objective_value), int(solver.best_objective_bound + 1e-6)
        return Proof(self._found(solver), asked, worth, bound, proven, seconds)

    def _run(self, limit: float, lightly: bool, workers: int) -> tuple[cp_model.CpSolver, Any]:
        solver = linear_solver_of(self.cp, limit, 0 if lightly else 1, workers, as_written=self._for_worth)
        solver.parameters.random_seed = self.seed
        # the strong rules for who goes first on the one pair of hands that does most of the work
        solver.parameters.use_strong_propagation_in_disjunctive = True
        return solver, solver.solve(self.model)

    def _found(self, solver: cp_model.CpSolver) -> tuple[Planned, ...]:
        builder: list[tuple[int, Planned]] = []
        helper: list[Planned] = []
        for line in self.lines:
            if not solver.boolean_value(line.on):
                continue
            c, count = line.c, solver.value(line.count)
            number = next((v for v, stay in enumerate(line.stay) if solver.boolean_value(stay)), None)
            if number is None:
                begin, end = solver.value(line.begin), solver.value(line.end)
                helper.append(Planned(c.index, count, begin, end, 0, 0, HELPER))
                continue
            if line.timed:
                begin, end = solver.value(line.begin), solver.value(line.end)
                extra = [c.set_up, c.clean_up]
                out = any(solver.boolean_value(literal) for literal in line.first)
                away = any(solver.boolean_value(literal) for literal in line.last)
                extra = [c.set_up * out, c.clean_up * away]
            else:
                begin = solver.value(self.stays[c.work, number][1])
                end, extra = begin + c.minutes(count), [0, 0]
            who = BOTH if c.two else BUILDER
            builder.append((begin, Planned(c.index, count, begin, end, extra[0], extra[1], who)))
        return tuple(sorted([*self._laid(builder), *helper], key=lambda line: (line.begin, line.end)))

    def _laid(self, builder: list[tuple[int, Planned]]) -> list[Planned]:
        """Put lines without times one after another in the order of work; tools come out and go away once a stay."""
        order = sorted(builder, key=lambda found: (found[0], found[1].candidate))
        laid: list[Planned] = []
        for work, run in groupby(order, key=lambda found: self.lines[found[1].candidate].c.work):
            stay = [line for _, line in run]
            timed = [line for line in stay if self.lines[line.candidate].c.timed]
            free = work not in self.waiting
            now = stay[0].begin
            for line in stay:
                c = self.lines[line.candidate].c
                set_up = c.set_up if timed and line is timed[0] else 0
                clean_up = c.clean_up if timed and line is timed[-1] else 0
                begin = now if free else line.begin + line.set_up - set_up
                now = begin + set_up + c.minutes(line.count) + clean_up
                laid.append(replace(line, begin=begin, end=now, set_up=set_up, clean_up=clean_up))
        return laid
