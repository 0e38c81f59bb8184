"""The command line's grammar, one entry a command; what is not built is not listed."""

from __future__ import annotations

import argparse
import re
from typing import Any, NoReturn

from fitup.cli.parser_calc import add_calc
from fitup.model.amounts import clean
from fitup.model.plan import HOLD_KINDS
from fitup.model.refusal import Refused


class Parser(argparse.ArgumentParser):
    """An argument parser whose errors are refusals: one sentence, exit code 2."""

    def error(self, message: str) -> NoReturn:
        """Refuse the command line with argparse's sentence and where to read more."""
        unknown = re.match(r"argument COMMAND: invalid choice: '(.*?)'", message)
        if unknown:
            raise Refused(f"there is no command or project {clean(unknown[1])!r} (see {self.prog} --help)")
        raise Refused(f"{clean(message)} (see {self.prog} --help)")


def build_parser(screens_only: bool = False) -> Parser:
    """Return the parser of the whole command line, or of what opens the screens, which does not wait for the rest."""
    parser = Parser(
        prog="fitup",
        description="What to do in this session on a riveted metal aircraft built at home. "
        "Without a command: opens the screens on PROJECT.",
        epilog="fitup PROJECT opens the screens. Every command takes --project, --by, --now, --shop and --json.",
        allow_abbrev=False,
    )
    _common(parser)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    screens = commands.add_parser("open", description="Opens the screens on a project.")
    screens.add_argument("project_file", metavar="PROJECT", nargs="?")
    _screen_options(screens)
    _common(screens)
    if screens_only:
        return parser
    _files(commands)
    _questions(commands)
    _work(commands)
    _holding(commands)
    _shop(commands)
    add_calc(commands, Parser, _common)
    return parser


def _common(parser: argparse.ArgumentParser) -> None:
    """Add the options that stand before or behind every command."""
    group = parser.add_argument_group("everywhere")
    none: Any = argparse.SUPPRESS
    group.add_argument(
        "--project", metavar="FILE", default=none, help="project file (or $FITUP_PROJECT, or the only one)"
    )
    group.add_argument("--by", metavar="NAME", default=none, help="who is at the bench (default: login name)")
    group.add_argument("--now", metavar="TIME", default=none, help="take this local time for now: 2026-11-28T09:00")
    group.add_argument(
        "--shop", metavar="DIR", default=none, help="shop folder with projects/ and shared/ (or $FITUP_SHOP)"
    )
    group.add_argument("--json", action="store_true", default=none, help="answer as JSON")


def _screen_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--mouse", action="store_true", help="take the mouse too")
    parser.add_argument("--ascii", action="store_true", help="draw with plain ASCII characters")


