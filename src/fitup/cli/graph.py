"""The drawing as plain text: the assemblies, or one task with what it waits for and what waits for it."""

from __future__ import annotations

import os
import sys
from argparse import Namespace

from fitup import desk_graphs
from fitup.cli.answer import Answer
from fitup.cli.values import parse_whole
from fitup.desk import Desk
from fitup.drawing import ASCII, ROUND, Drawing, Graph, around, text
from fitup.model.marks import HOLDS, STATES
from fitup.model.refusal import Refused

LEAST, MOST = 14, 2000
"""Columns that may be asked for: the least hold a title of 12 cells behind its mark."""
HEIGHT = 40
"""Rows that the drawing around a task may take where no terminal sets a bound."""


def graph(desk: Desk, args: Namespace) -> Answer:
    """Draw the neighbourhood of a task or, without one, the assemblies."""
    ascii_only = args.ascii or not _can_show("○─│╭")
    width, height = _size(args.width)
    if args.task is None:
        shown = desk_graphs.assembly_graph(desk, ascii_only)
        drawing = desk_graphs.overview(shown, width)
    else:
        task = desk.find_task(args.task)
        shown = desk_graphs.task_graph(desk, ascii_only)
        drawing = around(shown, task.id, width, height)
    lines = text(drawing, ASCII if ascii_only else ROUND) or ["no assemblies"]
    return Answer(_data(drawing, shown, lines), [*lines, "", _legend(drawing, ascii_only)])


def _size(given: str | None) -> tuple[int, int]:
    """Return the columns and rows to draw in: as asked, else the terminal's, else 80 by `HEIGHT`."""
    columns, rows = 80, HEIGHT
    if sys.stdout.isatty():
        terminal = os.get_terminal_size(sys.stdout.fileno())
        columns, rows = terminal.columns or columns, max(12, terminal.lines - 4)
    if given is not None:
        columns = parse_whole(given, "--width")
        if not LEAST <= columns <= MOST:
            raise Refused(f"--width {columns} is not between {LEAST} and {MOST} columns")
    return max(LEAST, columns), rows


def _can_show(characters: str) -> bool:
    try:
        characters.encode(getattr(sys.stdout, "encoding", None) or "utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _legend(drawing: Drawing, ascii_only: bool) -> str:
    """Return what the marks in this drawing mean."""
    marks = "".join(box.mark for box in drawing.boxes)
    states = [mark for mark in STATES.values() if mark.shown(ascii_only) in marks]
    words = [f"{mark.shown(ascii_only)} {mark.word}" for mark in states]
    words += ["* critical chain"] if "*" in marks else []
    broken = "broken" if not ascii_only else "dotted"
    faint = any(not line.strong for line in drawing.lines)
    words += [f"{broken} line: hold lifted"] if faint else []
    return ", ".join(words)


def _data(drawing: Drawing, graph: Graph, lines: list[str]) -> dict[str, object]:
    nodes = [
        {"id": box.node, "level": box.level, "centre": box.node == drawing.centre, "text": box.label, "tail": box.tail}
        for box in drawing.boxes
    ]
    kind_of = {mark.shown(ascii_only): kind for kind, mark in HOLDS.items() for ascii_only in (True, False)}
    edges = []
    for line in drawing.lines:
        edge = graph.edges[line.edge]
        edges.append({"until": edge.above, "task": edge.below, "kind": kind_of[edge.mark], "standing": edge.strong})
    return {
        "nodes": nodes,
        "edges": edges,
        "more_above": drawing.cut_above,
        "more_below": drawing.cut_below,
        "text": "\n".join(lines) + "\n",
    }
