"""What the order of work alone says about stays: which kinds of work have to be come back to.

Where work of one kind waits for work of another that itself waits for the first kind, the builder's
tools for it come out twice; of two kinds that each come before the other one is come back to; and
what lies inside a one-go group shares its stay with nothing outside. All that is known before any
time is. So is that a wait between two tasks of one kind is spent in their stay, or parts two stays.
Said as linear rows it belongs to the programme that bounds the worth.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import reduce
from itertools import combinations, permutations, product
from operator import or_
from typing import NamedTuple

from fitup.session.draft import MOST_STAYS
from fitup.session.problem import Candidate, Frame

Key = tuple[str, int | str, str]
"""A quantity between 0 and 1: see `own`, `alone`, `out`, `again`, `waited`, `comes`, `first`, `last`."""


class Row(NamedTuple):
    """A sum of quantities with their factors that is at most `high`."""

    terms: tuple[tuple[Key, int], ...]
    high: int


def own(index: int) -> Key:
    """Return the quantity that is 1 when the builder does the candidate."""
    return "own", index, ""


def alone(index: int) -> Key:
    """Return the quantity that is 1 when the helper does the candidate alone."""
    return "alone", index, ""


def out(work: str) -> Key:
    """Return the quantity that is 1 when the tools of a kind of work come out at all."""
    return "out", work, ""


def again(work: str) -> Key:
    """Return the quantity that is 1 when they come out a second time."""
    return "again", work, ""


def comes(work: str, later: str) -> Key:
    """Return the quantity that is 1 when table-timed work of the one kind has to be done before such of the other."""
    return "comes", work, later


def first(work: str, later: str) -> Key:
    """Return the quantity that is 1 when it even has to be done before the first stay at the other."""
    return "first", work, later


def last(work: str, later: str) -> Key:
    """Return the quantity that is 1 when even its last stay has to lie before such of the other."""
    return "last", work, later


def waited(place: int) -> Key:
    """Return the quantity that is 1 when the wait of this place among `waits` is spent within one stay."""
    return "waited", "", str(place)


class Wait(NamedTuple):
    """Two tasks of one kind by the builder's hand, and the minutes that have to pass between them."""

    before: int
    after: int
    minutes: int


