"""A drawing in the making: columns, rows and lines of an ordered graph.

Its size is known before any box or word is set, so that a neighbourhood that turns out too large costs little.
"""

from collections.abc import Sequence

from fitup.drawing import cells
from fitup.drawing.layout import Face, Plan
from fitup.drawing.order import Chains
from fitup.drawing.place import Placing
from fitup.drawing.route import gap
from fitup.drawing.values import Box, Drawing, Line
from fitup.drawing.words import signed

Stretches = dict[tuple[int, int], list[tuple[int, int]]]
"""For (edge, step): the sideways stretches in that gap as (row, column they end in)."""


class Draft:
    """Geometry of an ordered graph (`net.rows` is final); `width` and `height` are the size of the drawing."""

    def __init__(self, plan: Plan, net: Chains, faces: Sequence[Face], room: int | None, rounds: int = 4) -> None:
        self.plan = plan
        self.net = net
        self.faces = faces
        self.room = room
        apart = [cells.width(plan.graph.edges[index].word) + 3 for index in plan.edges]
        self.placing = Placing(net, [face.width for face in faces], room, apart)
        self.placing.run(rounds)
        self.stretches: Stretches = {}
        sideways = self._route()
        takeoffs, landings = self._extra_rows()
        self.tops: list[int] = []
        self.first_rows: list[int] = []
        at = 0
        for level, row in enumerate(net.rows):
            self.tops.append(at)
            at += max((faces[item].height for item in row if item < net.count), default=1)
            if level < len(net.rows) - 1:
                self.first_rows.append(at + takeoffs[level])
                at += max(1, takeoffs[level] + sideways[level] + landings[level])
        self.height = at
        boxes = [self.placing.left[item] + face.width for item, face in enumerate(faces)]
        bends = [column + 1 for parts in self.stretches.values() for _, column in parts]
        self.width = max(boxes + bends, default=0)

    def finish(self) -> Drawing:
        """The drawing with its boxes, lines and words."""
        plan, placing = self.plan, self.placing
        hidden = self._hidden()
        nodes = [plan.graph.nodes[number].id for number in plan.members]
        boxes = sorted(
            (
                Box(
                    nodes[item],
                    plan.level[item],
                    self.tops[plan.level[item]],
                    placing.left[item],
                    face.width,
                    face.height,
                    face.mark,
                    face.label,
                    face.tail,
                    face.lines,
                    *hidden[item],
                )
                for item, face in enumerate(self.faces)
            ),
            key=lambda box: (box.row, box.column),
        )
        lines = []
        for at, index in enumerate(plan.edges):
            edge, (upper, lower) = plan.graph.edges[index], plan.ends[at]
            mark, word = cells.clean(edge.mark)[:1], cells.clean(edge.word)
            lines.append(
                Line(
                    index,
                    nodes[upper],
                    nodes[lower],
                    self._points(at),
                    edge.strong,
                    plan.upward[at],
                    mark if cells.width(mark) == 1 else "",
                    word,
                )
            )
        reach = self.width if self.room is None else max(self.width, self.room)
        signs = signed(boxes, lines, reach)
        words = [line.word_column + cells.width(line.word) for line in signs if line.word_column is not None]
        return Drawing(max([self.width, *words]), self.height, tuple(boxes), signs)

    def _route(self) -> list[int]:
        """Fill `stretches`; returns the sideways rows that each gap needs."""
        net, placing = self.net, self.placing
        steps: list[list[tuple[int, int]]] = [[] for _ in net.rows]
        for edge, items in enumerate(net.chain):
            for step, upper in enumerate(items[:-1]):
                steps[net.level[upper]].append((edge, step))
        needed = []
        for inside in steps:
            rows, parts = gap(
                [placing.start[edge][step] for edge, step in inside], [placing.end[edge][step] for edge, step in inside]
            )
            self.stretches.update(zip(inside, parts, strict=True))
            needed.append(rows)
        return needed

    def _extra_rows(self) -> tuple[list[int], list[int]]:
        """Rows without sideways lines: under a level for the heads of upward edges, over a level for marks."""
        plan = self.plan
        takeoffs, landings = [0] * len(self.net.rows), [0] * len(self.net.rows)
        for at, index in enumerate(plan.edges):
            upper, lower = plan.ends[at]
            edge = plan.graph.edges[index]
            if plan.upward[at]:
                takeoffs[plan.level[upper]] = 1
            if edge.mark or edge.word:
                landings[plan.level[lower] - 1] = 1
        return takeoffs, landings

    def _hidden(self) -> list[tuple[int, int]]:
        """For each member the edges that lead out of the drawing: (upwards, downwards)."""
        plan = self.plan
        hidden = [[len(plan.graph.into[number]), len(plan.graph.out_of[number])] for number in plan.members]
        for (upper, lower), turned in zip(plan.ends, plan.upward, strict=True):
            hidden[upper][0 if turned else 1] -= 1
            hidden[lower][1 if turned else 0] -= 1
        return [(above, below) for above, below in hidden]

    def _points(self, at: int) -> tuple[tuple[int, int], ...]:
        """Corner points of an edge from under its upper box to over its lower one."""
        net = self.net
        items = net.chain[at]
        upper, lower = items[0], items[-1]
        column = self.placing.start[at][0]
        points = [(self.tops[net.level[upper]] + self.faces[upper].height, column)]
        for step, item in enumerate(items[:-1]):
            for row, to in self.stretches[at, step]:
                turn = self.first_rows[net.level[item]] + row
                points += [(turn, column), (turn, to)]
                column = to
        points.append((self.tops[net.level[lower]] - 1, column))
        kept = [point for index, point in enumerate(points) if index == 0 or point != points[index - 1]]
        return tuple(kept if len(kept) > 1 else kept * 2)
