"""The drawing as plain text, read back into tasks and holds; the graph file; and what is refused."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest
from tests.cli.test_commands import Shell
from tests.drawing.reading import read
from tests.shop_floor import PLAN, make_project

from fitup.drawing import ASCII, ROUND, Glyphs
from fitup.model.marks import HOLDS, STATES

IDS = re.findall(r'\[\[task\]\]\nid = "(.*?)"', PLAN)


def numbered(text: str) -> str:
    """Return the plan with titles that a reader of drawings can tell from lines."""
    for number, task in enumerate(IDS):
        text = re.sub(rf'(\[\[task\]\]\nid = "{task}"\ntitle = )".*?"', rf'\1"<{number} some work>"', text)
    return text


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(make_project(tmp_path, numbered(PLAN)), capsys)


def read_back(text: str, glyphs: Glyphs) -> Counter[tuple[str, str]]:
    """Return the holds in a printed drawing as (until, task), found in its characters alone."""
    marks = "".join(mark.shown(glyphs.ascii) for mark in STATES.values())
    cut = "~" if glyphs.ascii else "…"
    box = re.compile(rf"[{re.escape(marks)}]\*? <(\d+)[^>{cut}]*[>{cut}](?:  \d[^<]*?(?=$|  ))?")

    def whole(found: re.Match[str]) -> str:
        return f"<{found[1]}".ljust(len(found[0]) - 1, ".") + ">"

    lines = [box.sub(whole, line) for line in text.split("\n\n")[0].splitlines()]
    kinds = "".join(mark.shown(glyphs.ascii) for mark in HOLDS.values())
    return Counter({(IDS[a], IDS[b]): count for (a, b), count in read(lines, glyphs, kinds).items()})


@pytest.mark.parametrize(("options", "glyphs"), [([], ROUND), (["--ascii"], ASCII)])
@pytest.mark.parametrize("task", ["cleco", "rivet", "hinge", "bead"])
def test_the_drawing_reads_back_as_the_holds_between_the_tasks_shown(
    shell: Shell, task: str, options: list[str], glyphs: Glyphs
) -> None:
    for width in ("80", "60", "200"):
        text = shell("graph", task, "--width", width, *options)
        assert max(map(len, text.split("\n\n")[0].splitlines())) <= int(width)
        data = shell.json("graph", task, "--width", width, *options)
        assert read_back(text, glyphs) == Counter((edge["until"], edge["task"]) for edge in data["edges"])
        holds = {(h["until"], h["task"], h["kind"]) for h in shell.json("holds", "--all")["holds"] if h["until"]}
        shown = {node["id"] for node in data["nodes"]}
        assert {(e["until"], e["task"], e["kind"]) for e in data["edges"]} == {
            hold for hold in holds if {hold[0], hold[1]} <= shown
        }
        assert task in shown
        assert [node["id"] for node in data["nodes"] if node["centre"]] == [task]


def test_without_a_task_the_assemblies_are_drawn_in_80_columns(shell: Shell) -> None:
    text = shell("graph")
    assert "Trim tab" in text
    assert "0 done, 4 ready" in text
    assert max(map(len, text.splitlines())) <= 80
    assert [node["id"] for node in shell.json("graph")["nodes"]] == ["tab"]


def test_ascii_only_draws_only_ascii(shell: Shell) -> None:
    assert shell("graph", "rivet", "--ascii").isascii()
    assert shell("graph", "--ascii").isascii()


def test_the_marks_are_explained_under_the_drawing(shell: Shell) -> None:
    legend = shell("graph", "rivet").strip().splitlines()[-1]
    assert "○ ready" in legend
    assert "■ held" in legend


def test_a_hold_that_is_lifted_stops_standing_in_the_drawing(shell: Shell) -> None:
    shell("tick", "cleco")
    edges = {(e["until"], e["task"]): e["standing"] for e in shell.json("graph", "twist")["edges"]}
    assert edges["cleco", "twist"] is False
    assert edges["twist", "rivet"] is True
    assert "broken line" in shell("graph", "twist")


@pytest.mark.parametrize(
    ("words", "says"),
    [(["nowhere"], "nowhere"), (["--width", "3"], "--width 3"), (["--width", "wide"], "not a whole number")],
)
def test_what_cannot_be_drawn_is_refused_with_a_sentence(shell: Shell, words: list[str], says: str) -> None:
    assert says in shell("graph", *words, code=2)


def test_the_graph_is_exported_once_and_never_over_a_file(shell: Shell, tmp_path: Path) -> None:
    target = tmp_path / "tab.dot"
    shell("export", "graph", str(target))
    text = target.read_text(encoding="utf-8")
    assert '"twist" -> "rivet" [label="check"];' in text
    assert shell("export", "graph", "-") == text
    assert "already there" in shell("export", "graph", str(target), code=2)
