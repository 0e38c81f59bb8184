"""Left-to-right order on each level, with as few crossings as can be had in the time.

Long edges are broken into a chain of stand-ins, one on each level passed, so that edges only run between neighbouring
levels. Then sweeps down and up sort each level by the mean or the middle of its neighbours' places, and neighbours on a
level are exchanged where that removes crossings. Several starts are tried and the best one shaken and mended again. The
work is bounded by counting, not by the clock, so the same graph always gives the same order.
"""

import random
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

# How much the side not yet sorted counts, sweep by sweep: little at first (the order is still wild), then as much.
SKETCH = (0.2, 0.2, 0.4, 0.4)
FINISH = (0.6, 0.6, 1.0, 1.0, 1.0, 1.0)
QUICK = (0.3, 0.3, 1.0, 1.0)


@dataclass(slots=True)
class Chains:
    """A graph whose edges run only between neighbouring levels.

    Items below `count` are nodes, the others stand-ins. `chain[e]` are the items of edge e from top to bottom.
    """

    count: int
    level: list[int]
    up: list[list[int]]
    down: list[list[int]]
    chain: list[list[int]]
    rows: list[list[int]]


def chains(level: Sequence[int], edges: Sequence[tuple[int, int]]) -> Chains:
    """Break each edge (upper node, lower node) into steps of one level."""
    count = len(level)
    levels = list(level)
    up: list[list[int]] = [[] for _ in range(count)]
    down: list[list[int]] = [[] for _ in range(count)]
    chain: list[list[int]] = []
    for above, below in edges:
        items = [above]
        for between in range(levels[above] + 1, levels[below]):
            item = len(levels)
            levels.append(between)
            up.append([items[-1]])
            down.append([])
            down[items[-1]].append(item)
            items.append(item)
        up[below].append(items[-1])
        down[items[-1]].append(below)
        items.append(below)
        chain.append(items)
    rows: list[list[int]] = [[] for _ in range(max(levels, default=-1) + 1)]
    for item, at in enumerate(levels):
        rows[at].append(item)
    return Chains(count, levels, up, down, chain, rows)


def crossings(rows: Sequence[Sequence[int]], down: Sequence[Sequence[int]]) -> int:
    """How often edges cross when items stand in this order."""
    place = [0] * len(down)
    for row in rows:
        for index, item in enumerate(row):
            place[item] = index
    return _count(rows, down, place)


def _count(rows: Sequence[Sequence[int]], down: Sequence[Sequence[int]], place: Sequence[int]) -> int:
    """Crossings, with the place of each item on its level known: inversions, counted by insertion."""
    total = 0
    for upper in rows[:-1]:
        seen: list[int] = []
        last = -1
        for item in upper:
            below = down[item]
            for end in [place[below[0]]] if len(below) == 1 else sorted([place[other] for other in below]):
                if end >= last:
                    seen.append(end)
                    last = end
                else:
                    at = bisect_right(seen, end)
                    total += len(seen) - at
                    seen.insert(at, end)
    return total


def arrange(net: Chains, effort: int = 40_000, before: Sequence[Sequence[int]] | None = None, seed: int = 1) -> int:
    """Put `net.rows` in a good order and return the number of crossings.

    `effort` bounds the work: about the number of items looked at. `before` is an order to start from (rows of items);
    the answer is never worse than it.
    """
    return _Search(net, effort, seed).run(before)


