"""A run sheet while it is being filled: lines are put down one after another, and can be taken back.

Every limit of the session is looked after when a line is put down, so that what stands in a draft
may be shown as it is. The builder's time only moves forward, and so does the helper's.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil
from typing import NamedTuple

from fitup.session.problem import Candidate, Occupation, Window
from fitup.session.rules import Rules

MOST_STAYS = 2
BUILDER, HELPER, BOTH = 0, 1, 2


class Entry:
    """One line of a draft; minutes from the session's start."""

    __slots__ = ("begin", "candidate", "clean_up", "count", "end", "set_up", "who")

    def __init__(self, candidate: int, count: int, begin: int, end: int, set_up: int, clean_up: int, who: int) -> None:
        self.candidate, self.count, self.begin, self.end = candidate, count, begin, end
        self.set_up, self.clean_up, self.who = set_up, clean_up, who


class _Before(NamedTuple):
    """How a draft stood before its latest line."""

    builder: int
    helper: int
    work: str
    timed: Entry | None
    moved: Entry | None
    new_stay: bool


class Draft:
    """Lines put down so far, and what follows from them.

    `builder` and `helper` are the minutes from which each is free; `work` the kind of work whose
    tools are out, `timed` its latest table-timed line, at whose end the tools are put away. `missing`
    counts what each candidate still waits for; `free` are those that are not on the draft and wait
    for nothing.
    """

    def __init__(self, rules: Rules) -> None:
        self.rules, self.problem = rules, rules.problem
        self.entries: list[Entry] = []
        self.at: list[Entry | None] = [None] * len(rules.problem.candidates)
        self.missing = [len(c.before) for c in rules.problem.candidates]
        self.free = {c.index for c in rules.problem.candidates if not c.before}
        self.builder = self.helper = 0
        self.work = ""
        self.timed: Entry | None = None
        self.stays: dict[str, int] = {}
        self.used: dict[str, float] = {}
        self._log: list[_Before] = []
        self._most_wanted = 0

    def put(self, index: int, limit: int, helped: bool = False, block: bool = False, count: int = 0) -> bool:
        """Put down as much of a candidate as fits before `limit`; False, and nothing changed, when none does.

        `helped`: the helper does it alone. `block`: the caller sees to the windows that it opens.
        `count`: no more than that.
        """
        self._most_wanted = count
        entry = self._for_helper(index, limit) if helped else self._for_builder(index, limit)
        if entry is None or not self._in_time(entry, block):
            return False
        self._write(entry)
        if (index in self.rules.lends and not self._lent(index)) or not self._equipped(index, entry.begin):
            self.take_back()
            return False
        return True

    def take_back(self) -> None:
        """Undo the latest line put down."""
        entry, before = self.entries.pop(), self._log.pop()
        candidate = self.problem.candidates[entry.candidate]
        self.at[entry.candidate] = None
        for item, quantity in self.rules.needs[entry.candidate]:
            self.used[item] -= quantity * entry.count
        if before.new_stay:
            self.stays[candidate.work] -= 1
        if before.moved is not None:
            before.moved.clean_up = candidate.clean_up
            before.moved.end += candidate.clean_up
        self.builder, self.helper = before.builder, before.helper
        self.work, self.timed = before.work, before.timed
        if entry.count >= candidate.open:
            for follower in self.rules.followers[entry.candidate]:
                self.missing[follower] += 1
                self.free.discard(follower)
        self.free.add(entry.candidate)

    def earliest(self, c: Candidate) -> int:
        """Return the minute from which nothing but people and tools keeps the candidate from being begun."""
        begin = c.release
        for index, lag in c.before:
            entry = self.at[index]
            if entry is not None and entry.end + lag > begin:
                begin = entry.end + lag
        return begin

    def _moves(self, c: Candidate) -> Entry | None:
        """Return the line whose clean-up moves on when this candidate follows in the same stay."""
        return self.timed if c.timed and c.work == self.work else None

    def _for_builder(self, index: int, limit: int) -> Entry | None:
        c = self.problem.candidates[index]
        same = c.work == self.work
        if not same and self.stays.get(c.work, 0) >= MOST_STAYS:
            return None
        moved = self._moves(c)
        begin, free = self.builder, self.helper
        if moved is not None and moved.clean_up:
            if moved.end == self.builder:
                begin -= moved.clean_up
            if moved.who == BOTH and moved.end == free:
                free -= moved.clean_up
        set_up = c.set_up if c.timed and moved is None else 0
        clean_up = c.clean_up if c.timed else 0
        begin = max(begin, self._after(c, moved))
        limit = min(limit, c.latest)
        if not c.two:
            return self._filled(c, begin, limit, set_up, clean_up, BUILDER)
        for opens, closes in self.problem.helper:
            start = max(begin, free, opens)
            entry = self._filled(c, start, min(limit, closes), set_up, clean_up, BOTH)
            if entry is not None:
                return entry
        return None

    def _after(self, c: Candidate, moved: Entry | None) -> int:
        begin = c.release
        for index, lag in c.before:
            entry = self.at[index]
            if entry is None:
                continue
            end = entry.end - (entry.clean_up if entry is moved else 0)
            begin = max(begin, end + lag)
        return begin

    def _for_helper(self, index: int, limit: int) -> Entry | None:
        c = self.problem.candidates[index]
        begin = max(self.helper, self.earliest(c))
        limit = min(limit, c.latest)
        for opens, closes in self.problem.helper:
            entry = self._filled(c, max(begin, opens), min(limit, closes), 0, 0, HELPER)
            if entry is not None:
                return entry
        return None

    def _filled(self, c: Candidate, begin: int, limit: int, set_up: int, clean_up: int, who: int) -> Entry | None:
        room = limit - begin - set_up - clean_up
        count, minutes = c.open, self.rules.full[c.index]
        if minutes > room or self.rules.needs[c.index] or 0 < self._most_wanted < count:
            count = self._most(c, room)
            if count < c.least:
                return None
            minutes = c.minutes(count)
        return Entry(c.index, count, begin, begin + set_up + minutes + clean_up, set_up, clean_up, who)

    def _most(self, c: Candidate, room: int) -> int:
        """Return the largest count that fits into `room` minutes and the stock; 0 when none does."""
        unit = self.rules.unit[c.index]
        count = c.open
        if self.rules.full[c.index] > room:
            if c.least == c.open or room < 1:
                return 0
            count = min(c.open, int((room + 0.5) / unit) + 1)
            while count > 0 and c.minutes(count) > room:
                count -= 1
        if self._most_wanted:
            count = min(count, self._most_wanted)
        for item, quantity in self.rules.needs[c.index]:
            left = self.problem.stock[item] - self.used.get(item, 0.0) + 1e-9
            count = min(count, int(left / quantity))
        return count

    def _in_time(self, entry: Entry, block: bool) -> bool:
        """Return whether the windows allow the line: those it has to meet, and those it opens."""
        for window in self.rules.ends.get(entry.candidate, ()):
            if not self._meets(window, entry):
                return False
        if not block:
            for window in self.rules.opens.get(entry.candidate, ()):
                if window.from_finish and entry.count < self.problem.candidates[entry.candidate].open:
                    continue
                if not self.may_stay_open(window, entry):
                    return False
        return True

    def _meets(self, window: Window, entry: Entry) -> bool:
        closes = window.closes
        first = None if window.first is None else self.at[window.first]
        if window.first is not None:
            if first is None:
                return True
            closes = opened_at(window, first) + window.span
        if closes is None:
            return True
        if entry.count >= self.problem.candidates[entry.candidate].open:
            return entry.end + self._reserve(window, entry) <= closes
        true_closes = window.true_closes if first is None else opened_at(window, first) + window.true_span
        return self._lasts(window, true_closes)

    def _reserve(self, window: Window, entry: Entry) -> int:
        if not window.high:
            return 0
        over = window.margin
        for index, _, _, spread in window.chain:
            line = entry if index == entry.candidate else (None if index is None else self.at[index])
            if line is not None:
                over += spread * line.count
        return ceil(round(over, 6))

    def may_stay_open(self, window: Window, opener: Entry) -> bool:
        """Return whether the window that `opener` opens can be met in the next session, whatever else is done."""
        return self._lasts(window, opened_at(window, opener) + window.true_span)

    def _lasts(self, window: Window, closes: int | None) -> bool:
        start = self.problem.next_start
        if start is None or closes is None:
            return False
        left = window.margin
        for _, count, likely, spread in window.chain:
            left += (likely + (spread if window.high else 0.0)) * count
        return closes >= start + ceil(round(left, 6))

    def met(self, window: Window) -> bool:
        """Return whether a window that the draft opens is met in it, or lasts until it can be."""
        opener = None if window.first is None else self.at[window.first]
        if opener is None:
            return True
        last = None if window.last is None else self.at[window.last]
        if window.last is not None and last is not None and last.count >= self.problem.candidates[window.last].open:
            return self._meets(window, last)
        if window.from_finish and opener.count < self.problem.candidates[opener.candidate].open:
            return True
        return self.may_stay_open(window, opener)

    def _write(self, entry: Entry) -> None:
        index = entry.candidate
        c = self.problem.candidates[index]
        moved, new_stay = None, False
        before = (self.builder, self.helper, self.work, self.timed)
        if entry.who != HELPER:
            moved = self._moves(c)
            if moved is not None:
                if moved.who == BOTH and moved.end == self.helper:
                    self.helper -= moved.clean_up
                moved.end -= moved.clean_up
                moved.clean_up = 0
            if c.work != self.work:
                new_stay = True
                self.stays[c.work] = self.stays.get(c.work, 0) + 1
                self.work, self.timed = c.work, None
            if c.timed:
                self.timed = entry
            self.builder = entry.end
        if entry.who != BUILDER:
            self.helper = entry.end
        self.entries.append(entry)
        self.at[index] = entry
        self._log.append(_Before(*before, moved, new_stay))
        for item, quantity in self.rules.needs[index]:
            self.used[item] = self.used.get(item, 0.0) + quantity * entry.count
        if entry.count >= c.open:
            for follower in self.rules.followers[index]:
                self.missing[follower] -= 1
                if not self.missing[follower]:
                    self.free.add(follower)
        self.free.discard(index)

    def _lent(self, index: int) -> bool:
        """Return whether temporary fasteners suffice when this candidate, or a later lender, takes its own."""
        new = self.at[index]
        for size in self.rules.lends[index]:
            have = self.problem.have_clecos.get(size, 0)
            for loan in self.rules.loans[size]:
                lender = None if loan.lender is None else self.at[loan.lender]
                late = new is not None and lender is not None and lender.begin >= new.begin
                if late and lender is not None and self._out(size, lender.begin) > have:
                    return False
        return True

    def _out(self, size: str, minute: int) -> int:
        out = 0
        for loan in self.rules.loans[size]:
            if loan.lender is not None:
                lender = self.at[loan.lender]
                if lender is None or lender.begin > minute:
                    continue
            done = loan.done
            if loan.until is not None:
                back = self.at[loan.until]
                if back is not None and back.end <= minute:
                    done += back.count
            out += loan.count - loan.count * min(done, loan.of) // loan.of
        return out

    def _equipped(self, index: int, since: int) -> bool:
        """Return whether no scarce tool of this candidate is wanted too often from `since` on."""
        for tool in self.rules.tools[index]:
            have = self.problem.have_tools.get(tool, 1)
            for entry in self.entries:
                wants = entry.begin >= since and tool in self.rules.tools[entry.candidate]
                if wants and self._too_many(tool, entry, have):
                    return False
        return True

    def _too_many(self, tool: str, now: Entry, have: int) -> bool:
        minute = now.begin
        occupations = (held for held in self.problem.occupations if held.tool == tool)
        serves = [held.serves for held in occupations if self._occupied(held, minute)]
        adds = tool in self.rules.occupies.get(now.candidate, ())
        if not adds and any(now.candidate in those for those in serves):
            return False
        at_work = sum(
            1
            for entry in self.entries
            if entry.begin <= minute < entry.end
            and tool in self.problem.candidates[entry.candidate].tools
            and not any(entry.candidate in those for those in serves)
        )
        return len(serves) + at_work > have

    def _occupied(self, held: Occupation, minute: int) -> bool:
        if held.lender is not None:
            lender = self.at[held.lender]
            if lender is None or lender.begin > minute:
                return False
        if held.until is None:
            return True
        back = self.at[held.until]
        return back is None or back.count < self.problem.candidates[held.until].open or back.end > minute


def earliest_times(rules: Rules, lines: Iterable[tuple[int, int, int]]) -> Draft | None:
    """Return lines (candidate, count, who) put down in this order, as early as may be; None when they cannot be.

    Windows that they open are left to the caller to check.
    """
    draft = Draft(rules)
    for index, count, who in lines:
        if draft.missing[index] or not draft.put(index, rules.problem.usable, who == HELPER, block=True, count=count):
            return None
        entry = draft.at[index]
        if entry is None or entry.count != count:
            return None
    return draft


def opened_at(window: Window, opener: Entry) -> int:
    """Return the minute at which `opener` opens the window; its clean-up may still move to a later line."""
    return opener.end - opener.clean_up if window.from_finish else opener.begin
