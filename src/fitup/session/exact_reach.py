"""The session without its clock times: who works how long, what is finished, what that frees, what has its tools out.

Every sheet keeps these rows, so that what they allow bounds the worth from above, mostly to the very
sum. What the bound with a candidate on the sheet tells is left out of the proof, which stays one over
all; what the programme would do is tried first; and the exact model that has the rows too is proved
by them several times as soon.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitup.session.exact_hands import earliest_begins
from fitup.session.exact_linear import Programme, Terms, summed
from fitup.session.exact_stays import Key, StayRows, again, out, places, waited
from fitup.session.problem import Candidate, Frame, Loan, Occupation, Window
from fitup.session.rules import Rules
from fitup.session.worth import PER_SET_UP_MINUTE, WINDOW_SAVED

NOTHING = 1e-6
"""Minutes that do not matter."""

FEW_ROWS = 8
"""At how many minutes of the session the work that begins later, or ends sooner, is held to the time there."""

ROUNDED = 0.501
"""A line's minutes differ from those of its count by at most this."""


class _Part:
    """One candidate's share: `on`, `full` and `alone`, its count and minutes as sums."""

    def __init__(self, programme: Programme, c: Candidate, full: int, usable: int) -> None:
        self.c, self.length = c, full
        self.on = programme.variable(1 if full <= usable or c.splits else 0)
        self.full = programme.variable(1 if full <= usable else 0) if c.splits else self.on
        self.alone = programme.variable() if c.alone else None
        self.count: Terms = [(self.on, c.open)]
        self.minutes: Terms = [(self.on, full)]
        if c.splits:
            self.count = [(programme.variable(c.open), 1)]
            self.minutes = [(programme.variable(min(full, usable)), 1)]


