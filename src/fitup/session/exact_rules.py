"""The exact model's rules: order, windows, one go, stock, temporary fasteners, tools and tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from fitup.session.exact_hands import Hands, Line
from fitup.session.problem import Frame, Window

FINE = 10**9
"""Parts into which minutes and quantities are cut, so fine that what rounding loses matters to nobody."""

NOTHING = 500
"""So many of these parts of a minute do not matter."""


class Ruled(Hands):
    """Lines and hands with every rule of a session, one method each."""

    def __init__(self, problem: Frame, model: Any) -> None:
        super().__init__(problem, model)
        self.after: dict[tuple[str, int, str, int], Any] = {}
        self._order()
        self._windows()
        self._one_go()
        self._items()
        self._clecos()
        self._tools()

    def _order(self) -> None:
        """What has to be finished first is finished, and its cure over."""
        for line in self.lines:
            for index, lag in line.c.before:
                before = self.lines[index]
                self.model.add_implication(line.on, before.full)
                if line.timed and before.timed:
                    self.model.add(line.begin >= before.end + lag).only_enforce_if(line.on)
                else:
                    self._stays_in_order(before, line)

    def _stays_in_order(self, before: Line, line: Line) -> None:
        """Of two lines of which one has no times, the stay of the first is over before that of the second begins."""
        model = self.model
        for v, first in enumerate(before.stay):
            for w, second in enumerate(line.stay):
                if before.c.work == line.c.work:
                    if w < v:
                        model.add_bool_or([first.negated(), second.negated()])
                    continue
                key = (before.c.work, v, line.c.work, w)
                if key not in self.after:
                    self.after[key] = model.new_bool_var(f"{key}")
                    begins, ends = self.stays[line.c.work, w][1], self.stays[before.c.work, v][2]
                    model.add(begins >= ends).only_enforce_if(self.after[key])
                model.add_bool_or([first.negated(), second.negated(), self.after[key]])

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
        self.model.add(FINE * last.end + over <= FINE * closes + NOTHING).only_enforce_if(when)

    def _lasts(self, window: Window, closes: Any, when: list[Any]) -> None:
        if self.problem.next_start is None:
            self.model.add_bool_or([self._not(literal) for literal in when])
            return
        left: Any = round(window.margin * FINE)
        for index, count, likely, spread in window.chain:
            each = round((likely + (spread if window.high else 0.0)) * FINE)
            left += each * (count - (self.lines[index].count if index is not None else 0))
        self.model.add(FINE * closes + NOTHING >= FINE * self.problem.next_start + left).only_enforce_if(when)

    def _not(self, literal: Any) -> Any:
        return literal.negated()

    def _one_go(self) -> None:
        """All of a group or nothing, with no other work of the builder's in between."""
        model = self.model
        whole: dict[int, Any] = {}
        self.groups: dict[str, tuple[Any, Any, Any]] = {}
        for name, members in self.problem.groups.items():
            on = self.lines[members[0]].on
            begin = model.new_int_var(0, self.usable, f"group begins {name}")
            end = model.new_int_var(0, self.usable, f"group ends {name}")
            length = model.new_int_var(0, self.usable, f"group lasts {name}")
            whole.update(dict.fromkeys(members))
            whole[members[0]] = model.new_optional_interval_var(begin, length, end, on, f"group {name}")
            self.groups[name] = begin, end, whole[members[0]]
            for index in members:
                line = self.lines[index]
                model.add(line.on == on)
                model.add(begin <= line.begin).only_enforce_if(on)
                model.add(end >= line.end).only_enforce_if(on)
            own = [self.lengths[index] for index in members if not self.lines[index].c.alone]
            model.add(length >= sum(own)).only_enforce_if(on)
            model.add_no_overlap([self.by_builder[index] for index in members])
        # towards all other work a group is one piece of work, which says more with less than its members do
        others = [interval for index, interval in self.by_builder.items() if index not in whole]
        untimed = [
            interval for work, found in self.stay_intervals.items() if work not in self.waiting for interval in found
        ]
        model.add_no_overlap([*others, *untimed, *(group for group in whole.values() if group is not None)])

    # -- means -----------------------------------------------------------------------------------

    def _items(self) -> None:
        """All lines together take no more than is there in date."""
        items = {item for needs in self.rules.needs for item, _ in needs}
        for item in sorted(items):
            users = [
                (self.lines[index], round(quantity * FINE))
                for index, needs in enumerate(self.rules.needs)
                for name, quantity in needs
                if name == item
            ]
            lost = sum(line.c.open for line, _ in users)
            taken = sum(each * line.count for line, each in users)
            self.model.add(taken <= round(self.problem.stock[item] * FINE) + lost)

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
