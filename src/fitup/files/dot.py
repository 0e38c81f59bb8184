"""A plan as a directed graph in the DOT language, for programs that draw large graphs on paper.

Source of the language: https://graphviz.org/doc/info/lang.html (read from memory): in a quoted string only the quote
is escaped, backslashes are kept and start escapes in labels; so both are doubled or escaped here.
"""

from __future__ import annotations

from collections.abc import Iterator

from fitup.model.amounts import clean
from fitup.model.holds import hold_book
from fitup.model.marks import CAUTION
from fitup.model.plan import Plan


def write_dot(plan: Plan) -> str:
    """Return the graph: a node for each task, an edge from `until` to the task for each hold, labelled by its kind."""
    return "\n".join(_lines(plan)) + "\n"


def _lines(plan: Plan) -> Iterator[str]:
    yield f"// {CAUTION}"
    yield f"digraph {quoted(plan.title or 'plan')} {{"
    yield "  rankdir=TB;"
    yield "  node [shape=box];"
    for task in plan.tasks:
        yield f"  {quoted(task.id)} [label={quoted(task.title or task.id)}];"
    book = hold_book(plan)
    for task in plan.tasks:
        for hold in book.holds[task.id]:
            if hold.until is not None:
                yield f"  {quoted(hold.until)} -> {quoted(task.id)} [label={quoted(hold.kind)}];"
    yield "}"


def quoted(text: str) -> str:
    """Return text as a quoted string of the language that stands for itself, letter by letter."""
    return '"' + clean(text).replace("\\", "\\\\").replace('"', '\\"') + '"'
