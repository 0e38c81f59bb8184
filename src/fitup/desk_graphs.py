"""The desk's side door to pictures: the project as graphs to draw, and as a graph file for other programs."""

from __future__ import annotations

from fitup.desk import Desk
from fitup.drawing import Drawing, Graph
from fitup.picture import Scene
from fitup.readiness import Readiness


def scene(desk: Desk, ascii_only: bool, readiness: Readiness | None = None) -> Scene:
    """Return what pictures are made from, as judged now or as given."""
    return Scene(desk.project, readiness or desk.readiness(), desk.remaining(), desk.chain().critical, ascii_only)


def task_graph(desk: Desk, ascii_only: bool = False, readiness: Readiness | None = None) -> Graph:
    """Return all tasks with their holds, to be drawn."""
    from fitup.picture import task_graph as make

    return make(scene(desk, ascii_only, readiness))


def assembly_graph(desk: Desk, ascii_only: bool = False, readiness: Readiness | None = None) -> Graph:
    """Return the assemblies with their counts, to be drawn."""
    from fitup.picture import assembly_graph as make

    return make(scene(desk, ascii_only, readiness))


def inside_graph(desk: Desk, assembly: str, ascii_only: bool = False, readiness: Readiness | None = None) -> Graph:
    """Return the tasks of one assembly with the holds among them, to be drawn."""
    from fitup.picture import inside_graph as make

    return make(scene(desk, ascii_only, readiness), assembly)


def overview(graph: Graph, width: int) -> Drawing:
    """Draw a whole graph, in `width` cells where cutting labels can do it."""
    from fitup.picture import overview as draw

    return draw(graph, width)


def dot_text(desk: Desk) -> str:
    """Return all tasks and holds of the project in the DOT language."""
    from fitup.files.dot import write_dot

    return write_dot(desk.project.plan)
