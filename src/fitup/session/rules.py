"""What all drafts of one session's problem share: what follows what, and which limits can bind at all."""

from __future__ import annotations

from fitup.session.problem import Frame, Window


class Rules:
    """Windows, loans and tools by candidate; limits that can never bind are left out."""

    def __init__(self, problem: Frame) -> None:
        self.problem = problem
        candidates = problem.candidates
        self.full = [c.minutes(c.open) for c in candidates]
        self.unit = [c.rate * c.pace for c in candidates]
        self.followers: list[list[int]] = [[] for _ in candidates]
        for c in candidates:
            for before, _ in c.before:
                self.followers[before].append(c.index)
        self.opens: dict[int, list[Window]] = {}
        self.ends: dict[int, list[Window]] = {}
        for window in problem.windows:
            if window.first is not None:
                self.opens.setdefault(window.first, []).append(window)
            if window.last is not None:
                self.ends.setdefault(window.last, []).append(window)
        self.rewards: list[list[int]] = [[] for _ in candidates]
        for place, reward in enumerate(problem.rewards):
            for index in reward.needs:
                self.rewards[index].append(place)
        self._find_scarce()

    def _find_scarce(self) -> None:
        problem = self.problem
        lent: dict[str, int] = {}
        for loan in problem.loans:
            lent[loan.size] = lent.get(loan.size, 0) + loan.count
        sizes = {size for size, count in lent.items() if count > problem.have_clecos.get(size, 0)}
        self.loans = {size: tuple(loan for loan in problem.loans if loan.size == size) for size in sizes}
        self.lends: dict[int, set[str]] = {}
        self.occupies: dict[int, list[str]] = {}
        for loan in problem.loans:
            if loan.lender is not None and loan.size in sizes:
                self.lends.setdefault(loan.lender, set()).add(loan.size)
        for held in problem.occupations:
            if held.lender is not None:
                self.occupies.setdefault(held.lender, []).append(held.tool)
        scarce = {held.tool for held in problem.occupations}
        scarce.update(tool for c in problem.candidates if c.alone for tool in c.tools)
        self.tools = [
            tuple(tool for tool in dict.fromkeys((*c.tools, *self.occupies.get(c.index, ()))) if tool in scarce)
            for c in problem.candidates
        ]
        wanted: dict[str, float] = {}
        for c in problem.candidates:
            for item, quantity in c.needs:
                wanted[item] = wanted.get(item, 0.0) + quantity * c.open
        short = {item for item, quantity in wanted.items() if quantity > problem.stock[item] + 1e-9}
        self.needs = [tuple((item, q) for item, q in c.needs if item in short) for c in problem.candidates]
