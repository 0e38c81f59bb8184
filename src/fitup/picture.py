"""The project as graphs to draw: tasks with their holds, the assemblies, and one assembly from inside.

Says what stands in the boxes and at the edges; where they go is `drawing`'s. Every hold with a task at its other end is
an edge. What holds a task from outside the plan (supply, sign-off, stop, a running cure) hangs on the task itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime

from fitup.drawing import Drawing, Edge, Graph, Node, whole
from fitup.model.amounts import day_clock, stretch
from fitup.model.holds import hold_book
from fitup.model.marks import HOLDS, STATES
from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.readiness import HoldState, Readiness

ON_CHAIN = "*"
"""Stands behind the state's mark of a task on the critical chain."""


@dataclass(frozen=True)
class Scene:
    """What the pictures are made from; `remaining` in minutes, `critical` the tasks of the critical chain."""

    project: Project
    readiness: Readiness
    remaining: Mapping[str, float]
    critical: Set[str]
    ascii_only: bool = False


def task_graph(scene: Scene) -> Graph:
    """Return all tasks with all their holds, in plan order."""
    tasks = scene.project.plan.tasks
    return Graph(tuple(_task_node(scene, task) for task in tasks), tuple(_edges(scene, tasks)))


def inside_graph(scene: Scene, assembly: str) -> Graph:
    """Return the tasks of one assembly and the holds among them; those from elsewhere are counted in the box.

    Plain order and "before closing" that other holds imply is left out, since the drawing drowns in it.
    """
    tasks = [task for task in scene.project.plan.tasks if task.assembly == assembly]
    own = {task.id for task in tasks}
    nodes = []
    for task in tasks:
        standing = scene.readiness.standing(task.id) if scene.readiness.states[task.id] != "done" else ()
        foreign = sum(hold.hold.until is not None and hold.hold.until not in own for hold in standing)
        nodes.append(_task_node(scene, task, f"{foreign} from elsewhere" if foreign else ""))
    edges = [edge for edge in _edges(scene, tasks) if edge.above in own]
    spare = _implied(scene, tasks, edges)
    plain = {HOLDS[kind].shown(scene.ascii_only) for kind in ("after", "access")}
    kept = (edge for edge in edges if edge.mark not in plain or (edge.above, edge.below) not in spare)
    return Graph(tuple(nodes), tuple(kept))


def _implied(scene: Scene, tasks: Sequence[Task], edges: Sequence[Edge]) -> set[tuple[str, str]]:
    """Return the pairs of tasks with an edge that a longer way through other tasks leads along too."""
    above: dict[str, set[str]] = {task.id: set() for task in tasks}
    for edge in edges:
        above[edge.below].add(edge.above)
    bit = {task.id: 1 << at for at, task in enumerate(tasks)}
    reach: dict[str, int] = {}
    spare: set[tuple[str, str]] = set()
    for task in (name for name in hold_book(scene.project.plan).order if name in bit):
        longer = 0
        for upper in above[task]:
            longer |= reach[upper]
        spare |= {(upper, task) for upper in above[task] if longer & bit[upper]}
        reach[task] = longer
        for upper in above[task]:
            reach[task] |= bit[upper]
    return spare


def assembly_graph(scene: Scene) -> Graph:
    """Return the assemblies, each with its counts and hours left, and how many holds lead from one to another."""
    tasks = scene.project.plan.tasks
    titles = {assembly.id: assembly.title for assembly in scene.project.plan.assemblies}
    members: dict[str, list[Task]] = {assembly: [] for assembly in titles}
    for task in tasks:
        members.setdefault(task.assembly, []).append(task)
    nodes = tuple(_assembly_node(scene, name, titles.get(name, name), found) for name, found in members.items())
    return Graph(nodes, tuple(_joints(scene)))


def overview(graph: Graph, width: int) -> Drawing:
    """Draw a whole graph in at most `width` cells where cutting labels, to no fewer than 12 cells, can do it."""
    return whole(graph, width=width)


def _task_node(scene: Scene, task: Task, more: str = "") -> Node:
    state = scene.readiness.states[task.id]
    mark = STATES[state].shown(scene.ascii_only)
    if state == "done":
        return Node(task.id, task.title or task.id, mark)
    if task.id in scene.critical:
        mark += ON_CHAIN
    left = scene.remaining.get(task.id, 0.0)
    tail = [stretch(left)] if left else []
    tail += dict.fromkeys(_outside(scene, scene.readiness.standing(task.id)))
    return Node(task.id, task.title or task.id, mark, ", ".join([*tail, more] if more else tail))


def _outside(scene: Scene, holds: Sequence[HoldState]) -> Iterator[str]:
    """Yield what holds a task from outside the plan: mark and word, or mark and end of a running cure."""
    for hold in holds:
        mark = HOLDS[hold.kind]
        if hold.hold.until is None:
            yield f"{mark.shown(scene.ascii_only)} {mark.word}"
        elif hold.kind == "cure" and isinstance(hold.expected, datetime):
            yield f"{mark.shown(scene.ascii_only)} {day_clock(hold.expected, scene.readiness.now)}"


def _edges(scene: Scene, tasks: Sequence[Task]) -> Iterator[Edge]:
    """Yield every hold that another task lifts."""
    for task in tasks:
        for hold in scene.readiness.holds[task.id]:
            until = hold.hold.until
            if until is not None and until != task.id:
                mark = HOLDS[hold.kind]
                word = "waived" if hold.state == "waived" else "after" if hold.kind == "after" else mark.word
                yield Edge(until, task.id, word, mark.shown(scene.ascii_only), hold.state == "standing")


def _assembly_node(scene: Scene, name: str, title: str, tasks: Sequence[Task]) -> Node:
    states = [scene.readiness.states[task.id] for task in tasks]
    done, held = states.count("done"), states.count("held")
    under_way, ready = states.count("under way"), states.count("ready")
    state = "done" if done == len(states) else "under way" if under_way else "ready" if ready else "held"
    mark = STATES[state].shown(scene.ascii_only)
    if any(task.id in scene.critical and scene.readiness.states[task.id] != "done" for task in tasks):
        mark += ON_CHAIN
    left = sum(scene.remaining.get(task.id, 0.0) for task in tasks)
    lines = [f"{done} done, {ready} ready", f"{held} held, " + (f"{stretch(left)} left" if left else "nothing left")]
    lines += [f"{under_way} under way"] if under_way else []
    return Node(name, title or name, mark, "", tuple(lines))


def _joints(scene: Scene) -> Iterator[Edge]:
    """Yield one edge for each pair of assemblies with holds from the one to the other."""
    plan = scene.project.plan
    counts: dict[tuple[str, str], list[int]] = {}
    for task in plan.tasks:
        for hold in scene.readiness.holds[task.id]:
            until = hold.hold.until
            if until is None or plan.task[until].assembly == task.assembly:
                continue
            count = counts.setdefault((plan.task[until].assembly, task.assembly), [0, 0])
            count[0] += 1
            count[1] += hold.state == "standing"
    for (above, below), (total, standing) in counts.items():
        word = f"{standing} of {total} stand{'s' if standing == 1 else ''}" if standing else f"{total} lifted"
        yield Edge(above, below, word, HOLDS["after"].shown(scene.ascii_only), standing > 0)
