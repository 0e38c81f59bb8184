"""Runs one command line: finds the project, opens the desk, prints the answer, gives the exit code.

Exit codes: 0 done; 1 an answer that is "no"; 2 refused, with one sentence on standard error and
nothing on standard output.
"""

from __future__ import annotations

import getpass
import os
import re
import sys
from argparse import Namespace
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fitup.cli.answer import Answer
from fitup.cli.parser import build_parser
from fitup.cli.values import named_project, optional_path
from fitup.model.amounts import blank, clean, parse_instant
from fitup.model.refusal import Refused

if TYPE_CHECKING:
    from fitup.cli.screens import Screens
    from fitup.desk import Desk

READING = ("tasks", "show", "holds", "log")
SUPPLYING = ("bench", "order")
BY_PLAN_ALONE = ("tasks", "holds", "log")
"""Commands that ask nothing of the trade tables, and so need not know where they are."""


def run(argv: Sequence[str], screens: Screens | None = None) -> int:
    """Run a command line without the program's name and return the exit code; `screens` opens them on a desk."""
    for stream in (sys.stdout, sys.stderr):
        if stream is not None and hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        words = _with_screens([_below_zero(word) for word in argv])
        args = build_parser(screens_only=words[0] == "open").parse_args(words)
        for name in ("project", "by", "now", "shop"):
            setattr(args, name, getattr(args, name, None))
        as_json = getattr(args, "json", False)
        answer = _answer(args, screens)
        if answer is None:
            return 0
        _tell(answer.text(as_json))
    except Refused as refused:
        for line in str(refused).splitlines():
            _complain(line)
        return 2
    except KeyboardInterrupt:
        return 130
    return answer.code


def _tell(text: str) -> None:
    """Write an answer to standard output; a reader that has gone away, or none at all, is no fault.

    Raises `Refused` where the answer cannot be written down, such as on a full disk.
    """
    if sys.stdout is None:
        return
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        _let_stdout_go()
    except OSError as error:
        _let_stdout_go()
        raise Refused(
            f"the answer cannot be written ({error.strerror}); what was asked for is done all the same"
        ) from None


def _let_stdout_go() -> None:
    """Turn standard output to nowhere, so that nothing is tried again when the program ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _complain(line: str) -> None:
    if sys.stderr is not None:
        print(f"fitup: {clean(line)}", file=sys.stderr)


def _below_zero(word: str) -> str:
    """Keep the grammar from taking a temperature such as -5C for an option."""
    return f" {word}" if re.fullmatch(r"-\d+(\.\d+)?[CFcf]", word) else word


def _with_screens(argv: list[str]) -> list[str]:
    """Make `fitup PROJECT` and plain `fitup` the hidden command that opens the screens."""
    takes_value = {"--project", "--by", "--now", "--shop"}
    place = 0
    while place < len(argv) and argv[place].startswith("-"):
        if argv[place] in ("-h", "--help"):
            return argv
        place += 2 if argv[place] in takes_value else 1
    if place >= len(argv):
        return ["open", *argv]
    if Path(argv[place]).suffix == ".fitup" or "/" in argv[place]:
        return ["open", *argv]
    return argv


def _answer(args: Namespace, screens: Screens | None) -> Answer | None:
    """Return the answer of the command, or None where it has spoken for itself."""
    by = args.by if args.by is not None else _login()
    if blank(by):
        raise Refused("--by needs a name: entries are signed with it")
    if args.command == "help":
        return _help(args)
    if args.command not in BY_PLAN_ALONE:
        from fitup.desk_shop import use_shop_tables

        use_shop_tables(optional_path(args.shop))
    if args.command == "calc":
        from fitup.cli.calc import calc

        return calc(args)
    if args.command == "demo" and args.open:
        from fitup.cli.screens import open_demo

        open_demo(args, by, _now(args), screens)
        return None
    if args.command in ("new", "demo", "works"):
        return _shop_command(args, by)
    if args.command == "review" and args.plan is not None:
        from fitup import desk_files
        from fitup.cli import files

        return files.review(desk_files.review_plan(Path(args.plan), desk_files.find_shop(optional_path(args.shop))))
    if args.command == "open":
        from fitup.cli.screens import open_screens

        open_screens(args, by, _now(args), screens)
        return None
    return _project_command(args, by)


def _help(args: Namespace) -> Answer:
    if args.topic == "plan":
        from fitup import desk_files

        text = desk_files.plan_help()
        return Answer({"help": text}, text.splitlines())
    text = build_parser().format_help()
    return Answer({"help": text}, text.splitlines())


def _shop_command(args: Namespace, by: str) -> Answer:
    from fitup import desk_files
    from fitup.cli import files

    shop = desk_files.find_shop(optional_path(args.shop))
    if args.command == "works":
        return files.works(shop)
    if args.command == "demo":
        return files.demo(shop, args)
    return files.new(shop, args, by, _now(args))


def _project_command(args: Namespace, by: str) -> Answer:
    from fitup.cli import acts, reading
    from fitup.desk import Desk, utc_now

    now = None if args.now is None else _now(args)
    desk = Desk.open(_project(args), by, utc_now if now is None else lambda: now)
    try:
        if args.command in READING:
            answer: Answer = getattr(reading, args.command)(desk, args)
            return answer
        if args.command == "session":
            from fitup.cli.planning import session

            return session(desk, args)
        if args.command in SUPPLYING:
            from fitup.cli import supplying

            supplied: Answer = getattr(supplying, args.command)(desk, args)
            return supplied
        if args.command == "graph":
            from fitup.cli.graph import graph

            return graph(desk, args)
        if args.command in acts.ASKS:
            return acts.do(desk, args)
        return _file_command(desk, args)
    finally:
        desk.close()


def _file_command(desk: Desk, args: Namespace) -> Answer:
    from fitup import desk_files
    from fitup.cli import files

    if args.command == "review":
        return files.review(desk_files.review_project(desk))
    if args.command == "update":
        return files.update(desk, desk_files.find_shop(optional_path(args.shop)), args)
    if args.command == "export":
        return files.export(desk, args)
    if args.command == "backup":
        return files.backup(desk, args)
    return files.check_file(desk)


def _project(args: Namespace) -> Path:
    """Return the project file to work on; the shop folder is looked at only where none is named."""
    named = named_project(args.project)
    if named is not None:
        return named
    from fitup import desk_files

    return desk_files.only_project(desk_files.find_shop(optional_path(args.shop)))


def _now(args: Namespace) -> datetime:
    from fitup.desk import utc_now

    return utc_now() if args.now is None else parse_instant(args.now, "--now")


def _login() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "builder"
