"""The exact model's lines and hands: what is done, how much of it, when, in which stay, and by whom.

The model is handed in, so that nothing here needs the solver that will work on it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from fitup.session.draft import MOST_STAYS
from fitup.session.exact_stays import ahead_of, places
from fitup.session.problem import Candidate, Frame
from fitup.session.rules import Rules

FINE = 1_000_000
"""Parts into which minutes and quantities that are not whole are cut."""

NEAR_TIE = 1e-3
"""Minutes from the middle between two whole ones within which rounding is looked up, not reckoned."""


class Line:
    """The variables of one candidate; one whose minute does not matter has no begin and end of its own."""

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
    and for kinds in which time may pass the begin of its first and the end of its last such line.
    `unseen` are, where lines in a stay have no times, that one of them is its first, or its last.
    """

    def __init__(self, problem: Frame, model: Any) -> None:
        self.problem, self.rules, self.model = problem, Rules(problem), model
        self.usable = problem.usable
        self.waiting = {problem.candidates[index].work for index in timed_lines(problem, self.rules)}
        with_times = self._with_times()
        self.lines = [Line(model, c, self.usable, c.index in with_times) for c in problem.candidates]
        self.kinds: dict[str, list[Line]] = {}
        for line in self.lines:
            self.kinds.setdefault(line.c.work, []).append(line)
        self.stays: dict[tuple[str, int], tuple[Any, Any, Any, Any, Any, Any]] = {}
        self.unseen: dict[tuple[str, int], tuple[Any, ...]] = {}
        self.stay_intervals: dict[str, list[Any]] = {}
        self.by_builder: dict[int, Any] = {}
        self.lengths: dict[int, Any] = {}
        self._counts()
        self._stays()
        self._hands()

    def _with_times(self) -> Collection[int]:
        """Return the candidates that have a begin and an end of their own: all of a kind in which time may pass."""
        return {c.index for c in self.problem.candidates if c.work in self.waiting}

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
        for work, members in self.kinds.items():
            intervals = self.stay_intervals.setdefault(work, [])
            most = min(MOST_STAYS, len(members))
            for number in range(most):
                name = f"{work} {number}"
                there = model.new_bool_var(f"stay {name}")
                begin = model.new_int_var(0, self.usable, f"stay begins {name}")
                end = model.new_int_var(0, self.usable, f"stay ends {name}")
                length = model.new_int_var(0, self.usable, f"stay lasts {name}")
                intervals.append(model.new_optional_interval_var(begin, length, end, there, f"stay {name}"))
                timed = model.new_bool_var(f"timed {name}")
                if work in self.waiting:
                    self.stays[work, number] = (there, begin, end, timed, *self._edges(name))
                    self._fill(members, work, number, length)
                else:
                    self.stays[work, number] = (there, begin, end, timed, None, None)
                    self._fill_untimed(members, work, number, length, most)
                if number:
                    before = self.stays[work, number - 1]
                    model.add_implication(there, before[0])
                    model.add(begin >= before[2]).only_enforce_if(there)
            for line in members:
                model.add(sum(line.stay) + line.alone == line.on)
        model.add_no_overlap([interval for intervals in self.stay_intervals.values() for interval in intervals])

    def _edges(self, name: str) -> tuple[Any, Any]:
        first = self.model.new_int_var(0, self.usable, f"tools out {name}")
        last = self.model.new_int_var(0, self.usable, f"tools away {name}")
        return first, last

    def _fill(self, members: Sequence[Line], work: str, number: int, length: Any) -> None:
        """A stay in which time may pass has its lines in it; the tools come out with the first and go with the last."""
        model = self.model
        there, begin, end, timed, first, last = self.stays[work, number]
        here, firsts, lasts, others = [], [], [], []
        for line in members:
            stay = model.new_bool_var(f"{line.c.task} in {work} {number}")
            line.stay.append(stay)
            here.append(stay)
            model.add_implication(stay, there)
            if not line.timed:
                if line.c.timed:
                    model.add_implication(stay, timed)
                    others.append(stay)
                continue
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
        if others:
            self.unseen[work, number] = tuple(self._one_of(others) for _ in range(2))
            for found, unseen in zip((firsts, lasts), self.unseen[work, number], strict=True):
                found.append(unseen)
        model.add_bool_or([*here, there.negated()])
        model.add(sum(firsts) == timed)
        model.add(sum(lasts) == timed)
        model.add_implication(timed, there)

    def _one_of(self, literals: Sequence[Any]) -> Any:
        """Return a literal that may be true only when one of these is."""
        literal = self.model.new_bool_var("")
        self.model.add_bool_or([literal.negated(), *literals])
        return literal

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
        helper = self._help()
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

    def _help(self) -> list[Any]:
        """Return intervals of the helper's for lines that have no times by the builder's hand."""
        return []

    def _energy(self) -> None:
        """Redundant: all that each does fits into the time that each has."""
        model, earliest = self.model, earliest_begins(self.problem, self.rules)
        own: list[Any] = []
        helped: list[Any] = []
        since: list[int] = []
        for line in self.lines:
            c = line.c
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
            own.append(minutes)
            if c.two:
                helped.append(minutes + c.set_up * sum(line.first) + c.clean_up * sum(line.last))
                since.append(earliest[c.index])
        own += [self._table_minutes(self.kinds[work]) * stay[3] for (work, _), stay in self.stays.items()]
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
    for c, ahead in zip(problem.candidates, ahead_of(problem.candidates), strict=True):
        begin = c.release
        for index, lag in c.before:
            begin = max(begin, earliest[index] + rules.full[index] + lag)
        alone = together = 0
        for index in places(ahead):
            together += rules.full[index]
            alone += 0 if problem.candidates[index].alone else rules.full[index]
        earliest.append(max(begin, alone, together - help_minutes))
    return earliest


def timed_lines(problem: Frame, rules: Rules, for_help: bool = True) -> frozenset[int]:
    """Return the candidates for which the minute of their begin or end matters.

    `for_help`: also those for which it does only since a helper may do them, or what comes before or after.
    """
    candidates = problem.candidates
    lent = {loan.lender for loans in rules.loans.values() for loan in loans}
    lent |= {loan.until for loans in rules.loans.values() for loan in loans}
    held = {held.lender for held in problem.occupations} | {held.until for held in problem.occupations}
    timed = set(rules.opens) | set(rules.ends) | (lent | held) - {None}
    for c in candidates:
        by_clock = c.two or (for_help and c.alone) or c.group or c.release > 0 or c.latest < problem.usable
        if by_clock or rules.tools[c.index] or c.index in problem.saves:
            timed.add(c.index)
        for before, lag in c.before:
            if lag or (for_help and (c.alone or candidates[before].alone)):
                timed |= {c.index, before}
    return frozenset(index for index in timed if index is not None)
