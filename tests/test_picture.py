"""The project as graphs: every hold an edge or a word in the box, counts of assemblies, nothing implied drawn twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import networkx as nx
import pytest
from tests.shop_floor import PLAN, Wall, open_desk

from fitup import desk_graphs
from fitup.desk import Desk
from fitup.drawing import Graph, text
from fitup.model.asks import AskMeasure, AskTick, AskWaive
from fitup.model.marks import HOLDS

TWO = PLAN.replace('assembly = "tab"\nwork = "fit"', 'assembly = "fin"\nwork = "fit"').replace(
    "[[bay]]", '[[assembly]]\nid = "fin"\ntitle = "Fin"\n\n[[bay]]', 1
)


@pytest.fixture
def wall() -> Wall:
    return Wall()


@pytest.fixture
def desk(tmp_path: Path, wall: Wall) -> Iterator[Desk]:
    desk = open_desk(tmp_path, wall, TWO)
    yield desk
    desk.close()


def edges_of(graph: Graph) -> dict[tuple[str, str, str], bool]:
    return {(edge.above, edge.below, edge.word): edge.strong for edge in graph.edges}


def test_every_hold_with_a_task_at_its_other_end_is_an_edge(desk: Desk) -> None:
    graph = desk_graphs.task_graph(desk)
    holds = [hold for found in desk.readiness().holds.values() for hold in found]
    drawn = Counter((edge.above, edge.below, edge.mark) for edge in graph.edges)
    assert drawn == Counter((h.hold.until, h.task, HOLDS[h.kind].glyph) for h in holds if h.hold.until is not None)
    assert [node.id for node in graph.nodes] == [task.id for task in desk.project.plan.tasks]


def test_holds_from_outside_the_plan_hang_on_their_task(desk: Desk) -> None:
    tails = {node.id: node.tail for node in desk_graphs.task_graph(desk).nodes}
    assert "+ missing" in tails["nutplates"]
    assert tails["hinge"].endswith("§ sign-off, ! stop")
    assert tails["glue-rib"] == "15 min"


def test_a_running_cure_tells_when_it_ends_in_the_box_and_stands_at_its_edge(desk: Desk, wall: Wall) -> None:
    desk.do(AskTick("glue-rib"))
    wall.pass_hours(0.5)
    graph = desk_graphs.task_graph(desk)
    assert "◌ 21:00" in graph.nodes[graph.number["rivet"]].tail
    assert edges_of(graph)["glue-rib", "rivet", "cure"] is True
    assert edges_of(graph)["glue-rib", "rivet", "before closing"] is False
    wall.pass_hours(12)
    later = desk_graphs.task_graph(desk)
    assert "◌" not in later.nodes[later.number["rivet"]].tail
    assert edges_of(later)["glue-rib", "rivet", "cure"] is False


def test_what_is_lifted_is_faint_and_what_is_waived_says_so(desk: Desk) -> None:
    assert edges_of(desk_graphs.task_graph(desk))["cleco", "twist", "after"] is True
    desk.do(AskTick("cleco"))
    desk.do(AskMeasure("twist", desk.parse_readings("twist", ["root=1/1", "tip=1/1"])))
    desk.do(AskWaive("hinge", "leave-off", until="nutplates", why="the bracket is drilled"))
    edges = edges_of(desk_graphs.task_graph(desk))
    assert edges["cleco", "twist", "after"] is False
    assert edges["twist", "rivet", "check"] is False
    assert edges["nutplates", "hinge", "waived"] is False


def test_the_critical_chain_is_marked_beside_the_state(desk: Desk) -> None:
    marks = {node.id: node.mark for node in desk_graphs.task_graph(desk, ascii_only=True).nodes}
    critical = desk.chain().critical
    assert critical
    assert {task for task, mark in marks.items() if mark.endswith("*")} == set(critical)
    assert marks["cleco"].startswith("o")
    assert marks["hinge"].startswith("#")


def test_each_assembly_is_a_box_with_its_counts_and_hours(desk: Desk) -> None:
    desk.do(AskTick("cleco", 4))
    desk.do(AskTick("mix"))
    graph = desk_graphs.assembly_graph(desk)
    tab = graph.nodes[graph.number["tab"]]
    states = Counter(desk.readiness().states[t.id] for t in desk.project.plan.tasks if t.assembly == "tab")
    assert tab.lines[0] == f"{states['done']} done, {states['ready']} ready"
    assert tab.lines[1].startswith(f"{states['held']} held, ")
    assert tab.lines[2] == "1 under way"
    assert [(e.above, e.below, e.word, e.strong) for e in graph.edges] == [("tab", "fin", "2 of 2 stand", True)]


def test_an_assembly_from_inside_leaves_out_only_what_other_holds_imply(desk: Desk) -> None:
    full = nx.DiGraph(
        (e.above, e.below) for e in desk_graphs.task_graph(desk).edges if e.above != "hinge" and e.below != "hinge"
    )
    inside = desk_graphs.inside_graph(desk, "tab")
    drawn = nx.DiGraph((edge.above, edge.below) for edge in inside.edges)
    assert nx.transitive_closure(drawn).edges == nx.transitive_closure(full).edges
    assert {node.id for node in inside.nodes} == {t.id for t in desk.project.plan.tasks if t.assembly == "tab"}
    fin = desk_graphs.inside_graph(desk, "fin").nodes[0]
    assert fin.tail.endswith("2 from elsewhere")


def test_the_overview_is_cut_to_the_width_with_titles_of_twelve_cells_at_least(tmp_path: Path) -> None:
    long = TWO.replace('title = "Fin"', 'title = "Fin with a title that nobody would fit on a label of any kind"')
    desk = open_desk(tmp_path, Wall(), long)
    graph = desk_graphs.assembly_graph(desk)
    wide = desk_graphs.overview(graph, 200)
    assert max(map(len, text(wide))) <= 200
    narrow = desk_graphs.overview(graph, 40)
    assert max(map(len, text(narrow))) <= 40
    assert any("Fin with a" in line for line in text(narrow))
    least = desk_graphs.overview(graph, 1)
    assert all(len(box.label) >= 8 for box in least.boxes)
    desk.close()
