"""Walking through a drawing with the arrow keys."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.drawing import Drawing, Edge, Graph, Node, around, neighbours, step, whole


def drawn() -> Drawing:
    names = ["order", "cut", "drill", "deburr", "prime", "rivet"]
    pairs = [
        ("order", "cut"),
        ("cut", "drill"),
        ("cut", "deburr"),
        ("cut", "prime"),
        ("drill", "rivet"),
        ("deburr", "rivet"),
        ("prime", "rivet"),
    ]
    graph = Graph(tuple(Node(name, name) for name in names), tuple(Edge(*pair) for pair in pairs))
    return whole(graph)


def test_down_and_up_follow_edges_and_go_back_the_way_one_came() -> None:
    drawing = drawn()
    assert step(drawing, "order", "down") == "cut"
    for side in ("drill", "deburr", "prime"):
        assert step(drawing, side, "down") == "rivet"
        assert step(drawing, "rivet", "up", came_from=side) == side
        assert step(drawing, "cut", "down", came_from=side) == side


def test_without_a_way_back_the_straightest_edge_is_taken() -> None:
    drawing = drawn()
    middle = sorted(["drill", "deburr", "prime"], key=lambda name: drawing.box_of[name].column)[1]
    assert step(drawing, "cut", "down") == middle
    assert step(drawing, "cut", "down", came_from="order") == middle


def test_left_and_right_stay_on_the_level_and_end_at_its_ends() -> None:
    drawing = drawn()
    level = sorted(["drill", "deburr", "prime"], key=lambda name: drawing.box_of[name].column)
    assert step(drawing, level[0], "left") is None
    assert step(drawing, level[0], "right") == level[1]
    assert step(drawing, level[2], "left") == level[1]
    assert step(drawing, level[2], "right") is None


def test_there_is_no_way_out_of_the_top_and_the_bottom() -> None:
    drawing = drawn()
    assert step(drawing, "order", "up") is None
    assert step(drawing, "rivet", "down") is None
    with pytest.raises(KeyError):
        step(drawing, "paint", "up")


def test_neighbours_are_listed_from_left_to_right() -> None:
    drawing = drawn()
    above, below = neighbours(drawing, "cut")
    assert above == ("order",)
    assert [drawing.box_of[name].column for name in below] == sorted(drawing.box_of[name].column for name in below)
    assert set(below) == {"drill", "deburr", "prime"}


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=1, max_size=16), st.integers(0, 9))
def test_up_undoes_down(pairs: list[tuple[int, int]], start: int) -> None:
    edges = tuple(Edge(str(min(pair)), str(max(pair))) for pair in pairs if pair[0] != pair[1])
    drawing = around(Graph(tuple(Node(str(at), f"task {at}") for at in range(10)), edges), str(start))
    for box in drawing.boxes:
        down = step(drawing, box.node, "down")
        if down is not None:
            assert step(drawing, down, "up", came_from=box.node) == box.node
