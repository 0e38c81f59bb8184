"""Columns of boxes and of the stand-ins of long edges, and the ends of edges along each box.

Every edge gets an end (a port) of its own on each box, so that no two edges ever run into one another.
"""

from collections.abc import Sequence

from fitup.drawing.fit import Want, in_a_row
from fitup.drawing.order import Chains

BETWEEN = 2
"""Free cells between two boxes."""
BESIDE = 1
"""Free cells beside a line."""


class Placing:
    """Columns being worked out for one ordered graph.

    `width[item]` is 1 for a stand-in. `left[item]` is the answer. `start[e][k]` and `end[e][k]` are the columns where
    step k of edge e leaves the upper and reaches the lower item.
    """

    def __init__(self, net: Chains, width: Sequence[int], room: int | None, apart: Sequence[int]) -> None:
        self.net = net
        self.width = list(width) + [1] * (len(net.level) - net.count)
        self.room = room
        self.apart = apart
        self.left = [0] * len(net.level)
        self.index = [0] * len(net.level)
        for row in net.rows:
            column = 0
            for at, item in enumerate(row):
                self.index[item] = at
                self.left[item] = column
                column += self.width[item] + self._gap(item, row[at + 1] if at + 1 < len(row) else item)
        self.start = [[0] * (len(items) - 1) for items in net.chain]
        self.end = [[0] * (len(items) - 1) for items in net.chain]
        self.leaving: list[list[tuple[int, int]]] = [[] for _ in net.level]
        self.coming: list[list[tuple[int, int]]] = [[] for _ in net.level]
        for edge, items in enumerate(net.chain):
            for step, (upper, lower) in enumerate(zip(items, items[1:], strict=False)):
                self.leaving[upper].append((edge, step))
                self.coming[lower].append((edge, step))

    def run(self, rounds: int = 4) -> None:
        """Place everything; the smallest column is 0."""
        self._spread_ports()
        height = len(self.net.rows)
        for turn in range(rounds):
            for at in range(height):
                self._place_row(at, up=True, down=turn > 0)
            for at in range(height - 1, -1, -1):
                self._place_row(at, up=turn > 0, down=True)
            self._set_ports(turn)
        self._set_ports(0)
        self._set_ports(1)
        least = min(self.left, default=0)
        if least and self.room is None:
            self.left = [column - least for column in self.left]
            for columns in (*self.start, *self.end):
                columns[:] = [column - least for column in columns]

    def _gap(self, item: int, after: int) -> int:
        count = self.net.count
        return BETWEEN if item < count and after < count else BESIDE

    def _spread_ports(self) -> None:
        for item in range(len(self.net.level)):
            for ends, lower in ((self._sorted(item, False), False), (self._sorted(item, True), True)):
                for rank, (edge, step) in enumerate(ends):
                    column = self.left[item] + self.width[item] * (2 * rank + 1) // (2 * len(ends))
                    (self.start if lower else self.end)[edge][step] = column

    def _sorted(self, item: int, lower: bool) -> list[tuple[int, int]]:
        """The edge steps at the lower or upper side of the item from left to right."""
        chain, index = self.net.chain, self.index
        if lower:
            return sorted(self.leaving[item], key=lambda end: (index[chain[end[0]][end[1] + 1]], end))
        return sorted(self.coming[item], key=lambda end: (index[chain[end[0]][end[1]]], end))

    def _place_row(self, at: int, up: bool, down: bool) -> None:
        row = self.net.rows[at]
        count, width = self.net.count, self.width
        wants: list[list[Want]] = []
        for item in row:
            here = self.left[item]
            thing: list[Want] = []
            if up:
                for edge, step in self.coming[item]:
                    heavy = 6 if item >= count and step > 0 else 2 if item >= count or step > 0 else 1
                    thing.append((self.start[edge][step] - (self.end[edge][step] - here), heavy))
            if down:
                for edge, step in self.leaving[item]:
                    far = step + 2 < len(self.net.chain[edge])
                    heavy = 6 if item >= count and far else 2 if item >= count or far else 1
                    thing.append((self.end[edge][step] - (self.start[edge][step] - here), heavy))
            wants.append(thing)
        steps = [width[item] + self._gap(item, after) for item, after in zip(row, row[1:], strict=False)]
        now = [self.left[item] for item in row]
        low, high = (None, None) if self.room is None else (0, self.room - width[row[-1]])
        for item, column in zip(row, in_a_row(wants, steps, low, high, now), strict=True):
            moved = column - self.left[item]
            if moved:
                self.left[item] = column
                for edge, step in self.coming[item]:
                    self.end[edge][step] += moved
                for edge, step in self.leaving[item]:
                    self.start[edge][step] += moved

    def _set_ports(self, turn: int) -> None:
        """Move the ends of edges along the boxes so that as many edges as can be are straight."""
        sides = (True, False) if turn % 2 == 0 else (False, True)
        for lower in sides:
            for item in range(self.net.count):
                ends = self._sorted(item, lower)
                if not ends:
                    continue
                own, other = (self.start, self.end) if lower else (self.end, self.start)
                low, high = self.left[item], self.left[item] + self.width[item] - 1
                apart = self._apart(ends, self.width[item], lower)
                middle = (low + high) // 2
                wants = [[(min(max(other[edge][step], low), high), 4), (middle, 1)] for edge, step in ends]
                now = [own[edge][step] for edge, step in ends]
                columns = in_a_row(wants, [apart] * (len(ends) - 1), low, high, now)
                for (edge, step), column in zip(ends, columns, strict=True):
                    own[edge][step] = column

    def _apart(self, ends: list[tuple[int, int]], width: int, lower: bool) -> int:
        """Distance between ends on one side: room for the words of the edges that come in, if the box is wide enough."""
        if len(ends) < 2:
            return 1
        most = (width - 1) // (len(ends) - 1)
        wish = 3 if lower else max(self.apart[edge] for edge, _ in ends)
        return max(1, min(most, wish))
