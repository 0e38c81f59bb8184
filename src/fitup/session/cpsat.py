"""The exact planner: the session as a constraint model, whose best sheet is proved to be the best there is.

OR-Tools is imported inside the functions only, so that nothing else pays for it. Every line has its
own begin and end; the builder's lines fall into stays at one kind of work, at most two per kind, and
tools are got out in the first table-timed line of a stay and put away in the last. One method per
rule; the rules are those of `draft.py` and, independently of both, of the audit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fitup.session.draft import BOTH, BUILDER, HELPER, MOST_STAYS
from fitup.session.problem import Candidate, Problem, Window
from fitup.session.rules import Rules
from fitup.session.worth import PER_SET_UP_MINUTE, WINDOW_SAVED

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

FINE = 1_000_000
"""Parts into which minutes and quantities that are not whole are cut."""

NEAR_TIE = 1e-3


@dataclass(frozen=True, slots=True)
class Planned:
    """One line of a solution: candidate, count, begin and end with set-up and clean-up, and who does it."""

    candidate: int
    count: int
    begin: int
    end: int
    set_up: int
    clean_up: int
    who: int


@dataclass(frozen=True, slots=True)
class Proof:
    """What a solve found: the lines of the best sheet, its worth, the bound, and whether they are equal."""

    lines: tuple[Planned, ...]
    asked: int
    worth: int
    bound: int
    proven: bool
    seconds: float


def prove(
    problem: Problem, hint: Sequence[Planned] = (), limit: float = 10, stays: int = MOST_STAYS, workers: int = 1
) -> Proof | None:
    """Return the best sheet found within `limit` seconds with its bound; None when not even a bound was found.

    `hint` are the lines of a good sheet to start from; `stays` how often a kind of work may be come back to.
    """
    model = Model(problem, stays)
    model.hint(hint)
    return model.solve(limit, workers)


class Line:
    """The variables of one candidate."""

    def __init__(self, model: cp_model.CpModel, c: Candidate, usable: int) -> None:
        name = c.task
        self.c = c
        self.on = model.new_bool_var(f"on {name}")
        self.begin = model.new_int_var(0, usable, f"begin {name}")
        self.end = model.new_int_var(0, max(0, c.latest), f"end {name}")
        most = c.minutes(c.open)
        self.count: Any = model.new_int_var(0, c.open, f"count {name}") if c.splits else c.open * self.on
        self.minutes: Any = model.new_int_var(0, min(most, usable), f"minutes {name}") if c.splits else most * self.on
        self.full: Any = model.new_bool_var(f"full {name}") if c.splits else self.on
        self.alone: Any = model.new_bool_var(f"alone {name}") if c.alone else 0
        self.stay: list[Any] = []
        self.first: list[Any] = []
        self.last: list[Any] = []


class Model:
    """The model of one session; building it takes some milliseconds."""

    def __init__(self, problem: Problem, stays: int = MOST_STAYS) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.problem, self.rules = problem, Rules(problem)
        self.model = cp_model.CpModel()
        self.usable = problem.usable
        self.lines = [Line(self.model, c, self.usable) for c in problem.candidates]
        self.terms: list[Any] = []
        self.asked: list[Any] = []
        self.stays: dict[tuple[str, int], tuple[Any, Any, Any, Any, Any, Any]] = {}
        self._counts()
        self._stays(stays)
        self._hands()
        self._order()
        self._windows()
        self._one_go()
        self._items()
        self._clecos()
        self._tools()
        self._worth()

    # -- counts and minutes ----------------------------------------------------------------------

    def _counts(self) -> None:
        """A count between least and open, and its whole minutes; release and latest end."""
        model = self.model
        for line in self.lines:
            c = line.c
            model.add(line.begin >= c.release).only_enforce_if(line.on)
            if not c.splits:
                if self.rules.full[c.index] > self.usable:
                    model.add(line.on == 0)
                continue
            model.add(line.count >= c.least).only_enforce_if(line.on)
            model.add(line.count <= c.open * line.on)
            model.add(line.count >= c.open * line.full)
            model.add(line.count <= c.open - 1 + line.full)
            model.add_implication(line.full, line.on)
            self._minutes(line)

    def _minutes(self, line: Line) -> None:
        c, unit = line.c, self.rules.unit[line.c.index]
        ties = unit * c.least < 0.5 + NEAR_TIE or any(
            abs(unit * count % 1 - 0.5) < NEAR_TIE for count in range(c.least, c.open + 1)
        )
        rate = round(unit * FINE)
        if ties:
            table = [(0, 0)] + [(count, c.minutes(count)) for count in range(c.least, c.open + 1)]
            table = [(count, minutes) for count, minutes in table if minutes <= self.usable]
            self.model.add_allowed_assignments([line.count, line.minutes], table)
            self.model.add(FINE * line.minutes - rate * line.count <= FINE)
            self.model.add(FINE * line.minutes - rate * line.count >= -FINE)
        else:
            self.model.add(2 * FINE * line.minutes - 2 * rate * line.count <= FINE)
            self.model.add(2 * FINE * line.minutes - 2 * rate * line.count >= -FINE)
            self.model.add(line.minutes <= self.rules.full[c.index] * line.on)

    # -- stays and hands -------------------------------------------------------------------------

    def _stays(self, stays: int) -> None:
        """The builder's lines fall into stays at one kind of work, with set-up at their begin and clean-up at their end."""
        model = self.model
        kinds: dict[str, list[Line]] = {}
        for line in self.lines:
            kinds.setdefault(line.c.work, []).append(line)
        intervals = []
        for work, members in kinds.items():
            most = min(stays, len(members))
            for number in range(most):
                name = f"{work} {number}"
                there = model.new_bool_var(f"stay {name}")
                begin = model.new_int_var(0, self.usable, f"stay begins {name}")
                end = model.new_int_var(0, self.usable, f"stay ends {name}")
                length = model.new_int_var(0, self.usable, f"stay lasts {name}")
                intervals.append(model.new_optional_interval_var(begin, length, end, there, f"stay {name}"))
                timed = model.new_bool_var(f"timed {name}")
                self.stays[work, number] = (there, begin, end, timed, *self._edges(name))
                self._fill(members, work, number)
                if number:
                    before = self.stays[work, number - 1]
                    model.add_implication(there, before[0])
                    model.add(begin >= before[2]).only_enforce_if(there)
            for line in members:
                model.add(sum(line.stay) + line.alone == line.on)
        model.add_no_overlap(intervals)

    def _edges(self, name: str) -> tuple[Any, Any]:
        first = self.model.new_int_var(0, self.usable, f"tools out {name}")
        last = self.model.new_int_var(0, self.usable, f"tools away {name}")
        return first, last

    def _fill(self, members: Sequence[Line], work: str, number: int) -> None:
        model = self.model
        there, begin, end, timed, first, last = self.stays[work, number]
        here, firsts, lasts = [], [], []
        for line in members:
            stay = model.new_bool_var(f"{line.c.task} in {work} {number}")
            line.stay.append(stay)
            here.append(stay)
            model.add_implication(stay, there)
            model.add(line.begin >= begin).only_enforce_if(stay)
            model.add(line.end <= end).only_enforce_if(stay)
            if not line.c.timed:
                continue
            model.add_implication(stay, timed)
            out = model.new_bool_var(f"{line.c.task} first in {work} {number}")
            away = model.new_bool_var(f"{line.c.task} last in {work} {number}")
            line.first.append(out)
            line.last.append(away)
            firsts.append(out)
            lasts.append(away)
            model.add_implication(out, stay)
            model.add_implication(away, stay)
            model.add(line.begin >= first).only_enforce_if(stay)
            model.add(line.begin <= first).only_enforce_if(out)
            model.add(line.end <= last).only_enforce_if(stay)
            model.add(line.end >= last).only_enforce_if(away)
        model.add_bool_or([*here, there.negated()])
        model.add(sum(firsts) == timed)
        model.add(sum(lasts) == timed)
        model.add_implication(timed, there)

    def _hands(self) -> None:
        """One person does one thing at a time; the helper only while there."""
        model = self.model
        builder, helper, self.by_builder = [], [], {}
        for line in self.lines:
            c = line.c
            length = line.minutes + c.set_up * sum(line.first) + c.clean_up * sum(line.last)
            model.add(line.end == line.begin + length).only_enforce_if(line.on)
            lasts = model.new_int_var(0, self.usable, f"lasts {c.task}")
            model.add(lasts == length)
            own = line.on
            if c.alone:
                own = model.new_bool_var(f"own {c.task}")
                model.add(own + line.alone == line.on)
                helper.append(model.new_optional_interval_var(line.begin, lasts, line.end, line.alone, f"help {c.task}"))
            interval = model.new_optional_interval_var(line.begin, lasts, line.end, own, f"do {c.task}")
            self.by_builder[c.index] = interval
            builder.append(interval)
            if c.two:
                helper.append(interval)
        model.add_no_overlap(builder)
        away = self._away()
        model.add_no_overlap(helper + [model.new_fixed_size_interval_var(a, b - a, f"away {a}") for a, b in away])
        set_ups = [
            (line.c.set_up * out, line.c.clean_up * put)
            for line in self.lines
            for out, put in zip(line.first, line.last, strict=True)
        ]
        # redundant, and what makes the bound good: all the builder does fits into the session
        own_minutes = sum(line.minutes for line in self.lines if not line.c.alone)
        model.add(own_minutes + sum(a + b for a, b in set_ups) <= self.usable)

    def _away(self) -> list[tuple[int, int]]:
        gaps, since = [], 0
        for begin, end in self.problem.helper:
            if begin > since:
                gaps.append((since, begin))
            since = end
        return [*gaps, (since, self.usable + 1)]

    # -- order -----------------------------------------------------------------------------------

    def _order(self) -> None:
        """What has to be finished first is finished, and its cure over."""
        for line in self.lines:
            for index, lag in line.c.before:
                before = self.lines[index]
                self.model.add_implication(line.on, before.full)
                self.model.add(line.begin >= before.end + lag).only_enforce_if(line.on)

    def _windows(self) -> None:
        """Windows are met with the high times reckoned in, or last until the next session has met them."""
        for window in self.problem.windows:
            last = None if window.last is None else self.lines[window.last]
            if window.first is None:
                if last is not None and window.closes is not None and window.true_closes is not None:
                    self._met(window, window.closes, last, [last.full])
                    self._lasts(window, window.true_closes, [last.on, self._not(last.full)])
                continue
            opener = self.lines[window.first]
            opens = opener.end if window.from_finish else opener.begin
            is_open = opener.full if window.from_finish else opener.on
            if last is not None:
                self._met(window, opens + window.span, last, [is_open, last.full])
            unmet = [is_open] if last is None else [is_open, self._not(last.full)]
            self._lasts(window, opens + window.true_span, unmet)

    def _met(self, window: Window, closes: Any, last: Line, when: list[Any]) -> None:
        over: Any = round(window.margin * FINE)
        if window.high:
            for index, _, _, spread in window.chain:
                if index is not None:
                    over += round(spread * FINE) * self.lines[index].count
        self.model.add(FINE * last.end + over <= FINE * closes).only_enforce_if(when)

    def _lasts(self, window: Window, closes: Any, when: list[Any]) -> None:
        if self.problem.next_start is None:
            self.model.add_bool_or([self._not(literal) for literal in when])
            return
        left: Any = round(window.margin * FINE)
        for index, count, likely, spread in window.chain:
            each = round((likely + (spread if window.high else 0.0)) * FINE)
            left += each * (count - (self.lines[index].count if index is not None else 0))
        self.model.add(FINE * closes >= FINE * self.problem.next_start + left).only_enforce_if(when)

    def _not(self, literal: Any) -> Any:
        return literal.negated()

    def _one_go(self) -> None:
        """All of a group or nothing, with no other work of the builder's in between."""
        model = self.model
        for name, members in self.problem.groups.items():
            on = self.lines[members[0]].on
            begin = model.new_int_var(0, self.usable, f"group begins {name}")
            end = model.new_int_var(0, self.usable, f"group ends {name}")
            length = model.new_int_var(0, self.usable, f"group lasts {name}")
            whole = model.new_optional_interval_var(begin, length, end, on, f"group {name}")
            for index in members:
                line = self.lines[index]
                model.add(line.on == on)
                model.add(begin <= line.begin).only_enforce_if(on)
                model.add(end >= line.end).only_enforce_if(on)
            others = [interval for index, interval in self.by_builder.items() if index not in members]
            model.add_no_overlap([whole, *others])

    # -- means -----------------------------------------------------------------------------------

    def _items(self) -> None:
        """All lines together take no more than is there in date."""
        items = {item for needs in self.rules.needs for item, _ in needs}
        for item in sorted(items):
            taken = sum(
                round(quantity * FINE) * self.lines[index].count
                for index, needs in enumerate(self.rules.needs)
                for name, quantity in needs
                if name == item
            )
            self.model.add(taken <= round(self.problem.stock[item] * FINE) + len(self.lines))

    def _clecos(self) -> None:
        """Whenever a task takes temporary fasteners of a scarce size, those out by then are no more than there are."""
        for size, loans in self.rules.loans.items():
            have = self.problem.have_clecos.get(size, 0)
            lenders = sorted({loan.lender for loan in loans if loan.lender is not None})
            back = [self._back(loan.count, loan.done, loan.of, loan.until) for loan in loans]
            for index in lenders:
                now = self.lines[index]
                out = []
                for loan, given in zip(loans, back, strict=True):
                    lent = 1 if loan.lender is None else self._begun(loan.lender, now)
                    start = loan.count - loan.count * min(loan.done, loan.of) // loan.of
                    out.append(start * lent)
                    if given is not None and loan.until is not None and loan.until != index:
                        out.append(-self._returned(given, start, loan.until, now))
                self.model.add(sum(out) <= have).only_enforce_if(now.on)

    def _back(self, count: int, done: int, of: int, until: int | None) -> Any:
        if until is None:
            return None
        given = self.model.new_int_var(0, count, f"back {until}")
        base = count * min(done, of) // of
        self.model.add(of * given <= count * (done + self.lines[until].count) - of * base)
        return given

    def _begun(self, lender: int, now: Line) -> Any:
        """Return a literal that is true when the lender has begun by the time `now` begins."""
        other = self.lines[lender]
        if other is now:
            return 1
        begun = self.model.new_bool_var(f"begun {lender} {now.c.index}")
        self.model.add(other.begin > now.begin).only_enforce_if([begun.negated(), other.on, now.on])
        return begun

    def _ended(self, index: int, now: Line) -> Any:
        """Return a literal that may be true only when the line is over by the time `now` begins."""
        other = self.lines[index]
        ended = self.model.new_bool_var(f"ended {index} {now.c.index}")
        self.model.add_implication(ended, other.on)
        self.model.add(other.end <= now.begin).only_enforce_if(ended)
        return ended

    def _returned(self, given: Any, most: int, until: int, now: Line) -> Any:
        ended = self._ended(until, now)
        back = self.model.new_int_var(0, most, f"returned {until} {now.c.index}")
        self.model.add(back <= given)
        self.model.add(back <= most * ended)
        return back

    def _tools(self) -> None:
        """No scarce tool is wanted more often than it is there; what occupies it serves the work on it."""
        occupied = {held.tool for held in self.problem.occupations}
        for tool in sorted({tool for tools in self.rules.tools for tool in tools}):
            users = [line for line in self.lines if tool in self.rules.tools[line.c.index]]
            if tool in occupied:
                for now in users:
                    self._occupied(tool, now, users)
            elif self.problem.have_tools.get(tool, 1) == 1:
                for line in users:
                    for other in users:
                        if line.c.index < other.c.index and (line.c.alone or other.c.alone):
                            self._apart(line, other)

    def _apart(self, line: Line, other: Line) -> None:
        first = self.model.new_bool_var("first")
        self.model.add(line.end <= other.begin).only_enforce_if([first, line.on, other.on])
        self.model.add(other.end <= line.begin).only_enforce_if([first.negated(), line.on, other.on])

    def _occupied(self, tool: str, now: Line, users: Sequence[Line]) -> None:
        model = self.model
        takes = tool in self.rules.occupies.get(now.c.index, ())
        in_force: list[tuple[Any, frozenset[int]]] = []
        for held in self.problem.occupations:
            if held.tool == tool:
                in_force.append((self._held(held.lender, held.until, now), held.serves))
        serving = [literal for literal, serves in in_force if now.c.index in serves]
        served = model.new_bool_var(f"served {tool} {now.c.index}")
        self._only_if_any(served, serving)
        wanted: list[Any] = [literal for literal, _ in in_force]
        uses = tool in now.c.tools
        if uses:
            wanted.append(1 - served)
        for other in users:
            if other is not now and tool in other.c.tools and (now.c.alone or other.c.alone):
                wanted.append(self._at_work(other, now, in_force))
        rule = model.add(sum(wanted) <= self.problem.have_tools.get(tool, 1))
        rule.only_enforce_if([now.on] if takes else [now.on, served.negated()])

    def _only_if_any(self, literal: Any, any_of: Sequence[Any]) -> None:
        if not any(isinstance(other, int) and other for other in any_of):
            self.model.add_bool_or([literal.negated(), *(other for other in any_of if not isinstance(other, int))])

    def _held(self, lender: int | None, until: int | None, now: Line) -> Any:
        """Return a literal that is true exactly when an occupation is in force as `now` begins."""
        model = self.model
        if until is None and lender is None:
            return 1
        held = model.new_bool_var(f"held {lender} {until} {now.c.index}")
        over: list[Any] = []
        if until is not None:
            other = self.lines[until]
            ended = model.new_bool_var(f"given back {until} {now.c.index}")
            model.add_implication(ended, other.full)
            model.add(other.end <= now.begin).only_enforce_if(ended)
            model.add(other.end > now.begin).only_enforce_if([ended.negated(), other.full, now.on])
            model.add_implication(ended, held.negated())
            over.append(ended)
        if lender is not None and self.lines[lender] is not now:
            other = self.lines[lender]
            begun = model.new_bool_var(f"taken {lender} {now.c.index}")
            model.add_implication(begun, other.on)
            model.add(other.begin <= now.begin).only_enforce_if([begun, now.on])
            model.add(other.begin > now.begin).only_enforce_if([begun.negated(), other.on, now.on])
            model.add_implication(held, begun)
            over.append(begun.negated())
        model.add_bool_or([held, *over])
        return held

    def _at_work(self, other: Line, now: Line, in_force: Sequence[tuple[Any, frozenset[int]]]) -> Any:
        """Return a literal that is true when another line has the tool in hand as `now` begins."""
        model = self.model
        busy = model.new_bool_var(f"busy {other.c.index} {now.c.index}")
        over, later = model.new_bool_var("over"), model.new_bool_var("later")
        served = model.new_bool_var("served")
        self._only_if_any(served, [literal for literal, serves in in_force if other.c.index in serves])
        model.add(other.end <= now.begin).only_enforce_if([over, other.on])
        model.add(other.begin > now.begin).only_enforce_if([later, now.on])
        model.add_bool_or([busy, over, later, served, other.on.negated()])
        return busy

    # -- worth, hint, solve ----------------------------------------------------------------------

    def _worth(self) -> None:
        """The public sum of `worth.py`, and the minutes of what was asked for first."""
        model, problem = self.model, self.problem
        for line in self.lines:
            c = line.c
            self.terms.append(c.per_minute * line.minutes)
            self.terms.append((c.finished + c.clock) * line.full)
            if c.asked:
                self.asked.append(line.minutes)
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

    def hint(self, lines: Sequence[Planned]) -> None:
        """Start from these lines."""
        model = self.model
        by_index = {line.candidate: line for line in lines}
        for line in self.lines:
            given = by_index.get(line.c.index)
            model.add_hint(line.on, given is not None)
            if given is not None:
                model.add_hint(line.begin, given.begin)
                model.add_hint(line.end, given.end)
            if line.c.splits:
                model.add_hint(line.count, given.count if given is not None else 0)
                model.add_hint(line.full, given is not None and given.count == line.c.open)
                model.add_hint(line.minutes, line.c.minutes(given.count) if given is not None else 0)
            if line.c.alone:
                model.add_hint(line.alone, given is not None and given.who == HELPER)

    def solve(self, limit: float, workers: int) -> Proof | None:
        """Solve for what was asked first, then for worth."""
        asked, spent = 0, 0.0
        if self.asked:
            self.model.maximize(sum(self.asked))
            solver, status = self._run(limit / 2, workers)
            if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
                return None
            asked, spent = round(solver.objective_value), solver.wall_time
            self.model.add(sum(self.asked) >= asked)
            if status != self.cp.OPTIMAL:
                limit = limit / 2
        self.model.maximize(sum(self.terms))
        solver, status = self._run(max(0.1, limit - spent), workers)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        return Proof(
            lines=self._found(solver),
            asked=asked,
            worth=round(solver.objective_value),
            bound=int(solver.best_objective_bound + 1e-6),
            proven=status == self.cp.OPTIMAL,
            seconds=spent + solver.wall_time,
        )

    def _run(self, limit: float, workers: int) -> tuple[cp_model.CpSolver, Any]:
        solver = self.cp.CpSolver()
        solver.parameters.max_time_in_seconds = limit
        solver.parameters.num_workers = workers
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.cut_level = 0
        return solver, solver.solve(self.model)

    def _found(self, solver: cp_model.CpSolver) -> tuple[Planned, ...]:
        found = []
        for line in self.lines:
            if not solver.boolean_value(line.on):
                continue
            c = line.c
            who = BOTH if c.two else HELPER if c.alone and solver.boolean_value(line.alone) else BUILDER
            begin, end = solver.value(line.begin), solver.value(line.end)
            out = any(solver.boolean_value(literal) for literal in line.first)
            away = any(solver.boolean_value(literal) for literal in line.last)
            count = solver.value(line.count)
            found.append(Planned(c.index, count, begin, end, c.set_up * out, c.clean_up * away, who))
        return tuple(sorted(found, key=lambda line: (line.begin, line.end)))