class _Search:
    """One search for a good order: the best rows so far and the work that is left."""

    def __init__(self, net: Chains, effort: int, seed: int) -> None:
        self.net = net
        self.left = effort
        self.size = len(net.level)
        self.place = [0] * self.size
        self.key = [0.0] * self.size
        self.where = [0.0] * self.size
        self.random = random.Random(seed)
        self.best: list[list[int]] = []
        self.best_count = -1

    def run(self, before: Sequence[Sequence[int]] | None) -> int:
        sketched: list[tuple[int, int, list[list[int]]]] = []
        if before is not None:
            self._settle([list(row) for row in before], ())
        for turn in range(3 if before is None else 4):
            if self.best_count:
                rows = self._start(turn, before)
                sketched.append((self._settle(rows, SKETCH), turn, rows))
        for _, _, rows in sorted(sketched):
            self._settle(rows, FINISH, mend=True)
        patience, base = 0, self.best
        while self.best_count and self.left > 0 and patience < 60:
            old = self.best_count
            rows = self._shaken(base)
            count = self._settle(rows, QUICK, mend=True)
            patience = 0 if self.best_count < old else patience + 1
            if count <= self.best_count + 1 + self.best_count // 50:
                base = rows
            elif patience % 8 == 7:
                base = self.best
        self.net.rows = self.best
        return self.best_count

    def _start(self, turn: int, before: Sequence[Sequence[int]] | None) -> list[list[int]]:
        if turn < 2:
            return self._walked(downward=turn == 0)
        return [list(row) for row in (self.net.rows if turn == 2 or before is None else before)]

    def _walked(self, downward: bool) -> list[list[int]]:
        """A start order: items in the order of a depth-first walk, so that trees come out without a crossing."""
        net = self.net
        onward, back = (net.down, net.up) if downward else (net.up, net.down)
        rows: list[list[int]] = [[] for _ in net.rows]
        seen = [False] * self.size
        ends = [item for row in (net.rows if downward else reversed(net.rows)) for item in row if not back[item]]
        for root in ends:
            stack = [root]
            while stack:
                item = stack.pop()
                if seen[item]:
                    continue
                seen[item] = True
                rows[net.level[item]].append(item)
                stack.extend(reversed(onward[item]))
                stack.extend(other for other in back[item] if not seen[other])
        return rows

    def _shaken(self, base: list[list[int]]) -> list[list[int]]:
        """An order with a band of levels disturbed."""
        rows = [list(row) for row in base]
        height = len(rows)
        middle = self.random.randrange(height)
        reach = self.random.choice((0, 1, 2, 4, height))
        for index in range(max(0, middle - reach), min(height, middle + reach + 1)):
            row = rows[index]
            spread = self.random.choice((1.5, 3.0, 6.0, len(row)))
            jitter = {item: at + self.random.uniform(-spread, spread) for at, item in enumerate(row)}
            row.sort(key=jitter.__getitem__)
        return rows

    def _settle(self, rows: list[list[int]], weights: Sequence[float], mend: bool = False) -> int:
        """Sweep `rows` once for each weight, then mend them; keeps the best order met, returns the last count."""
        if self.best_count == 0 or (self.best_count > 0 and self.left <= 0):
            return self.best_count
        place = self.place
        for row in rows:
            for index, item in enumerate(row):
                place[item] = index
        count = self._keep(rows)
        for turn, weight in enumerate(weights):
            if self.left <= 0 or not count:
                return count
            self._sweep(rows, turn % 2 == 0, weight)
            self._exchange(rows, equal=turn % 2 == 1)
            count = self._keep(rows)
        while mend and count and self.left > 0:
            self._reinsert(rows)
            old, count = count, self._keep(rows)
            if count >= 0.99 * old:
                break
        return count

    def _keep(self, rows: list[list[int]]) -> int:
        count = _count(rows, self.net.down, self.place)
        self.left -= self.size
        if self.best_count < 0 or count < self.best_count:
            self.best_count = count
            self.best = [list(row) for row in rows]
        return count

    def _sweep(self, rows: list[list[int]], downward: bool, weight: float) -> None:
        """Sort each level by where its neighbours stand: those just sorted count 1, those on the far side `weight`.

        Places are taken as fractions of the level's length; an item without neighbours on the near side goes by the
        far side alone, for if it stayed where it is, all that lies behind it would cross to get past.
        """
        near_of, far_of = (self.net.up, self.net.down) if downward else (self.net.down, self.net.up)
        where, key, place = self.where, self.key, self.place
        height = len(rows)
        step = 1 if downward else -1
        order = range(height) if downward else range(height - 1, -1, -1)
        for at in order:
            row = rows[at]
            behind = at + step
            if 0 <= behind < height:
                self._locate(rows[behind])
            for index, item in enumerate(row):
                near, far = near_of[item], far_of[item]
                if near:
                    mean = where[near[0]] if len(near) == 1 else sum([where[other] for other in near]) / len(near)
                    if weight and far:
                        other_mean = sum([where[other] for other in far]) / len(far)
                        mean = (mean + weight * other_mean) / (1 + weight)
                elif far:
                    mean = sum([where[other] for other in far]) / len(far)
                else:
                    mean = (index + 0.5) / len(row)
                key[item] = mean
            row.sort(key=key.__getitem__)
            for index, item in enumerate(row):
                place[item] = index
            self._locate(row)
        self.left -= self.size

    def _locate(self, row: list[int]) -> None:
        scale = 1 / len(row)
        for index, item in enumerate(row):
            self.where[item] = (index + 0.5) * scale

    def _ends(self, row: list[int], across: list[list[int]]) -> dict[int, list[int]]:
        """For each item of a row the places of its neighbours on one side, from left to right."""
        place = self.place
        ends = {}
        for item in row:
            others = across[item]
            ends[item] = [place[others[0]]] if len(others) == 1 else sorted([place[other] for other in others])
        return ends

    def _reinsert(self, rows: list[list[int]]) -> None:
        """Take each item out and put it where on its level it crosses least."""
        up, down, place = self.net.up, self.net.down, self.place
        for row in rows:
            above, below = self._ends(row, up), self._ends(row, down)
            for item in list(row):
                index = row.index(item)
                ups, downs = above[item], below[item]
                best, target = 0, index
                gain = 0
                for to in range(index + 1, len(row)):
                    other = row[to]
                    gain += _gain(ups, above[other]) + _gain(downs, below[other])
                    if gain > best:
                        best, target = gain, to
                gain = 0
                for to in range(index - 1, -1, -1):
                    other = row[to]
                    gain += _gain(above[other], ups) + _gain(below[other], downs)
                    if gain > best:
                        best, target = gain, to
                if target != index:
                    del row[index]
                    row.insert(target, item)
            for index, item in enumerate(row):
                place[item] = index
            self.left -= len(row) * (1 + len(row) // 8)

    def _exchange(self, rows: list[list[int]], equal: bool) -> None:
        """Exchange neighbours while that removes crossings; with `equal`, once also where it changes nothing."""
        up, down, place = self.net.up, self.net.down, self.place
        for row in rows:
            above, below = list(self._ends(row, up).values()), list(self._ends(row, down).values())
            self.left -= len(row)
            doubtful = list(range(len(row) - 1))
            level_too = equal
            while doubtful:
                moved: set[int] = set()
                for index in doubtful:
                    ups, next_ups, downs, next_downs = above[index], above[index + 1], below[index], below[index + 1]
                    if (ups and next_ups and ups[-1] > next_ups[0]) or (
                        downs and next_downs and downs[-1] > next_downs[0]
                    ):
                        gain = _gain(ups, next_ups) + _gain(downs, next_downs)
                        change = gain > 0 or (level_too and not gain)
                    else:
                        gain = 0
                        change = level_too and _alike(ups, next_ups) and _alike(downs, next_downs)
                    if change:
                        row[index], row[index + 1] = row[index + 1], row[index]
                        above[index], above[index + 1] = next_ups, ups
                        below[index], below[index + 1] = next_downs, downs
                        if gain:
                            moved.update((index - 1, index + 1))
                level_too = False
                doubtful = sorted(index for index in moved if 0 <= index < len(row) - 1)
            for index, item in enumerate(row):
                place[item] = index


def _alike(first: list[int], second: list[int]) -> bool:
    """Whether nothing changes when two items that do not cross change places."""
    return not first or not second or first[0] == second[-1]


def _gain(first: list[int], second: list[int]) -> int:
    """Crossings saved when the item with ends `first`, now at the left, changes places with the one with `second`."""
    if not first or not second:
        return 0
    if first[-1] < second[0]:
        return -len(first) * len(second)
    if first[0] > second[-1]:
        return len(first) * len(second)
    gain = 0
    for one in first:
        for other in second:
            if one > other:
                gain += 1
            elif one < other:
                gain -= 1
    return gain
