"""A drawing is right when its characters can be read back into exactly the graph that was drawn."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawing.reading import Unreadable, counted, read

from fitup.drawing import ASCII, ROUND, SETS, SQUARE, Edge, Glyphs, Graph, Node, around, text, whole

MARKS = "?!*"
KINDS = (("?", "after"), ("!", "check"), ("*", "cure 24 h"), ("", "leave-off"), ("?", ""), ("", ""))


@st.composite
def graphs(draw: st.DrawFn, circles: bool = False) -> Graph:
    """Up to 16 boxes with short or long labels and up to 30 edges, some of them between the same two boxes."""
    size = draw(st.integers(1, 16))
    tails = draw(st.lists(st.sampled_from(["", "a longer label that is cut", "rib"]), min_size=size, max_size=size))
    nodes = tuple(Node(str(at), f"<{at} {tail}>" if tail else f"<{at}>") for at, tail in enumerate(tails))
    edges = []
    if size > 1:
        for one, other in draw(st.lists(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)), max_size=30)):
            if one != other:
                above, below = (one, other) if circles else (min(one, other), max(one, other))
                mark, word = draw(st.sampled_from(KINDS))
                edges.append(Edge(str(above), str(below), word, mark, draw(st.booleans())))
    return Graph(nodes, tuple(edges))


def ends(graph: Graph) -> list[tuple[int, int]]:
    return [(int(edge.above), int(edge.below)) for edge in graph.edges]


@settings(max_examples=150, deadline=None)
@given(graphs(), st.sampled_from([None, 120, 60, 30]))
def test_a_whole_drawing_reads_back_as_its_graph_in_every_glyph_set(graph: Graph, width: int | None) -> None:
    drawing = whole(graph, effort=3_000, width=width)
    for glyphs in SETS:
        assert read(text(drawing, glyphs), glyphs, MARKS) == counted(ends(graph))


@settings(max_examples=80, deadline=None)
@given(graphs(circles=True))
def test_edges_of_a_circle_read_back_by_their_heads(graph: Graph) -> None:
    drawing = whole(graph, effort=3_000)
    for glyphs in SETS:
        assert read(text(drawing, glyphs), glyphs, MARKS) == counted(ends(graph))


@settings(max_examples=120, deadline=None)
@given(graphs(circles=True), st.integers(0, 15), st.sampled_from([(80, 22), (60, 18), (120, 40), (40, 10)]))
def test_a_neighbourhood_fits_and_reads_back_as_the_edges_between_its_boxes(
    graph: Graph, pick: int, window: tuple[int, int]
) -> None:
    centre = str(pick % len(graph.nodes))
    drawing = around(graph, centre, *window)
    assert drawing.width <= window[0]
    assert drawing.height <= window[1]
    shown = {box.node for box in drawing.boxes}
    assert centre in shown
    expected = counted(pair for pair in ends(graph) if {str(pair[0]), str(pair[1])} <= shown)
    for glyphs in SETS:
        assert read(text(drawing, glyphs), glyphs, MARKS) == expected


@pytest.mark.parametrize("glyphs", SETS, ids=lambda glyphs: glyphs.name)
def test_every_pair_of_two_levels_of_four_can_be_told_apart(glyphs: Glyphs) -> None:
    nodes = tuple(Node(str(at), f"<{at}>") for at in range(8))
    graph = Graph(nodes, tuple(Edge(str(a), str(b)) for a in range(4) for b in range(4, 8)))
    assert read(text(whole(graph), glyphs), glyphs, MARKS) == counted(ends(graph))


def test_the_reader_refuses_a_merged_line() -> None:
    merged = ["<0>  <1>", " |   |", " '---+", "     |", "    <2>"]
    with pytest.raises(Unreadable):
        read(merged, ASCII, MARKS)


def test_the_reader_refuses_a_corner_that_may_go_either_way() -> None:
    doubtful = ["<0>  <1>", " '-..-'", "   ||", "  <2> <3>"]
    with pytest.raises(Unreadable):
        read(doubtful, ASCII, MARKS)


def test_the_reader_reads_a_crossing_as_straight_on_both_ways() -> None:
    crossed = [
        "<0> <1>",
        " \u2502   \u2502",
        " \u2570\u2500\u2500\u2500\u253c\u2500\u256e",
        "     \u2502 \u2502",
        "    <2> <3>",
    ]
    with pytest.raises(Unreadable):
        read(crossed, ROUND, MARKS)
    crossed[2:4] = [" \u2570\u2500\u2500\u2500\u253c\u2500\u2500\u256e", "     \u2502  \u2502"]
    assert read(crossed, ROUND, MARKS) == counted([(0, 3), (1, 2)])


def test_glyph_sets_do_not_share_a_meaning_between_characters() -> None:
    for glyphs in (ROUND, SQUARE):
        used = [*glyphs.strong, *glyphs.faint, *glyphs.corners, glyphs.cross, glyphs.head]
        assert len(set(used)) == len(used)
    used = [*ASCII.strong, *ASCII.faint, ASCII.cross, ASCII.head, ".", "'", ASCII.fill]
    assert len(set(used)) == len(used)
    assert "".join(used).isascii()
