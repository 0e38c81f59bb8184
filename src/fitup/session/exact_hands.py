"""The exact model's lines and hands: what is done, how much of it, when, in which stay, and by whom.

The model is handed in, so that nothing here needs the solver that will work on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from fitup.session.draft import MOST_STAYS
from fitup.session.problem import Candidate, Frame
from fitup.session.rules import Rules

FINE = 1_000_000
"""Parts into which minutes and quantities that are not whole are cut."""

NEAR_TIE = 1e-3
"""Minutes from the middle between two whole ones within which rounding is looked up, not reckoned."""


class Line:
    """The variables of one candidate; one of an untimed kind has no begin and end of its own."""

    def __init__(self, model: Any, c: Candidate, usable: int, timed: bool) -> None:
        name = c.task
        self.c, self.timed = c, timed
        self.on = model.new_bool_var(f"on {name}")
        self.begin: Any = model.new_int_var(0, usable, f"begin {name}") if timed else None
        self.end: Any = model.new_int_var(0, max(0, c.latest), f"end {name}") if timed else None
        most = c.minutes(c.open)
        self.count: Any = model.new_int_var(0, c.open, f"count {name}") if c.splits else c.open * self.on
        self.minutes: Any = model.new_int_var(0, min(most, usable), f"minutes {name}") if c.splits else most * self.on
        self.full: Any = model.new_bool_var(f"full {name}") if c.splits else self.on
        self.alone: Any = model.new_bool_var(f"alone {name}") if c.alone else 0
        self.stay: list[Any] = []
        self.parts: list[Any] = []
        self.first: list[Any] = []
        self.last: list[Any] = []


class Hands:
    """The lines of a session with their stays, and the two people who do them.

    `stays` are, by kind of work and number: there, begin, end, whether a table-timed line is in it,
    and for kinds with times the begin of its first and the end of its last such line.
    """

    def __init__(self, problem: Frame, model: Any) -> None:
        self.problem, self.rules, self.model = problem, Rules(problem), model
        self.usable = problem.usable
        timed = timed_kinds(problem, self.rules)
        self.lines = [Line(model, c, self.usable, c.work in timed) for c in problem.candidates]
        self.stays: dict[tuple[str, int], tuple[Any, Any, Any, Any, Any, Any]] = {}
        self.stay_intervals: dict[str, list[Any]] = {}
        self.by_builder: dict[int, Any] = {}
        self.lengths: dict[int, Any] = {}
        self._counts()
        self._stays()
        self._hands()

    def _counts(self) -> None:
        """A count between least and open, and its whole minutes; release and latest end."""
        model = self.model
        for line in self.lines:
            c = line.c
            if line.timed:
                model.add(line.begin >= c.release).only_enforce_if(line.on)
            if not c.splits:
                if self.rules.full[c.index] > self.usable:
                    model.add(line.on == 0)
                continue
            model.add(line.count >= c.least * line.on)
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

    def _stays(self) -> None:
        """The builder's lines fall into stays at one kind of work; tools come out and go away once a stay."""
        model = self.model
        kinds: dict[str, list[Line]] = {}
        for line in self.lines:
            kinds.setdefault(line.c.work, []).append(line)
        intervals = []
        for work, members in kinds.items():
            most = min(MOST_STAYS, len(members))
            for number in range(most):
                name = f"{work} {number}"
                there = model.new_bool_var(f"stay {name}")
                begin = model.new_int_var(0, self.usable, f"stay begins {name}")
                end = model.new_int_var(0, self.usable, f"stay ends {name}")
                length = model.new_int_var(0, self.usable, f"stay lasts {name}")
                intervals.append(model.new_optional_interval_var(begin, length, end, there, f"stay {name}"))
                timed = model.new_bool_var(f"timed {name}")
                if members[0].timed:
                    self.stays[work, number] = (there, begin, end, timed, *self._edges(name))
                    self._fill(members, work, number)
                else:
                    self.stay_intervals.setdefault(work, []).append(intervals[-1])
                    self.stays[work, number] = (there, begin, end, timed, None, None)
                    self._fill_untimed(members, work, number, length, most)
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

    def _fill_untimed(self, members: Sequence[Line], work: str, number: int, length: Any, stays: int) -> None:
        """A stay whose lines need no times of their own lasts as long as they do together."""
        model = self.model
        there, _, _, timed, _, _ = self.stays[work, number]
        inside: list[Any] = []
        here: list[Any] = []
        for line in members:
            stay = model.new_bool_var(f"{line.c.task} in {work} {number}")
            line.stay.append(stay)
            here.append(stay)
            model.add_implication(stay, there)
            if line.c.timed:
                model.add_implication(stay, timed)
            most = min(self.rules.full[line.c.index], self.usable)
            if not line.c.splits:
                inside.append(self.rules.full[line.c.index] * stay)
            elif stays == 1:
                inside.append(line.minutes)
            else:
                part = model.new_int_var(0, most, f"minutes of {line.c.task} in {work} {number}")
                model.add(part <= most * stay)
                line.parts.append(part)
                inside.append(part)
                if number == stays - 1:
                    model.add(sum(line.parts) == line.minutes)
        model.add_bool_or([*here, there.negated()])
        model.add_bool_or([*(s for s, line in zip(here, members, strict=True) if line.c.timed), timed.negated()])
        model.add(length == sum(inside) + self._table_minutes(members) * timed)

    def _table_minutes(self, members: Sequence[Line]) -> int:
        return next((line.c.set_up + line.c.clean_up for line in members if line.c.timed), 0)

    def _hands(self) -> None:
        """One person does one thing at a time; the helper only while there."""
        model = self.model
        helper = []
        for line in self.lines:
            if not line.timed:
                continue
            c = line.c
            length = line.minutes + c.set_up * sum(line.first) + c.clean_up * sum(line.last)
            model.add(line.end == line.begin + length).only_enforce_if(line.on)
            lasts = model.new_int_var(0, self.usable, f"lasts {c.task}")
            model.add(lasts == length)
            own = line.on
            if c.alone:
                own = model.new_bool_var(f"own {c.task}")
                model.add(own + line.alone == line.on)
                helper.append(
                    model.new_optional_interval_var(line.begin, lasts, line.end, line.alone, f"help {c.task}")
                )
            interval = model.new_optional_interval_var(line.begin, lasts, line.end, own, f"do {c.task}")
            self.by_builder[c.index] = interval
            self.lengths[c.index] = length
            if c.two:
                helper.append(interval)
        away = self._away()
        model.add_no_overlap(helper + [model.new_fixed_size_interval_var(a, b - a, f"away {a}") for a, b in away])
        self._energy()

    def _energy(self) -> None:
        """Redundant, and what makes the bound good: all that each does fits into the time that each has."""
        model, earliest = self.model, earliest_begins(self.problem, self.rules)
        own: list[Any] = []
        helped: list[Any] = []
        since: list[int] = []
        for line in self.lines:
            c = line.c
            extra = c.set_up * sum(line.first) + c.clean_up * sum(line.last)
            minutes = line.minutes
            if c.alone:
                most = min(self.rules.full[c.index], self.usable)
                minutes = model.new_int_var(0, most, f"own minutes {c.task}")
                theirs = model.new_int_var(0, most, f"helper's minutes {c.task}")
                model.add(minutes + theirs == line.minutes)
                model.add(theirs <= most * line.alone)
                model.add(minutes <= most * (line.on - line.alone))
                helped.append(theirs)
                since.append(earliest[c.index])
            own.append(minutes + extra)
            if c.two:
                helped.append(minutes + extra)
                since.append(earliest[c.index])
        for (work, _), stay in self.stays.items():
            if work in self.stay_intervals:
                own.append(self._table_minutes([line for line in self.lines if line.c.work == work]) * stay[3])
        model.add(sum(own) <= self.usable)
        if helped:
            for minute in sorted({0, *since}):
                later = [minutes for minutes, begin in zip(helped, since, strict=True) if begin >= minute]
                model.add(sum(later) <= sum(max(0, end - max(begin, minute)) for begin, end in self.problem.helper))

    def _away(self) -> list[tuple[int, int]]:
        gaps, since = [], 0
        for begin, end in self.problem.helper:
            if begin > since:
                gaps.append((since, begin))
            since = end
        return [*gaps, (since, self.usable + 1)]