def _add(commands: Any, name: str, says: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(name, help=says, description=says, allow_abbrev=False)
    _common(parser)
    return parser


def _files(commands: Any) -> None:
    new = _add(commands, "new", "make a project from a plan")
    new.add_argument("plan", metavar="PLAN.toml")
    new.add_argument("file", metavar="FILE", nargs="?")
    demo = _add(commands, "demo", "make the demo project, an invented left wing a third done")
    demo.add_argument("file", metavar="FILE", nargs="?")
    demo.add_argument("--open", action="store_true", help="open the screens on it; make it only if it is not there")
    _screen_options(demo)
    update = _add(commands, "update", "bring an edited plan into a project; progress is kept")
    update.add_argument("plan", metavar="PLAN.toml")
    update.add_argument("--yes", action="store_true", help="do it without asking")
    review = _add(commands, "review", "what is wrong or doubtful in a plan")
    review.add_argument("plan", metavar="PLAN.toml", nargs="?")
    export = _add(commands, "export", "write the plan to a file: as a plan, or as a graph in the DOT language")
    export.add_argument("what", choices=["plan", "graph"])
    export.add_argument("file", metavar="FILE", help="- for standard output")
    export.add_argument("--overwrite", action="store_true", help="replace a file that is there")
    helped = _add(commands, "help", "help plan: every key of the plan file")
    helped.add_argument("topic", nargs="?", choices=["plan"])
    _add(commands, "works", "the work table: kinds of work and their figures")
    _add(commands, "check-file", "is the project file sound, and does its journal give its tables?")
    _add(commands, "backup", "write a dated copy of the project file").add_argument("file", metavar="FILE", nargs="?")


def _questions(commands: Any) -> None:
    tasks = _add(commands, "tasks", "all tasks with their states")
    tasks.add_argument("--state", choices=["ready", "held", "under way", "done", "reopened"])
    tasks.add_argument("--assembly", metavar="A")
    _add(commands, "show", "all about one task").add_argument("task", metavar="TASK")
    holds = _add(commands, "holds", "what stands; for one task, the chain down to what can be acted on")
    holds.add_argument("task", metavar="TASK", nargs="?")
    holds.add_argument("--all", action="store_true", help="lifted and waived holds too")
    for name, says in (("session", "the run sheet of a session"), ("bench", "what must lie on the bench for it")):
        parser = _add(commands, name, says)
        parser.add_argument("--from", dest="start", metavar="T", help="begin, local time (default: now)")
        parser.add_argument("--minutes", metavar="N", help="length (default: the usual session, or 180)")
        parser.add_argument(
            "--helper", metavar="09:00-10:30", action="append", default=[], help="when a helper is there"
        )
        parser.add_argument("--temperature", metavar="C", help="of the shop (default: the latest reading)")
        if name == "session":
            parser.add_argument("--why", metavar="TASK", help="what taking this task onto the sheet would cost")
        parser.add_argument("--humidity", metavar="%", help="of the shop, percent")
        parser.add_argument("--sure", metavar="0.8", help="the chance of finishing that the sheet must have")
        parser.add_argument("--first", metavar="TASK", action="append", default=[], help="before everything else")
        parser.add_argument("--without", metavar="TASK", action="append", default=[], help="not today")
        parser.add_argument("--clean-up", metavar="N", default="10", help="minutes kept free at the end (10)")
        parser.add_argument("--quiet-from", metavar="21:00", default="21:00", help="no loud work after this, or none")
        parser.add_argument("--next", metavar="T", help="begin of the next session")
        parser.add_argument(
            "--limit", metavar="S", default="10", help="seconds that the proof may take (10); 0: the first answer only"
        )
    order = _add(commands, "order", "what to buy now so that nothing stalls")
    order.add_argument("--weeks", metavar="N", default="8", help="look this far ahead (8)")
    graph = _add(commands, "graph", "the assemblies, or a task with what it waits for and what waits for it, drawn")
    graph.add_argument("task", metavar="TASK", nargs="?")
    graph.add_argument("--ascii", action="store_true", help="draw with plain ASCII characters")
    graph.add_argument("--width", metavar="N", help="columns to draw in (default: the terminal's, or 80)")
    log = _add(commands, "log", "the journal: who did what, when")
    log.add_argument("--assembly", metavar="A")


def _work(commands: Any) -> None:
    tick = _add(commands, "tick", "done, wholly or N more")
    tick.add_argument("task", metavar="TASK")
    tick.add_argument("--count", metavar="N")
    tick.add_argument("--minutes", metavar="M", help="how long it took")
    tick.add_argument("--at", metavar="T", help="when it was finished")
    measure = _add(commands, "measure", "enter readings of a check: root=402.5/402.0, 402.5 402.6, 0=5.9 0.9=5.4, yes")
    measure.add_argument("task", metavar="TASK")
    measure.add_argument("readings", metavar="READING", nargs="*")
    measure.add_argument("--at", metavar="T")
    measure.add_argument("--decide", choices=["pass", "fail"], help="call a figure that is too close")
    measure.add_argument("--why", default="")
    reopen = _add(commands, "reopen", "done work is no longer done")
    reopen.add_argument("task", metavar="TASK")
    reopen.add_argument("--count", metavar="N")
    reopen.add_argument("--why", default="")
    _add(commands, "again", "start a mix afresh").add_argument("task", metavar="TASK")
    note = _add(commands, "note", "note something on a task")
    note.add_argument("task", metavar="TASK")
    note.add_argument("text", metavar="TEXT")
    note.add_argument("--next", action="store_true", help="shown first next morning")
    photo = _add(commands, "photo", "put a photo of a task on file")
    photo.add_argument("task", metavar="TASK")
    photo.add_argument("file", metavar="FILE")
    clock = _add(commands, "clock", "start or stop the clock, on a task or the session")
    clock.add_argument("turn", choices=["start", "stop"])
    clock.add_argument("task", metavar="TASK", nargs="?")
    clock.add_argument("--at", metavar="T")
    _add(commands, "undo", "take back the latest entry, and say whose it was")
    _add(commands, "redo", "make again what undo took back")


def _holding(commands: Any) -> None:
    kinds = ", ".join(HOLD_KINDS)
    lift = _add(commands, "lift", "lift a stop, or say that a witness sample is cured")
    lift.add_argument("task", metavar="TASK")
    lift.add_argument("kind", metavar="KIND", help="stop or cure")
    lift.add_argument("--until", metavar="TASK")
    lift.add_argument("--why", default="")
    waive = _add(commands, "waive", "set a hold aside with a reason")
    waive.add_argument("task", metavar="TASK")
    waive.add_argument("kind", metavar="KIND", help=f"{kinds}, or within (a time window)")
    waive.add_argument("--until", metavar="TASK")
    waive.add_argument("--why", default="")
    waive.add_argument("--second", metavar="NAME", default="", help="the second person, for a check")
    waive.add_argument("--sure-to-close", action="store_true", help="for what is before closing")
    stop = _add(commands, "stop", "not until I have asked: stop a task, or all of a drawing")
    stop.add_argument("task", metavar="TASK", nargs="?")
    stop.add_argument("--ref", metavar="DRAWING")
    stop.add_argument("--why", default="")
    sign = _add(commands, "sign", "sign a task's sign-off")
    sign.add_argument("task", metavar="TASK")
    sign.add_argument("--as", dest="role", metavar="ROLE", required=True)
    sign.add_argument("--at", metavar="T")
    cure = _add(commands, "cure", "correct the hours of a cure")
    cure.add_argument("task", metavar="TASK")
    cure.add_argument("--until", metavar="TASK", required=True)
    cure.add_argument("--hours", metavar="N", required=True)
    cure.add_argument("--why", default="")


def _shop(commands: Any) -> None:
    temperature = _add(commands, "temperature", "the shop's temperature, now and its lowest since the last reading")
    temperature.add_argument("celsius", metavar="18C")
    temperature.add_argument("--low", metavar="6C")
    temperature.add_argument("--at", metavar="T")
    stock = _add(commands, "stock", "what came in, went out, or was counted: +N, -N, =N")
    stock.add_argument("item", metavar="ITEM")
    stock.add_argument("change", metavar="+N|-N|=N")
    stock.add_argument("--expires", metavar="D")
    arrived = _add(commands, "arrived", "what was on order is there")
    arrived.add_argument("item", metavar="ITEM")
    arrived.add_argument("--expires", metavar="D")