class Reach:
    """The session's programme; `on` are the variables that say which candidates are on the sheet."""

    def __init__(self, problem: Frame) -> None:
        self.problem, self.rules, self.programme = problem, Rules(problem), Programme()
        full, self.usable = self.rules.full, problem.usable
        self.parts = [_Part(self.programme, c, full[c.index], self.usable) for c in problem.candidates]
        self.on = [part.on for part in self.parts]
        self.earliest = earliest_begins(problem, self.rules)
        self._most, self._implies = self.programme.most, self.programme.implies
        self._stays()
        for part in self.parts:
            self._count(part)
            for before, _ in part.c.before:
                self._implies(part.on, self.parts[before].full)
        for members in problem.groups.values():
            for one, other in zip(members, (*members[1:], members[0]), strict=True):
                self._implies(self.on[one], self.on[other])
        self._hands()
        self._items()
        self._clecos()
        self._occupied()
        for window in problem.windows:
            self._window(window)
        self._worth()

    def ahead(self) -> list[Sequence[int]]:
        """Return by candidate those that have to be on the sheet before it."""
        return [tuple(places(before)) for before in self.stays.ahead]

    # -- rows ------------------------------------------------------------------------------------

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
        self._most([(minutes, 1), (count, -unit), (part.on, -ROUNDED)], 0)
        self._most([(minutes, 1), (part.on, -part.length)], 0)
        self._most([(part.on, least), (part.full, part.length - least), (minutes, -1)], 0)

    def _stays(self) -> None:
        """The builder's tools come out and are put away as often as the order of work demands at least."""
        self.stays, self.known = StayRows(self.problem), dict[Key, int]()
        for row in self.stays.rows():
            self._most([term for key, factor in row.terms for term in self._quantity(key, factor)], row.high)
        self.tools: dict[str, Terms] = {}
        for work, (set_up, clean_up) in _table_times(self.problem).items():
            self.tools[work] = [(self.known[key], set_up + clean_up) for key in (out(work), again(work))]

    def _quantity(self, key: Key, factor: int) -> Terms:
        kind, place, _ = key
        if isinstance(place, int):
            part = self.parts[place]
            helped: Terms = [] if part.alone is None else [(part.alone, 1 if kind == "alone" else -1)]
            return [(v, sign * factor) for v, sign in ([] if kind == "alone" else [(part.on, 1)]) + helped]
        if key not in self.known:
            self.known[key] = self.programme.variable()
        return [(self.known[key], factor)]

    def _set_ups(self) -> Terms:
        return [term for terms in self.tools.values() for term in terms]

    def _hands(self) -> None:
        """All that each does fits into the time that each has, and into what is left of it from some minutes on."""
        own: list[tuple[Candidate, Terms]] = []
        helped: list[tuple[Candidate, Terms]] = []
        for part in self.parts:
            c, minutes = part.c, part.minutes
            if part.alone is not None:
                theirs = self._theirs(part, part.alone)
                minutes = [*minutes, *((variable, -by) for variable, by in theirs)]
                helped.append((c, theirs))
            elif c.two:
                helped.append((c, minutes))
            own.append((c, minutes))
        self._most([term for _, terms in own for term in terms] + self._set_ups() + self._idle(), self.usable)
        for minute in _thresholds(self.earliest[c.index] for c, _ in own):
            later = [term for c, terms in own if self.earliest[c.index] >= minute for term in terms]
            self._most(later, max(0, self.usable - minute))
        for minute in _thresholds(c.latest for c, _ in own if c.latest < self.usable):
            self._most([term for c, terms in own if c.latest <= minute for term in terms], minute)
        for minute in {0, *_thresholds(self.earliest[c.index] for c, _ in helped)}:
            left = sum(max(0, end - max(begin, minute)) for begin, end in self.problem.helper)
            later = [term for c, terms in helped if self.earliest[c.index] >= minute for term in terms]
            self._most(later if minute else later + self._two_person_tools(), left)

    def _theirs(self, part: _Part, alone: int) -> Terms:
        """Return the minutes that the helper works on it, who does all of a line or nothing of it."""
        self._implies(alone, part.on)
        if not part.c.splits:
            return [(alone, part.length)]
        theirs = self.programme.variable(min(part.length, self.usable))
        own: Terms = [*part.minutes, (theirs, -1)]
        self._most([(theirs, 1), (alone, -part.length)], 0)
        self._most([(variable, -by) for variable, by in own], 0)
        self._most([*own, (part.on, -part.length), (alone, part.length)], 0)
        return [(theirs, 1)]

    def _idle(self) -> Terms:
        """A wait that is spent within a stay goes by with other work of its kind, and else with none."""
        if not self.stays.waits:
            return []
        idle = self.programme.variable(self.usable)
        for place, wait in enumerate(self.stays.waits):
            work = self.problem.candidates[wait.after].work
            others = (part for part in self.parts if part.c.work == work and part.c.index not in wait[:2])
            filled = [(variable, -by) for part in others for variable, by in part.minutes]
            self._most([(self.known[waited(place)], min(wait.minutes, self.usable)), *filled, (idle, -1)], 0)
        return [(idle, 1)]

    def _two_person_tools(self) -> Terms:
        """Return the table's minutes of kinds of work that two always do, who both wait for the tools."""
        single = {c.work for c in self.problem.candidates if not c.two}
        return [term for work, terms in self.tools.items() if work not in single for term in terms]

    def _items(self) -> None:
        for item in sorted({item for needs in self.rules.needs for item, _ in needs}):
            taken = [
                (variable, factor * quantity)
                for part in self.parts
                for name, quantity in self.rules.needs[part.c.index]
                if name == item
                for variable, factor in part.count
            ]
            self._most(taken, self.problem.stock[item] + 1e-6 * (len(self.parts) + 1))

    def _clecos(self) -> None:
        """No more temporary fasteners of a size are out than there are, when some are taken and at the end."""
        for size, loans in self.rules.loans.items():
            have = self.problem.have_clecos.get(size, 0)
            lent = [loan.count - loan.count * min(loan.done, loan.of) // loan.of for loan in loans]
            back = [self._back(loan, count) for loan, count in zip(loans, lent, strict=True)]
            before = sum(count for loan, count in zip(loans, lent, strict=True) if loan.lender is None)
            taken = [(self.on[x.lender], n) for x, n in zip(loans, lent, strict=True) if x.lender is not None]
            self._most([*taken, *(term for terms in back for term in terms)], max(have, before) - before)
            for lender in sorted({loan.lender for loan in loans if loan.lender is not None}):
                sooner = self.stays.ahead[lender] | 1 << lender
                out, given = max(0, before - have), list[tuple[int, float]]()
                for loan, count, terms in zip(loans, lent, back, strict=True):
                    if loan.lender is not None and not sooner >> loan.lender & 1:
                        # more may be out by then, but need not
                        continue
                    out += 0 if loan.lender is None else count
                    given += terms if self._may_come_before(loan.until, lender) else []
                self._most([(self.on[lender], out), *given], max(have, before) - before)

    def _back(self, loan: Loan, lent: int) -> Terms:
        """Return less the fasteners of a loan that are given back in the session."""
        if loan.until is None:
            return []
        back, until = self.programme.variable(lent), self.parts[loan.until]
        over = loan.count * min(loan.done, loan.of) / loan.of - (loan.count - lent)
        self._most([(back, 1), *((variable, -loan.count / loan.of * by) for variable, by in until.count)], over)
        return [(back, -1)]

    def _may_come_before(self, index: int | None, other: int) -> bool:
        return index is not None and index != other and not self.stays.ahead[index] >> other & 1

    def _occupied(self) -> None:
        """What a tool, table or jig is taken for has to be finished before it serves others, or is taken again."""
        for tool in sorted({held.tool for held in self.problem.occupations}):
            have = self.problem.have_tools.get(tool, 1)
            taken = [held for held in self.problem.occupations if held.tool == tool]
            before = [held for held in taken if held.lender is None]
            for part in self.parts if len(before) >= have else ():
                served = any(part.c.index in held.serves and held.lender != part.c.index for held in taken)
                if tool in self.rules.tools[part.c.index] and not served:
                    given = [term for held in before for term in self._given_back(held)]
                    self._most([(part.on, 1), *given], 0)
            self._most(
                [term for held in taken if held.lender is not None for term in self._kept(held)]
                + [term for held in before for term in self._given_back(held)],
                max(have, len(before)) - len(before),
            )

    def _kept(self, held: Occupation) -> Terms:
        """Return a quantity that is 1 when a candidate takes the tool and it is not given back in the session."""
        kept = self.programme.variable()
        if held.lender is not None:
            self._most([(self.on[held.lender], 1), *self._given_back(held), (kept, -1)], 0)
        return [(kept, 1)]

    def _given_back(self, held: Occupation) -> Terms:
        return [] if held.until is None else [(self.parts[held.until].full, -1)]

    def _window(self, window: Window) -> None:
        """What opens a window that cannot last until the next session comes with what has to be done in it."""
        if window.first is not None and window.last is not None and self._takes(window) > window.span + NOTHING:
            # once opened it cannot be met in this session
            opener = self.parts[window.first]
            is_open = opener.full if window.from_finish else opener.on
            self._most([(is_open, 1), (self.parts[window.last].full, 1)], 1)
        if self._may_last(window):
            return
        self._tools_are_out(window)
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

    def _tools_are_out(self, window: Window) -> None:
        """Where the window has no time for it, the opener's tools are out already, for other work of its kind."""
        opener = None if window.first is None or window.from_finish else self.parts[window.first]
        if opener is None or opener.alone is not None or self._takes(window) + opener.c.set_up <= window.span + NOTHING:
            return
        before = (
            part
            for part in self.parts
            if part.c.work == opener.c.work
            and part.c.timed
            and not self.stays.ahead[part.c.index] >> opener.c.index & 1
        )
        self._most([(opener.on, 1), *((part.on, -1) for part in before if part is not opener)], 0)

    def _takes(self, window: Window) -> float:
        """Return the minutes that pass at least until all in the window is done, high times reckoned in."""
        first, last = window.first, window.last
        candidates, full, ahead = self.problem.candidates, self.rules.full, self.stays.ahead
        if first is None or last is None or not ahead[last] >> first & 1:
            return 0.0
        opener = candidates[first]
        # what the last waits for is done with it, and what waits for the opener takes its time in the window
        sure = {index: over * count for index, count, _, over in window.chain if index is not None}
        sure = {index: over for index, over in sure.items() if index == last or ahead[last] >> index & 1}
        own = [candidates[i] for i in sure if i != first and ahead[i] >> first & 1 and not candidates[i].alone]
        takes = window.margin + (sum(sure.values()) if window.high else 0.0) + sum(full[c.index] for c in own)
        if not window.from_finish:
            takes += full[first]
        if opener.alone:
            return takes
        # the tools of another kind of work come out after the builder began with the opener
        takes += sum({c.work: c.set_up for c in own if c.timed and c.work != opener.work}.values())
        # and go away before the next kind, the opener's too
        done = own if window.from_finish else [opener, *own]
        left = [c for c in done if c.timed and any(x.work != c.work and ahead[x.index] >> c.index & 1 for x in own)]
        return takes + sum({c.work: c.clean_up for c in left}.values())

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
        terms: Terms = [(variable, -PER_SET_UP_MINUTE * minutes) for variable, minutes in self._set_ups()]
        for part in self.parts:
            c = part.c
            terms += [(variable, c.per_minute * factor) for variable, factor in part.minutes]
            terms.append((part.full, c.finished + c.clock + WINDOW_SAVED * len(problem.saves.get(c.index, ()))))
            if c.early:
                early = self.programme.variable(part.length)
                later = [(self.parts[index].on, -part.length) for index in problem.needed_by[c.index]]
                self._most([*part.minutes, *later, (early, -1)], 0)
                terms.append((early, -c.early))
        for reward in problem.rewards:
            freed = self.programme.variable()
            begun: Terms = [] if reward.candidate is None else [(self.on[reward.candidate], 1)]
            for index in reward.needs:
                # one of the two at most, and only when this is finished; rows apart would let half of it do for both
                self._most([(freed, 1), *begun, (self.parts[index].full, -1)], 0)
            terms.append((freed, reward.worth))
        self.programme.worth = summed(terms)
        asked = [part for part in self.parts if part.c.asked]
        minutes = [term for part in asked for term in part.minutes]
        self.programme.asked = summed([*minutes, *((part.on, part.c.begun) for part in asked if part.c.begun)])


def _table_times(problem: Frame) -> dict[str, tuple[int, int]]:
    """Return the set-up and clean-up minutes of the kinds of work that have some."""
    return {c.work: (c.set_up, c.clean_up) for c in problem.candidates if c.timed}


def _thresholds(minutes: Iterable[int]) -> Sequence[int]:
    """Return a few of these minutes, spread over them."""
    found = sorted({minute for minute in minutes if minute > 0})
    step = max(1, len(found) // FEW_ROWS)
    return found[::step]
