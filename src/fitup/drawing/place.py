"""Columns of boxes and of the stand-ins of long edges, and the ends of edges along each box.

Every edge gets an end (a port) of its own on each box, so that no two edges ever run into one another.
"""

from collections.abc import Sequence
from itertools import pairwise

from fitup.drawing.fit import Want, in_a_row
from fitup.drawing.order import Chains

BETWEEN = 2
"""Free cells between two boxes."""
BESIDE = 1
"""Free cells beside a line."""


End = tuple[int, int, int, int]
"""One end of a step of an edge: (place on its level of the item at the other end, edge, step, how much it pulls)."""


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
        self.steps: list[list[int]] = []
        for row in net.rows:
            column = 0
            self.steps.append([self.width[item] + self._gap(item, after) for item, after in pairwise(row)])
            for at, item in enumerate(row):
                self.index[item] = at
                self.left[item] = column
                column += self.width[item] + self._gap(item, row[at + 1] if at + 1 < len(row) else item)
        self.start = [[0] * (len(items) - 1) for items in net.chain]
        self.end = [[0] * (len(items) - 1) for items in net.chain]
        self.leaving: list[list[End]] = [[] for _ in net.level]
        self.coming: list[list[End]] = [[] for _ in net.level]
        for edge, items in enumerate(net.chain):
            for step, (upper, lower) in enumerate(pairwise(items)):
                weight = (1, 2, 6)[(upper >= net.count) + (lower >= net.count)]
                self.leaving[upper].append((self.index[lower], edge, step, weight))
                self.coming[lower].append((self.index[upper], edge, step, weight))
        for ends in (*self.leaving, *self.coming):
            ends.sort()

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
            for ends, own in ((self.coming[item], self.end), (self.leaving[item], self.start)):
                for rank, (_, edge, step, _) in enumerate(ends):
                    own[edge][step] = self.left[item] + self.width[item] * (2 * rank + 1) // (2 * len(ends))

    def _place_row(self, at: int, up: bool, down: bool) -> None:
        row = self.net.rows[at]
        start, end, left = self.start, self.end, self.left
        wants: list[list[Want]] = []
        for item in row:
            here = left[item]
            thing = (
                [(start[edge][step] - end[edge][step] + here, weight) for _, edge, step, weight in self.coming[item]]
                if up
                else []
            )
            if down:
                thing += [
                    (end[edge][step] - start[edge][step] + here, weight) for _, edge, step, weight in self.leaving[item]
                ]
            wants.append(thing)
        low, high = (None, None) if self.room is None else (0, self.room - self.width[row[-1]])
        now = [left[item] for item in row]
        columns = in_a_row(wants, self.steps[at], low, high, now)
        for item, column, was in zip(row, columns, now, strict=True):
            if column != was:
                left[item] = column
                for _, edge, step, _ in self.coming[item]:
                    end[edge][step] += column - was
                for _, edge, step, _ in self.leaving[item]:
                    start[edge][step] += column - was

    def _set_ports(self, turn: int) -> None:
        """Move the ends of edges along the boxes so that as many edges as can be are straight."""
        for lower in (True, False) if turn % 2 == 0 else (False, True):
            own, other = (self.start, self.end) if lower else (self.end, self.start)
            for item, ends in enumerate((self.leaving if lower else self.coming)[: self.net.count]):
                low, high = self.left[item], self.left[item] + self.width[item] - 1
                if len(ends) == 1:
                    _, edge, step, _ = ends[0]
                    own[edge][step] = min(max(other[edge][step], low), high)
                elif ends:
                    apart = self._apart(ends, self.width[item], lower)
                    middle = ((low + high) // 2, 1)
                    wants = [[(min(max(other[edge][step], low), high), 4), middle] for _, edge, step, _ in ends]
                    now = [own[edge][step] for _, edge, step, _ in ends]
                    columns = in_a_row(wants, [apart] * (len(ends) - 1), low, high, now)
                    for (_, edge, step, _), column in zip(ends, columns, strict=True):
                        own[edge][step] = column

    def _apart(self, ends: list[End], width: int, lower: bool) -> int:
        """Distance between ends on one side: room for the words of the edges that come in, if there is any."""
        most = (width - 1) // (len(ends) - 1)
        wish = 3 if lower else max(self.apart[edge] for _, edge, _, _ in ends)
        return max(1, min(most, wish))
