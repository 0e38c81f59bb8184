"""The first moments of the screens: what is shown before anything is planned, and what keys do meanwhile."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
import termios
from collections.abc import Iterator
from contextlib import suppress
from fcntl import ioctl
from pathlib import Path
from threading import Event

import pytest
from tests.shop_floor import make_project
from tests.tui.screens import Shown, lines_of, screens, settle, text_of

from fitup.model.asks import AskTick
from fitup.model.marks import CAUTION
from fitup.model.progress import Project
from fitup.model.sheet import Question
from fitup.tui.app import FitupApp
from fitup.tui.board import Board, Planned

NEEDED_LATER = {"sqlmodel", "sqlalchemy", "pydantic", "ortools", "numpy", "pandas", "networkx", "ssl"}


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Event]:
    """Hold up whatever is planned, once the first sheet is there, until the event is set."""
    event = Event()
    event.set()
    plan = Board.plan

    def waiting(board: Board, question: Question, project: Project) -> Planned:
        assert event.wait(60)
        return plan(board, question, project)

    monkeypatch.setattr(Board, "plan", waiting)
    yield event
    event.set()


def ask_anew(app: FitupApp, gate: Event) -> None:
    """Forget the sheet and ask for another, which does not come before the gate is open."""
    gate.clear()
    app.board.sheet = app.board.bench = None
    app.board.replan()
    app.stage.set_place("Session", "")
    app.paint()


async def press(pilot: Shown, *keys: str) -> None:
    """Press keys without waiting for what is planned."""
    await pilot.press(*keys)
    await pilot.pause()


async def test_before_a_sheet_is_planned_the_work_that_can_be_done_is_listed(tmp_path: Path, gate: Event) -> None:
    async with screens(tmp_path, (80, 40)) as (app, pilot):
        ask_anew(app, gate)
        await pilot.pause()
        lines = lines_of(app)
        assert lines[1].split(maxsplit=1)[1].strip() == "planning ..."
        assert "0 of 9 tasks done" in lines[8]
        assert "Can be worked on now" in lines[9]
        shown, states = " ".join(lines[10:]), app.board.readiness().states
        for task in app.board.project.plan.tasks:
            assert (task.title in shown) == (states[task.id] in ("ready", "under way")), task.title
        await press(pilot, "4")
        assert "planning ..." in text_of(app)
        gate.set()
        await settle(app, pilot)
        assert "planning ..." not in text_of(app)
        assert app.board.bench is not None


async def test_a_row_chosen_while_the_session_is_planned_stays_chosen(tmp_path: Path, gate: Event) -> None:
    async with screens(tmp_path) as (app, pilot):
        assert app.board.sheet is not None
        last = app.board.sheet.lines[-1].task
        ask_anew(app, gate)
        while app.list.chosen != f"line {last}":
            before = app.list.chosen
            await press(pilot, "down")
            assert app.list.chosen != before
        gate.set()
        await settle(app, pilot)
        assert app.list.chosen == f"line {last}"


async def test_where_nobody_chose_a_row_the_first_line_of_the_sheet_is_chosen(tmp_path: Path, gate: Event) -> None:
    async with screens(tmp_path) as (app, pilot):
        ask_anew(app, gate)
        await pilot.pause()
        gate.set()
        await settle(app, pilot)
        assert app.board.sheet is not None
        assert app.list.chosen == f"line {app.board.sheet.lines[0].task}"


async def test_an_act_while_the_session_is_planned_is_done_at_once_and_planned_for(tmp_path: Path, gate: Event) -> None:
    async with screens(tmp_path) as (app, pilot):
        ask_anew(app, gate)
        late = app.board.asked
        app.do(AskTick("cleco"))
        await pilot.pause()
        assert app.board.project.done("cleco")
        assert app.board.asked is not late
        gate.set()
        await settle(app, pilot)
        assert app.board.asked is None
        assert app.board.sheet is not None
        assert "cleco" not in {line.task for line in app.board.sheet.lines}


async def test_a_wish_that_cannot_be_leaves_the_session_that_is_being_planned(tmp_path: Path, gate: Event) -> None:
    async with screens(tmp_path) as (app, pilot):
        ask_anew(app, gate)
        asked = app.board.asked
        await press(pilot, "i", *"9999", "enter")
        assert "cannot be planned" in text_of(app)
        assert app.board.asked is asked
        gate.set()
        await settle(app, pilot)
        assert app.board.question is asked


async def test_the_screens_are_left_without_waiting_for_what_is_planned(tmp_path: Path, gate: Event) -> None:
    async with screens(tmp_path) as (app, pilot):
        ask_anew(app, gate)
        await press(pilot, "q")
    assert not gate.is_set()


async def test_the_line_of_caution_gives_way_in_a_low_window(tmp_path: Path) -> None:
    async with screens(tmp_path, (80, 24)) as (app, _):
        assert CAUTION.split(":")[0] in text_of(app)
    async with screens(make_folder(tmp_path), (80, 12)) as (app, _):
        assert CAUTION.split(":")[0] not in text_of(app)


def make_folder(folder: Path) -> Path:
    """Make a folder in another."""
    inner = folder / "other"
    inner.mkdir()
    return inner


def test_the_first_painting_needs_nothing_that_only_writes_or_proves(tmp_path: Path) -> None:
    """The whole start, as from a shell, in a terminal; looked at when the first frame has been sent."""
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from fitup import __main__ as entry\n"
        "from fitup.cli.main import run\n"
        "def look(app):\n"
        "    names = sorted({name.partition('.')[0] for name in sys.modules})\n"
        "    Path(sys.argv[2]).write_text(' '.join([*names, str(app.board.waiting)]))\n"
        "    app.exit()\n"
        "def screens(desk, **how):\n"
        "    entry._import_asyncio_alone()\n"
        "    from fitup.tui.behind import Behind\n"
        "    Behind._after_first_paint = look\n"
        "    entry._screens(desk, **how)\n"
        "sys.exit(run([sys.argv[1]], screens))\n"
    )
    told = tmp_path / "modules"
    end, terminal = os.openpty()
    ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    environment = {**os.environ, "TERM": "xterm-256color", "LANG": "C.UTF-8"}
    ran = subprocess.Popen(
        [sys.executable, "-c", code, str(make_project(tmp_path)), str(told)],
        stdin=terminal, stdout=terminal, stderr=terminal, env=environment,
    )  # fmt: skip
    os.close(terminal)
    sent = b""
    with suppress(OSError):  # how Linux tells that the program at the other end has gone
        while block := os.read(end, 65536):
            sent += block
    os.close(end)
    assert ran.wait() == 0, sent.decode(errors="replace")
    names = set(told.read_text().split())
    assert "True" in names, "no sheet has been planned yet"
    assert b"planning ..." in sent
    assert "textual" in names
    assert not names & NEEDED_LATER
