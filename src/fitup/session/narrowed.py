"""A session seen through some of its candidates only: all others are left off the sheet.

What is worth the most over some candidates is at most worth as much as over all of them. Used for
first answers from the most promising, and for proofs once the others are shown not to matter.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from fitup.session.planned import Planned
from fitup.session.problem import Candidate, Frame, Loan, Occupation, Reward, Window


class Narrowed:
    """A frame over the `kept` candidates, closed under what they wait for and their one-go groups."""

    def __init__(self, whole: Frame, kept: Iterable[int]) -> None:
        self.old = in_order(whole, closed(whole, kept))
        self.new = {old: new for new, old in enumerate(self.old)}
        new = self.new
        self.frame = Frame(
            usable=whole.usable,
            next_start=whole.next_start,
            helper=whole.helper,
            candidates=tuple(self._candidate(whole.candidates[old]) for old in self.old),
            groups={
                name: tuple(new[i] for i in members) for name, members in whole.groups.items() if members[0] in new
            },
            windows=tuple(self._windows(whole.windows)),
            loans=(),
            have_clecos=whole.have_clecos,
            occupations=tuple(self._occupations(whole.occupations)),
            have_tools=whole.have_tools,
            stock=whole.stock,
            rewards=tuple(self._rewards(whole.rewards)),
            saves={new[i]: closes for i, closes in whole.saves.items() if i in new},
            needed_by={new[i]: tuple(new[j] for j in by if j in new) for i, by in whole.needed_by.items() if i in new},
        )
        self._lend(whole.loans)

    def _candidate(self, c: Candidate) -> Candidate:
        before = tuple((self.new[index], lag) for index, lag in c.before)
        return replace(c, index=self.new[c.index], before=before, takes=())

    def _windows(self, windows: Sequence[Window]) -> Iterable[Window]:
        for window in windows:
            if window.first is None or window.first in self.new:
                chain = tuple((self._place(index), count, likely, over) for index, count, likely, over in window.chain)
                yield replace(window, first=self._place(window.first), last=self._place(window.last), chain=chain)

    def _occupations(self, occupations: Sequence[Occupation]) -> Iterable[Occupation]:
        for held in occupations:
            if held.lender is None or held.lender in self.new:
                serves = frozenset(self.new[index] for index in held.serves if index in self.new)
                yield replace(held, lender=self._place(held.lender), until=self._place(held.until), serves=serves)

    def _rewards(self, rewards: Sequence[Reward]) -> Iterable[Reward]:
        for reward in rewards:
            if all(index in self.new for index in reward.needs):
                needs = tuple(self.new[index] for index in reward.needs)
                yield replace(reward, candidate=self._place(reward.candidate), needs=needs)

    def _lend(self, loans: Sequence[Loan]) -> None:
        kept = [loan for loan in loans if loan.lender is None or loan.lender in self.new]
        moved = tuple(replace(x, lender=self._place(x.lender), until=self._place(x.until)) for x in kept)
        takes: dict[int, list[int]] = {}
        for place, loan in enumerate(moved):
            if loan.lender is not None:
                takes.setdefault(loan.lender, []).append(place)
        candidates = tuple(replace(c, takes=tuple(takes.get(c.index, ()))) for c in self.frame.candidates)
        self.frame = replace(self.frame, candidates=candidates, loans=moved)

    def _place(self, index: int | None) -> int | None:
        return None if index is None else self.new.get(index)

    def inside(self, lines: Sequence[Planned]) -> tuple[Planned, ...]:
        """Return lines over all candidates as lines over the kept ones; lines of others are left out."""
        return tuple(replace(x, candidate=self.new[x.candidate]) for x in lines if x.candidate in self.new)

    def outside(self, lines: Sequence[Planned]) -> tuple[Planned, ...]:
        """Return lines over the kept candidates as lines over all."""
        return tuple(replace(x, candidate=self.old[x.candidate]) for x in lines)


def closed(whole: Frame, kept: Iterable[int]) -> set[int]:
    """Return these candidates with all they wait for, and all of every one-go group that they belong to."""
    found: set[int] = set()
    todo = list(kept)
    while todo:
        index = todo.pop()
        if index not in found:
            found.add(index)
            c = whole.candidates[index]
            todo += [before for before, _ in c.before]
            todo += whole.groups.get(c.group, ())
    return found


def in_order(whole: Frame, kept: Iterable[int]) -> list[int]:
    """Return these candidates, each after what it waits for, and otherwise as they were."""
    order: dict[int, None] = {}
    for index in sorted(kept):
        todo = [index]
        while todo:
            first = [before for before, _ in whole.candidates[todo[-1]].before if before not in order]
            if first:
                todo += first
            else:
                order[todo.pop()] = None
    return list(order)
