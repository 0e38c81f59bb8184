"""The neighbourhood of one node, laid out to fit a window: what it waits for above it, what waits for it below.

All direct neighbours come first, then as many levels as fit. What doesn't fit is counted.
"""

from collections import deque
from collections.abc import Sequence
from dataclasses import replace

from fitup.drawing import cells
from fitup.drawing.draft import Draft
from fitup.drawing.layout import Faces, Plan, face, faces_to_fit, ordered, row_width
from fitup.drawing.order import Chains, chains, crossings
from fitup.drawing.ranks import in_order
from fitup.drawing.values import Drawing, Graph, Note
from fitup.drawing.whole import earlier_order

FARTHEST = 12
"""Levels each way beyond which nothing is tried: no window shows more."""
EFFORT = 1_500


def around(graph: Graph, centre: str, width: int = 80, height: int = 22, before: Drawing | None = None) -> Drawing:
    """The node `centre` and what stands near it, in at most `width` by `height` cells.

    `before` is the drawing shown last: boxes that stay keep their order. Raises KeyError for an unknown node. A window
    too small for the node alone still gets the node.
    """
    return _Around(graph, graph.number[centre], width, height, before).best()


class _Around:
    def __init__(self, graph: Graph, centre: int, width: int, height: int, before: Drawing | None) -> None:
        self.graph = graph
        self.centre = centre
        self.width = width
        self.height = height
        self.before = before
        self.faces: Faces = {}
        self.above = self._distances(upwards=True)
        self.below = self._distances(upwards=False)
        for node in set(self.above) & set(self.below):
            del (self.above if self.above[node] > self.below[node] else self.below)[node]

    def best(self) -> Drawing:
        """The largest neighbourhood that fits: grown on both sides together, then on each side alone."""
        near = 1
        while near < FARTHEST and len(self._within(near + 1, near + 1)) <= self.height // 2:
            near += 1
        found = self._fitting(self._within(near, near))
        if found is None and near > 1:
            near = 1
            found = self._fitting(self._within(1, 1))
        if found is None:
            found = self._cut_short(self._within(1, 1))
            return self._noted(found, fits=found.height <= self.height)
        up = down = near
        for more_up, more_down in ((1, 1), (1, 0), (0, 1)):
            while max(up, down) < FARTHEST:
                members = self._within(up + more_up, down + more_down)
                if len(members) == len(found.plan.members):
                    break
                larger = self._fitting(members)
                if larger is None:
                    break
                found, up, down = larger, up + more_up, down + more_down
        return self._noted(found, fits=True)

    def _distances(self, upwards: bool) -> dict[int, int]:
        """Edges to each node that the centre waits for (or that waits for it)."""
        graph = self.graph
        lists, end = (graph.into, 0) if upwards else (graph.out_of, 1)
        ends = graph.ends
        away = {self.centre: 0}
        queue = deque([self.centre])
        while queue:
            node = queue.popleft()
            step = away[node] + 1
            for edge in lists[node]:
                other = ends[edge][end]
                if other not in away:
                    away[other] = step
                    queue.append(other)
        del away[self.centre]
        return away

    def _within(self, up: int, down: int) -> list[int]:
        above = [node for node, away in self.above.items() if away <= up]
        below = [node for node, away in self.below.items() if away <= down]
        return [self.centre, *above, *below]

    def _cut_short(self, members: list[int]) -> Draft:
        """As many direct neighbours as fit, those with strong edges first, in turn from above and below."""
        edges = self.graph.edges
        strong = {
            node
            for edge in (*self.graph.into[self.centre], *self.graph.out_of[self.centre])
            if edges[edge].strong
            for node in self.graph.ends[edge]
        }
        sides = [[node for node in members[1:] if node in side] for side in (self.above, self.below)]
        turns = sorted(
            (node not in strong, turn, side, node)
            for side, nodes in enumerate(sides)
            for turn, node in enumerate(nodes)
        )
        line = [node for *_, node in turns]
        low, high = 1, len(line) - 1
        best: Draft | None = None
        while low <= high:
            middle = (low + high) // 2
            draft = self._fitting([self.centre, *line[:middle]])
            if draft is None:
                high = middle - 1
            else:
                best, low = draft, middle + 1
        return best or self._fitting([self.centre]) or self._alone()

    def _alone(self) -> Draft:
        """The centre without anything, in a window that is too small even for it and a row of notes."""
        plan = Plan(self.graph, [self.centre], [0], [], [], [])
        net, _ = ordered(plan, 0)
        most = max(1, min(self.width - 2, cells.LEAST_LABEL))
        return Draft(plan, net, [face(self.graph, self.centre, most, False, 0)], None)

    def _fitting(self, members: list[int]) -> Draft | None:
        """The drawing of these nodes, or None where it doesn't fit."""
        room = self.height - sum(count > 0 for count in self._hidden(members))
        plan = self._plan(members)
        while True:
            if 2 * max(plan.level) + 1 > room:
                return None
            net = chains(plan.level, plan.ends)
            wide = self._too_wide(plan, net)
            if wide is None:
                break
            plan = replace(plan, level=self._split(plan, net, wide))
        net, _ = ordered(plan, EFFORT, earlier_order(plan, self.before) if self.before else None)
        faces = faces_to_fit(plan, net, self.width, self.faces)
        if faces is None:
            return None
        draft = Draft(plan, net, faces, self.width, rounds=3)
        return draft if draft.height <= room and draft.width <= self.width else None

    def _hidden(self, members: Sequence[int]) -> tuple[int, int]:
        """How many nodes above and below are not among the members."""
        above = sum(node in self.above for node in members)
        below = sum(node in self.below for node in members)
        return len(self.above) - above, len(self.below) - below

    def _noted(self, draft: Draft, fits: bool) -> Drawing:
        """The drawing with what was cut off counted, in a row of its own above and below."""
        members = draft.plan.members
        above, below = self._hidden(members)
        shown = set(members)
        drawing = draft.finish()
        drawing = replace(
            drawing,
            centre=self.graph.nodes[self.centre].id,
            cut_above=above,
            cut_below=below,
            neighbours_cut=sum(
                away == 1 and node not in shown for side in (self.above, self.below) for node, away in side.items()
            ),
            crossings=crossings(draft.net.rows, draft.net.down),
        )
        if not fits or drawing.height + (above > 0) + (below > 0) > self.height:
            return drawing
        if above:
            drawing = _lowered(drawing)
        height = drawing.height + (1 if below else 0)
        column = drawing.box_of[self.graph.nodes[self.centre].id].column
        notes = []
        for count, word, row in ((above, "above", 0), (below, "below", height - 1)):
            if count:
                text = cells.cut(f"{count} more {word}", self.width)
                notes.append(Note(row, max(0, min(column, self.width - len(text))), text))
        wide = max([drawing.width] + [note.column + len(note.text) for note in notes])
        return replace(drawing, width=wide, height=height, notes=tuple(notes))

    def _plan(self, members: list[int]) -> Plan:
        """Members with their levels: as near to the centre as the edges among them allow."""
        graph, place = self.graph, {node: at for at, node in enumerate(members)}
        edges = sorted({edge for node in members for edge in graph.into[node] if graph.ends[edge][0] in place})
        side = [0 if node == self.centre else -1 if node in self.above else 1 for node in members]
        ends: list[tuple[int, int]] = []
        upward: list[bool] = []
        rank = {at: (side[at], -self.above.get(node, 0) or self.below.get(node, 0)) for at, node in enumerate(members)}
        circular = _circular(edges, graph, place)
        for edge in edges:
            upper, lower = (place[node] for node in graph.ends[edge])
            turned = (circular and (rank[upper], upper) > (rank[lower], lower)) or side[upper] > side[lower]
            ends.append((lower, upper) if turned else (upper, lower))
            upward.append(turned)
        return Plan(graph, members, _levels(len(members), ends, side), edges, ends, upward)

    def _too_wide(self, plan: Plan, net: Chains) -> int | None:
        ports = plan.ports()
        graph = plan.graph
        least = []
        for at, index in enumerate(plan.members):
            node = graph.nodes[index]
            wide = min(cells.LEAST_LABEL, cells.width(cells.clean(node.label))) + (2 if node.mark else 0)
            if node.lines:
                wide = max(wide, *(cells.width(line) for line in node.lines)) + 4
            least.append(max(wide, 2 * ports[at] - 1))
        for level, row in enumerate(net.rows):
            nodes = sum(item < net.count for item in row)
            if nodes > 1 and row_width(net, row, least) + nodes > self.width:
                return level
        return None

    def _split(self, plan: Plan, net: Chains, wide: int) -> list[int]:
        """Levels after the nodes of a level that is too wide are shared between it and a new one outside it."""
        nodes = [item for item in net.rows[wide] if item < net.count]
        upper = plan.level[0] >= wide
        ties = [len(net.up[item]) - len(net.down[item]) for item in nodes]
        order = sorted(range(len(nodes)), key=lambda at: ties[at] if upper else -ties[at])
        moved = {nodes[at] for at in order[: len(nodes) // 2]} - {0}
        answer = []
        for item, level in enumerate(plan.level):
            if upper:
                answer.append(level + (level > wide or (level == wide and item not in moved)))
            else:
                answer.append(level + (level > wide or (level == wide and item in moved)))
        return answer


def _lowered(drawing: Drawing) -> Drawing:
    """The drawing with an empty row at its top."""
    boxes = tuple(replace(box, row=box.row + 1) for box in drawing.boxes)
    lines = tuple(
        replace(
            line,
            points=tuple((row + 1, column) for row, column in line.points),
            sign=None if line.sign is None else (line.sign[0] + 1, line.sign[1]),
        )
        for line in drawing.lines
    )
    return replace(drawing, height=drawing.height + 1, boxes=boxes, lines=lines)


def _circular(edges: Sequence[int], graph: Graph, place: dict[int, int]) -> bool:
    order = in_order(len(place), [(place[graph.ends[edge][0]], place[graph.ends[edge][1]]) for edge in edges])
    return len(order) < len(place)


def _levels(count: int, ends: Sequence[tuple[int, int]], side: Sequence[int]) -> list[int]:
    """Levels with the top at 0: each node above the centre as low as it may be, each below as high as it may be."""
    order = in_order(count, ends)
    level = [0] * count
    up: list[list[int]] = [[] for _ in range(count)]
    down: list[list[int]] = [[] for _ in range(count)]
    for upper, lower in ends:
        down[upper].append(lower)
        up[lower].append(upper)
    for item in reversed(order):
        if side[item] < 0:
            level[item] = min([level[other] for other in down[item]] + [0]) - 1
    for item in order:
        if side[item] > 0:
            level[item] = max([level[other] for other in up[item]] + [0]) + 1
    top = min(level, default=0)
    return [at - top for at in level]
