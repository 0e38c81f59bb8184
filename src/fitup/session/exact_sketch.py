"""The sketch: the exact model with clock times only for lines that cannot do without, proved several times as soon.

Of all other lines it is known in which stay they lie, and what that alone says: the minutes of a stay
hold its lines, what comes before a line in its stay and after it, what a helper does between two of
them, and that nothing lies inside a one-go group. Every sheet is a sketch, so that none is worth more
than the best; and mostly the clock allows just that, stay for stay.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fitup.session.draft import HELPER, MOST_STAYS
from fitup.session.exact_hands import Line, timed_lines
from fitup.session.exact_model import Model
from fitup.session.exact_reach import Reach
from fitup.session.exact_stays import ahead_of
from fitup.session.planned import Planned, Proof
from fitup.session.problem import Frame

if TYPE_CHECKING:
    from ortools.sat.python import cp_model


@dataclass(frozen=True, slots=True)
class Sketched(Proof):
    """The best sketch: by candidate its count and the builder's stay, None where a helper does it; no lines yet."""

    counts: Mapping[int, int]
    stays: Mapping[int, int | None]


class Sketch(Model):
    """The model of all sketches of a session."""

    def __init__(self, problem: Frame, cp: Any, reach: Reach | None = None) -> None:
        self.ahead = ahead_of(problem.candidates)
        self.inside: dict[tuple[int, int], Any] = {}
        """By candidate and number of the stay, the minutes that the builder works on it there."""
        self.helped: dict[int, tuple[Any, Any]] = {}
        """By candidate that has no times by the builder's hand, the minutes at which the helper begins and ends."""
        super().__init__(problem, cp, reach=reach)

    def _with_times(self) -> Collection[int]:
        return timed_lines(self.problem, self.rules, for_help=False)

    # -- stays -----------------------------------------------------------------------------------

    def _fill(self, members: Sequence[Line], work: str, number: int, length: Any) -> None:
        super()._fill(members, work, number, length)
        _, begin, end, timed, first, last = self.stays[work, number]
        stays = min(MOST_STAYS, len(members))
        for line in members:
            self._divide(line, number, stays)
        table = self._table_minutes(members) * timed
        self.model.add(length >= self._minutes_in(members, number) + table)
        self.model.add(first >= begin)
        self.model.add(last <= end)
        # whatever the table times lies between the tools' coming out and their going away
        self.model.add(last - first >= self._minutes_in([line for line in members if line.c.timed], number) + table)
        for line in members:
            if line.timed:
                self._beside(line, members, number)

    def _divide(self, line: Line, number: int, stays: int) -> None:
        """Say how many minutes of a line the builder works in this stay."""
        c, model = line.c, self.model
        if not c.splits or (stays == 1 and not c.alone):
            self.inside[c.index, number] = line.minutes if c.splits else self.rules.full[c.index] * line.stay[number]
            return
        most = min(self.rules.full[c.index], self.usable)
        part = model.new_int_var(0, most, f"minutes of {c.task} in {c.work} {number}")
        model.add(part <= most * line.stay[number])
        self.inside[c.index, number] = part
        line.parts.append(part)
        if number == stays - 1:
            others: Any = 0
            if c.alone:
                others = model.new_int_var(0, most, f"minutes of {c.task} by the helper")
                model.add(others <= most * line.alone)
            model.add(sum(line.parts) + others == line.minutes)

    def _minutes_in(self, lines: Sequence[Line], number: int) -> Any:
        return sum(self.inside[line.c.index, number] for line in lines)

    def _beside(self, line: Line, members: Sequence[Line], number: int) -> None:
        """What has an order but no times lies before or after the line in its stay, and so do the tools' minutes."""
        c, model, stay = line.c, self.model, line.stay[number]
        _, begin, end, _, _, _ = self.stays[c.work, number]
        unseen = [other for other in members if not other.timed]
        before = [other for other in unseen if self.ahead[c.index] >> other.c.index & 1]
        after = [other for other in unseen if self.ahead[other.c.index] >> c.index & 1]
        if before:
            model.add(line.begin >= begin + self._minutes_in(before, number)).only_enforce_if(stay)
        if after:
            model.add(line.end <= end - self._minutes_in(after, number)).only_enforce_if(stay)
        if c.timed:
            first, last = line.first[number], line.last[number]
            model.add(line.begin >= begin + c.set_up - c.set_up * first).only_enforce_if(stay)
            model.add(line.end <= end - c.clean_up + c.clean_up * last).only_enforce_if(stay)

    # -- order -----------------------------------------------------------------------------------

    def _help(self) -> list[Any]:
        """What a helper may do has times at least when the helper does it."""
        intervals = []
        for line in self.lines:
            c = line.c
            if c.alone and not line.timed:
                begin = self.model.new_int_var(0, self.usable, f"helper begins {c.task}")
                end = self.model.new_int_var(0, self.usable, f"helper ends {c.task}")
                length = self.model.new_int_var(0, min(self.rules.full[c.index], self.usable), f"help lasts {c.task}")
                self.model.add(length == line.minutes).only_enforce_if(line.alone)
                intervals.append(self.model.new_optional_interval_var(begin, length, end, line.alone, f"help {c.task}"))
                self.helped[c.index] = begin, end
        return intervals

    def _begins(self, line: Line) -> tuple[Any, list[Any]]:
        """Return the minute at which a line begins, and when that is known; None where it never is."""
        if line.timed:
            return line.begin, [line.on]
        begin, _ = self.helped.get(line.c.index, (None, None))
        return begin, [line.alone]

    def _ends(self, line: Line) -> tuple[Any, list[Any]]:
        if line.timed:
            return line.end, [line.on]
        _, end = self.helped.get(line.c.index, (None, None))
        return end, [line.alone]

    def _stays_in_order(self, before: Line, line: Line) -> None:
        """What a helper does comes after all that it waits for in a stay, and before all that waits for it."""
        super()._stays_in_order(before, line)
        model, b, c = self.model, before.c, line.c
        end, ends = self._ends(before)
        begin, begins = self._begins(line)
        if end is not None and begin is not None:
            model.add(begin >= end).only_enforce_if([*ends, *begins])
        if end is not None and b.alone and not line.timed:
            for number, stay in enumerate(line.stay):
                later = [other for other in self.kinds[c.work] if self.ahead[other.c.index] >> b.index & 1]
                left = self._minutes_in(later, number) + (c.clean_up if c.timed else 0)
                model.add(self.stays[c.work, number][2] >= end + left).only_enforce_if([*ends, stay])
        if begin is not None and c.alone and not before.timed:
            for number, stay in enumerate(before.stay):
                sooner = [other for other in self.kinds[b.work] if self.ahead[c.index] >> other.c.index & 1]
                spent = self._minutes_in(sooner, number) + (b.set_up if b.timed else 0)
                model.add(begin >= self.stays[b.work, number][1] + spent).only_enforce_if([*begins, stay])

    # -- one go ----------------------------------------------------------------------------------

    def _one_go(self) -> None:
        super()._one_go()
        for name, members in self.problem.groups.items():
            inside = {self.lines[index].c.work for index in members}
            if not all(self.lines[index].c.alone for index in members):
                # the builder is at the group's own work meanwhile, in no other stay
                apart = [x for work, found in self.stay_intervals.items() if work not in inside for x in found]
                self.model.add_no_overlap([self.groups[name][2], *apart])
            for work, number in self.stays:
                if work in inside:
                    self._outside(name, members, work, number)

    def _outside(self, name: str, members: Sequence[int], work: str, number: int) -> None:
        """What has no times lies before a one-go group in its stay, or after it."""
        model, (group_begins, group_ends, _) = self.model, self.groups[name]
        _, begin, end, _, _, _ = self.stays[work, number]
        rest = [line for line in self.kinds[work] if not line.timed]
        if not rest:
            return
        room = []
        for minutes in (group_begins - begin, end - group_ends):
            there = model.new_bool_var("")
            part = model.new_int_var(0, self.usable, "")
            model.add(part <= self.usable * there)
            model.add(part <= minutes).only_enforce_if(there)
            room.append(part)
        taken = self._minutes_in(rest, number)
        if (work, number) in self.unseen:
            c = next(line.c for line in rest if line.c.timed)
            first, last = self.unseen[work, number]
            taken = taken + c.set_up * first + c.clean_up * last
        model.add(sum(room) >= taken).only_enforce_if(self.lines[members[0]].on)

    # -- hint and answer -------------------------------------------------------------------------

    def hint(self, lines: Sequence[Planned]) -> None:
        super().hint(lines)
        for line in lines:
            if line.who == HELPER and line.candidate in self.helped:
                begin, end = self.helped[line.candidate]
                self.model.add_hint(begin, line.begin)
                self.model.add_hint(end, line.end)

    def _answer(self, solver: cp_model.CpSolver, asked: int, proven: bool, seconds: float) -> Proof:
        counts: dict[int, int] = {}
        stays: dict[int, int | None] = {}
        for line in self.lines:
            if solver.boolean_value(line.on):
                counts[line.c.index] = solver.value(line.count)
                there = (number for number, stay in enumerate(line.stay) if solver.boolean_value(stay))
                stays[line.c.index] = next(there, None)
        worth, bound = round(solver.objective_value), int(solver.best_objective_bound + 1e-6)
        return Sketched((), asked, worth, bound, proven, seconds, counts, stays)
