"""The graph file: Graphviz reads it, where it is installed, as it is meant; a small reader of our own always does."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from tests.shop_floor import write_plan_file

from fitup.files.dot import write_dot
from fitup.files.plan_toml import read_plan
from fitup.files.shop import shipped_shop
from fitup.model.holds import hold_book
from fitup.model.plan import Plan

STRING = r'"((?:[^"\\]|\\.)*)"'
ODD = ['a "quoted" \\ back', "ends in \\", "\\n \\l {x|y} <b>", "new\nline; } -> {", "ünïcode ✈ \u202e"]


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return read_plan(write_plan_file(tmp_path), shipped_shop())


def read_back(text: str) -> tuple[dict[str, str], list[tuple[str, str, str]]]:
    """Return the labels of the nodes and the edges with theirs; every line must be one that is known."""
    nodes: dict[str, str] = {}
    edges: list[tuple[str, str, str]] = []

    def plain(quoted: str) -> str:
        return re.sub(r"\\(.)", r"\1", quoted)

    for line in text.splitlines()[1:]:
        if found := re.fullmatch(rf"  {STRING} \[label={STRING}\];", line):
            nodes[plain(found[1])] = plain(found[2])
        elif found := re.fullmatch(rf"  {STRING} -> {STRING} \[label={STRING}\];", line):
            edges.append((plain(found[1]), plain(found[2]), plain(found[3])))
        else:
            assert line in ("}", "  rankdir=TB;", "  node [shape=box];") or re.fullmatch(rf"digraph {STRING} {{", line)
    return nodes, edges


def holds_of(plan: Plan) -> list[tuple[str, str, str]]:
    book = hold_book(plan)
    return [(h.until, task, h.kind) for task, holds in book.holds.items() for h in holds if h.until is not None]


def test_every_task_is_a_node_and_every_hold_an_edge_with_its_kind(plan: Plan) -> None:
    nodes, edges = read_back(write_dot(plan))
    assert nodes == {task.id: task.title for task in plan.tasks}
    assert edges == holds_of(plan)
    assert ("twist", "rivet", "check") in edges


def test_odd_titles_stay_inside_their_quotes(plan: Plan) -> None:
    for title in ODD:
        tasks = tuple(replace(task, title=title) for task in plan.tasks)
        nodes, edges = read_back(write_dot(replace(plan, title=title, tasks=tasks)))
        assert len(set(nodes.values())) == 1
        assert edges == holds_of(plan)


@pytest.mark.parametrize("title", ["Plain", *ODD])
def test_graphviz_reads_it_as_meant(plan: Plan, title: str) -> None:
    tasks = tuple(replace(task, title=title) for task in plan.tasks)
    odd = replace(plan, title=title, tasks=tasks)
    dot = shutil.which("dot")
    if dot is None:
        assert read_back(write_dot(odd))[1] == holds_of(plan)
        return
    ran = subprocess.run([dot, "-Tjson"], input=write_dot(odd), capture_output=True, text=True, check=True)
    read = json.loads(ran.stdout)
    names = [node["name"] for node in read["objects"]]
    assert names == [task.id for task in plan.tasks]
    edges = [(names[edge["tail"]], names[edge["head"]], edge["label"]) for edge in read["edges"]]
    assert sorted(edges) == sorted(holds_of(plan))