def earliest_begins(problem: Frame, rules: Rules) -> list[int]:
    """Return by candidate the minute before which it cannot begin, whatever else is done.

    All that it waits for is done before, one thing after another by the builder but for what a helper
    may do alone, and for that there are only so many minutes of help.
    """
    help_minutes = sum(end - begin for begin, end in problem.helper)
    earliest: list[int] = []
    ancestors: list[int] = []
    for c in problem.candidates:
        begin, before = c.release, 0
        for index, lag in c.before:
            begin = max(begin, earliest[index] + rules.full[index] + lag)
            before |= ancestors[index] | 1 << index
        ancestors.append(before)
        alone = together = 0
        while before:
            index = (before & -before).bit_length() - 1
            before &= before - 1
            together += rules.full[index]
            alone += 0 if problem.candidates[index].alone else rules.full[index]
        earliest.append(max(begin, alone, together - help_minutes))
    return earliest


def timed_kinds(problem: Frame, rules: Rules) -> frozenset[str]:
    """Return the kinds of work that have a candidate for which the minute of its begin or end matters."""
    candidates = problem.candidates
    lent = {loan.lender for loans in rules.loans.values() for loan in loans}
    lent |= {loan.until for loans in rules.loans.values() for loan in loans}
    held = {held.lender for held in problem.occupations} | {held.until for held in problem.occupations}
    timed = set(rules.opens) | set(rules.ends) | (lent | held) - {None}
    for c in candidates:
        by_clock = c.two or c.alone or c.group or c.release > 0 or c.latest < problem.usable
        if by_clock or rules.tools[c.index] or c.index in problem.saves:
            timed.add(c.index)
        for before, lag in c.before:
            if lag or c.alone or candidates[before].alone:
                timed |= {c.index, before}
    return frozenset(candidates[index].work for index in timed if index is not None)
