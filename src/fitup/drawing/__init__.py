"""Layered drawings of graphs in terminal cells: pure layout, no terminal, nothing of tasks.

`around` draws the neighbourhood of one node into a window, `whole` a whole graph; both return a `Drawing`, which `rows`
turns into runs for a screen and `text` into plain lines. `step` walks through a drawing.
"""

from fitup.drawing.around import around
from fitup.drawing.glyphs import ASCII, ROUND, SETS, SQUARE, Glyphs
from fitup.drawing.paint import Run, rows, text
from fitup.drawing.values import Box, Drawing, Edge, Graph, Line, Node, Note
from fitup.drawing.walk import Direction, neighbours, step
from fitup.drawing.whole import whole

__all__ = [
    "ASCII",
    "ROUND",
    "SETS",
    "SQUARE",
    "Box",
    "Direction",
    "Drawing",
    "Edge",
    "Glyphs",
    "Graph",
    "Line",
    "Node",
    "Note",
    "Run",
    "around",
    "neighbours",
    "rows",
    "step",
    "text",
    "whole",
]