class StayRows:
    """The rows of one session; every sheet keeps them."""

    def __init__(self, problem: Frame) -> None:
        self.problem = problem
        candidates = problem.candidates
        self.ahead = ahead_of(candidates)
        self.least: list[int] = []
        self.least_timed: list[int] = []
        self.kinds: dict[str, int] = {}
        self.free = sum(1 << c.index for c in candidates if c.alone)
        """Bits of the candidates that a helper may do alone, which keep the builder from nothing."""
        for c in candidates:
            self.kinds[c.work] = self.kinds.get(c.work, 0) | 1 << c.index
        self.timed = sum(1 << c.index for c in candidates if c.timed)
        self.waits = [
            Wait(before, c.index, lag)
            for c in candidates
            for before, lag in c.before
            if lag and c.timed and candidates[before].timed and candidates[before].work == c.work
            if not (c.alone or candidates[before].alone)
        ]
        for c in candidates:
            earlier = list(self._cut_off(c.index))
            self.least.append(1 + max((self.least[index] for index in earlier), default=0))
            timed = (self.least_timed[index] for index in earlier)
            self.least_timed.append(int(c.timed) + max(timed, default=0) if c.timed else 0)

    def _cut_off(self, index: int) -> Iterator[int]:
        """Yield what is done before the candidate, of its own kind and by the builder, with other work in between."""
        work = self.kinds[self.problem.candidates[index].work]
        between = self._between(index) & ~self.free
        before = 0
        for other in places(between):
            before |= self.ahead[other]
        return places(before & work & ~self.free)

    def _between(self, index: int) -> int:
        return self.ahead[index] & ~self.kinds[self.problem.candidates[index].work]

    def rows(self) -> Iterator[Row]:
        """Yield all rows."""
        for c in self.problem.candidates:
            if self.least[c.index] > MOST_STAYS:
                yield Row(((own(c.index), 1),), 0)
            elif c.timed:
                yield Row(((own(c.index), 1), (out(c.work), -1)), 0)
                yield from self._come_back(c.index)
        for work in self.kinds:
            yield Row(((again(work), 1), (out(work), -1)), 0)
        yield from self._orders()
        yield from self._one_go()

    def _come_back(self, index: int) -> Iterator[Row]:
        """The tools come out again for what has work of its own kind, and other work since, before it."""
        c = self.problem.candidates[index]
        if self.least_timed[index] > 1:
            yield Row(((own(index), 1), (again(c.work), -1)), 0)
            return
        for earlier in places(self.ahead[index] & self.kinds[c.work] & self.timed):
            since = [other for other in places(self._between(index)) if self.ahead[other] >> earlier & 1]
            sure = [other for other in since if not self.free >> other & 1]
            for other in sure[:1] or since[:2]:
                helped = [(alone(i), -1) for i in (earlier, other) if self.free >> i & 1]
                yield Row(((own(index), 1), (again(c.work), -1), *helped), 0)

    def _orders(self) -> Iterator[Row]:
        """Where kinds of work come before one another in a ring, one of them is come back to."""
        found: set[tuple[str, str]] = set()
        for c in self.problem.candidates:
            for work, members in self.kinds.items() if c.timed else ():
                before = self.ahead[c.index] & members & self.timed
                if work == c.work or not before:
                    continue
                found.add((work, c.work))
                sure = before & ~self.free
                for other in [None] if sure else places(before):
                    helped = [] if other is None else [(alone(other), -1)]
                    yield Row(((own(c.index), 1), (comes(work, c.work), -1), *helped), 0)
        yield from self._rings(found)

    def _rings(self, found: set[tuple[str, str]]) -> Iterator[Row]:
        """Where kinds of work come before one another in a ring, one is come back to that this opens the ring at.

        It does not at a kind whose first stay already waits for the kind before it in the ring, nor at one
        whose last stay still lies before the kind after it.
        """
        steps = {pair: [comes(*pair)] for pair in found}
        yield from self._sides(steps)
        works = sorted({work for pair in steps for work in pair})
        rings: Iterable[tuple[str, ...]] = [*combinations(works, 2), *permutations(works, 3)]
        for ring in rings:
            pairs = list(zip(ring, (*ring[1:], ring[0]), strict=True))
            if ring[0] != min(ring) or not all(pair in steps for pair in pairs):
                continue
            for keys in product(*(steps[pair] for pair in pairs)):
                into = (keys[-1], *keys[:-1])
                open_at = [
                    work
                    for work, before, after in zip(ring, into, keys, strict=True)
                    if before[0] != "first" and after[0] != "last"
                ]
                yield Row((*((key, 1) for key in keys), *((again(work), -1) for work in open_at)), len(ring) - 1)

    def _sides(self, steps: dict[tuple[str, str], list[Key]]) -> Iterator[Row]:
        """What parts two stays at a kind has before the first all that comes before, after the last all that follows.

        That is other work in between, or a wait that is not spent within one stay.
        """
        for c in self.problem.candidates:
            if self.least_timed[c.index] > 1:
                earlier = [self.ahead[index] for index in self._cut_off(c.index) if self.timed >> index & 1]
                yield from self._parted(reduce(or_, earlier), c.index, (), steps)
        for place, wait in enumerate(self.waits):
            within = ((waited(place), -1),)
            yield Row(((own(wait.after), 1), (again(self.problem.candidates[wait.after].work), -1), *within), 0)
            yield from self._parted(self.ahead[wait.before], wait.after, within, steps)

    def _parted(
        self, before: int, after: int, but: tuple[tuple[Key, int], ...], steps: dict[tuple[str, str], list[Key]]
    ) -> Iterator[Row]:
        """Say what lies before the first stay and after the last where `after`, on the sheet, is in the last one.

        `before` are bits of what comes before the first; `but` are terms of the rows where that need not hold.
        """
        work = self.problem.candidates[after].work
        for other, members in self.kinds.items():
            if other != work and before & members & self.timed & ~self.free:
                yield Row(((own(after), 1), *but, (_noted(steps, first(other, work)), -1)), 0)
        for c in self.problem.candidates if not self.free >> after & 1 else ():
            if c.timed and c.work != work and self.ahead[c.index] >> after & 1:
                yield Row(((own(c.index), 1), *but, (_noted(steps, last(work, c.work)), -1)), 0)

    def _one_go(self) -> Iterator[Row]:
        """What has other work of its one-go group on both sides has a stay to itself.

        Of two groups that begin with a kind of work, or that end with it, each has a stay of its own.
        """
        for timed in (False, True):
            inside: dict[str, list[int]] = {}
            begin: dict[str, list[int]] = {}
            end: dict[str, list[int]] = {}
            for members in self.problem.groups.values():
                for work, (index, first, last) in self._edges(members, timed).items():
                    if not first and not last:
                        inside.setdefault(work, []).append(index)
                    elif not (first and last):
                        (begin if first else end).setdefault(work, []).append(index)
            for work in sorted({*inside, *begin, *end}):
                yield from self._apart(work, timed, inside.get(work, []), begin.get(work, []), end.get(work, []))

    def _edges(self, members: Sequence[int], timed: bool) -> dict[str, tuple[int, bool, bool]]:
        """Return by kind of work the member least free to be at the group's edges: can it be first, can it be last."""
        found: dict[str, tuple[int, bool, bool]] = {}
        own_work = [index for index in members if not self.free >> index & 1]
        for index in own_work:
            c = self.problem.candidates[index]
            if timed and not c.timed:
                continue
            others = [i for i in own_work if self.problem.candidates[i].work != c.work]
            first = not any(self.ahead[index] >> i & 1 for i in others)
            last = not any(self.ahead[i] >> index & 1 for i in others)
            if c.work not in found or first + last < sum(found[c.work][1:]):
                found[c.work] = (index, first, last)
        return found

    def _apart(
        self, work: str, timed: bool, inside: Sequence[int], begin: Sequence[int], end: Sequence[int]
    ) -> Iterator[Row]:
        high = 0 if timed else MOST_STAYS
        stays = ((out(work), -1), (again(work), -1)) if timed else ()
        middle = [(own(index), 1) for index in inside]
        for edge in (begin, end):
            if len(inside) + len(edge) > 1:
                yield Row((*middle, *((own(index), 1) for index in edge), *stays), high)
        groups = {self.problem.candidates[index].group for index in inside}
        for index in places(self.kinds[work] & (self.timed if timed else -1)) if middle else ():
            if self.problem.candidates[index].group not in groups:
                yield Row((*middle, (own(index), 1), *stays), high)


def _noted(steps: dict[tuple[str, str], list[Key]], key: Key) -> Key:
    """Return the key, which is now among the steps between its two kinds."""
    _, work, later = key
    known = steps.setdefault((str(work), later), [])
    if key not in known:
        known.append(key)
    return key


def ahead_of(candidates: Sequence[Candidate]) -> list[int]:
    """Return by candidate the bits of all those that have to be done before it."""
    ahead: list[int] = []
    for c in candidates:
        before = 0
        for index, _ in c.before:
            before |= ahead[index] | 1 << index
        ahead.append(before)
    return ahead


def places(bits: int) -> Iterator[int]:
    """Yield the places of the bits that are set, lowest first."""
    while bits:
        yield (bits & -bits).bit_length() - 1
        bits &= bits - 1
