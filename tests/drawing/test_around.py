"""The neighbourhood of a task in a window."""

import random
from statistics import median

import pytest
from tests.bench.plans import plan

from fitup.drawing import ASCII, ROUND, Edge, Graph, Node, around, rows, text, whole
from fitup.drawing.cells import LEAST_LABEL, width

WORDS = ("after", "check", "cure 24 h", "supply")


def plan_graph(size: int, density: float, seed: int) -> Graph:
    total, edges = plan(size, density, seed)
    rng = random.Random(seed)
    parts = ("top skin", "flap rib 3", "spar web", "fuel sender bracket", "pushrod end", "hinge")
    nodes = tuple(
        Node(
            str(at),
            f"{rng.choice(('Drill', 'Deburr', 'Rivet'))} {rng.choice(parts)} {at}",
            "o",
            f"{rng.randrange(5, 240, 5)} min",
        )
        for at in range(total)
    )
    return Graph(nodes, tuple(Edge(str(a), str(b), rng.choice(WORDS), "?", rng.random() < 0.6) for a, b in edges))


def test_nearly_all_tasks_of_a_large_plan_show_all_their_neighbours_at_80_by_22() -> None:
    graph = plan_graph(2_000, 1.6, 1)
    picked = random.Random(7).sample(range(len(graph.nodes)), 60)
    drawings = [around(graph, str(at), 80, 22) for at in picked]
    assert all(drawing.width <= 80 and drawing.height <= 22 for drawing in drawings)
    assert sum(drawing.neighbours_cut == 0 for drawing in drawings) >= 0.95 * len(drawings)
    assert median(drawing.crossings for drawing in drawings) == 0


def test_labels_are_cut_to_no_fewer_than_twelve_cells() -> None:
    nodes = (
        Node("c", "the one in the middle of it all"),
        *(Node(str(at), "a label of many cells " * 3) for at in range(14)),
    )
    graph = Graph(nodes, tuple(Edge(str(at), "c", "after", "?") for at in range(14)))
    drawing = around(graph, "c", 80, 22)
    assert all(width(box.label) >= LEAST_LABEL for box in drawing.boxes)
    assert drawing.neighbours_cut == 0


def test_what_was_cut_off_is_counted_above_and_below() -> None:
    chain = Graph(
        tuple(Node(str(at), f"step {at}") for at in range(60)),
        tuple(Edge(str(at), str(at + 1), "after", "?") for at in range(59)),
    )
    drawing = around(chain, "30", 80, 22)
    shown = {int(box.node) for box in drawing.boxes}
    assert drawing.cut_above == min(shown)
    assert drawing.cut_below == 59 - max(shown)
    printed = text(drawing)
    assert printed[0].strip() == f"{drawing.cut_above} more above"
    assert printed[-1].strip() == f"{drawing.cut_below} more below"
    assert drawing.box_of[str(min(shown))].hidden_above == 1


def test_direct_neighbours_that_do_not_fit_are_counted() -> None:
    graph = Graph(
        (Node("c", "the centre"), *(Node(str(at), f"neighbour number {at}") for at in range(90))),
        tuple(Edge(str(at), "c", "after", "?", strong=at > 80) for at in range(90)),
    )
    drawing = around(graph, "c", 60, 12)
    assert drawing.neighbours_cut > 0
    assert len(drawing.boxes) + drawing.neighbours_cut == 91
    assert {"81", "89"} <= set(drawing.box_of)


@pytest.mark.parametrize("window", [(1, 1), (5, 2), (12, 3), (300, 80)])
def test_any_window_gets_a_drawing_with_the_task_in_it(window: tuple[int, int]) -> None:
    graph = plan_graph(60, 1.6, 2)
    drawing = around(graph, "30", *window)
    assert "30" in drawing.box_of
    assert len(text(drawing)) == drawing.height


def test_the_same_picture_twice_and_a_familiar_one_after_a_step() -> None:
    graph = plan_graph(300, 1.6, 1)
    first = around(graph, "120")
    assert around(graph, "120") == first
    again = around(graph, "120", before=first)
    assert again.crossings <= first.crossings
    with pytest.raises(KeyError):
        around(graph, "no such task")


def test_a_whole_drawing_started_from_an_earlier_one_never_gets_worse() -> None:
    graph = plan_graph(60, 1.6, 3)
    first = whole(graph)
    assert whole(graph) == first
    assert whole(graph, before=first, effort=0).crossings <= first.crossings


def test_a_whole_drawing_is_as_wide_as_asked_for_where_cutting_labels_can_do_it() -> None:
    fan = Graph(
        (Node("c", "what they all come together in"), *(Node(str(at), f"a rather long label {at}") for at in range(4))),
        tuple(Edge(str(at), "c", "after", "?") for at in range(4)),
    )
    free = whole(fan)
    assert whole(fan, width=free.width) == free
    narrow = whole(fan, width=70)
    assert narrow.width <= 70 < free.width
    assert all(width(box.label) >= LEAST_LABEL for box in narrow.boxes)
    assert {box.node for box in whole(fan, width=20).boxes} == {box.node for box in free.boxes}


def test_rows_are_as_wide_as_the_drawing_and_tell_whose_cell_it_is() -> None:
    graph = plan_graph(60, 1.3, 1)
    drawing = around(graph, "20")
    painted = rows(drawing, ROUND)
    assert {sum(width(run.text) for run in row) for row in painted} == {drawing.width}
    assert {run.node for row in painted for run in row} - {None} == {box.node for box in drawing.boxes}
    assert {run.edge for row in painted for run in row} - {None} == {line.edge for line in drawing.lines}
    assert all(
        (run.role in ("line", "faint", "sign", "word")) == (run.edge is not None) for row in painted for run in row
    )


def test_faint_and_strong_lines_differ_in_print_too() -> None:
    for strong, upright in ((True, "|"), (False, ":")):
        graph = Graph((Node("a", "above"), Node("b", "below")), (Edge("a", "b", strong=strong),))
        assert text(whole(graph), ASCII)[1].strip() == upright


def test_titles_from_anywhere_keep_the_columns_straight() -> None:
    wild = Node("a", "Gr\u00f6\u00dfe \u5de5\u5177 e\u0301\u200b\n\x1b[31mred", "o", "5 min")
    graph = Graph((wild, Node("b", "below", lines=("\u5de5\u5177 2", "1 held"))), (Edge("a", "b", "after", "?"),))
    drawing = whole(graph)
    for glyphs in (ROUND, ASCII):
        printed = text(drawing, glyphs)
        assert all(char.isprintable() for line in printed for char in line)
        assert max(map(width, printed)) <= drawing.width
    assert all(line.isascii() for line in text(drawing, ASCII))


def test_a_graph_says_what_is_wrong_with_it() -> None:
    one, other = Node("a", "a"), Node("b", "b")
    for nodes, edges in (((one, one), ()), ((one, other), (Edge("a", "a"),)), ((one,), (Edge("a", "b"),))):
        with pytest.raises(ValueError, match=r"same id|itself|unknown"):
            Graph(nodes, edges)


def test_nothing_at_all_is_an_empty_drawing() -> None:
    assert text(whole(Graph((), ()))) == []
