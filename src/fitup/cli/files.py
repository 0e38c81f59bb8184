"""Commands about whole files: projects made, plans taken in, reviewed and written out, the file's soundness."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fitup import desk_files, desk_graphs
from fitup.cli.answer import Answer, table
from fitup.cli.values import optional_path
from fitup.desk import Desk
from fitup.desk_files import Made, Reviewed
from fitup.model.amounts import clean, counted, number
from fitup.model.finding import Finding
from fitup.model.marks import CAUTION, LEVELS

if TYPE_CHECKING:
    from fitup.acts.updating import Effects
    from fitup.files.shop import Shop
    from fitup.model.plan import Plan


def new(shop: Shop, args: Namespace, by: str, now: datetime) -> Answer:
    """Make a project from a plan."""
    made = desk_files.create_project(Path(args.plan), optional_path(args.file), shop, by, now)
    return _made(made)


def demo(shop: Shop, args: Namespace) -> Answer:
    """Make the demo project."""
    return _made(desk_files.make_demo(optional_path(args.file), shop))


def _made(made: Made) -> Answer:
    data = {
        "project": str(made.path),
        "tasks": made.tasks,
        "holds": made.holds,
        "findings": [finding_data(finding) for finding in made.findings],
    }
    found = len(made.findings)
    remarks = f"; {counted(found, 'finding')}: fitup review" if found else ""
    lines = [
        f"{made.path}: {counted(made.tasks, 'task')}, {counted(made.holds, 'hold')}{remarks}",
        f"Open it with: fitup {made.path}",
        CAUTION,
    ]
    return Answer(data, lines)


def update(desk: Desk, shop: Shop, args: Namespace) -> Answer:
    """Show what an edited plan changes, then, when that is wanted, take it in."""
    plan, changes, effects = desk_files.planned_update(desk, Path(args.plan), shop)
    data: dict[str, object] = {
        "added": list(changes.added),
        "changed": list(changes.changed),
        "removed": list(changes.removed),
        "finished": list(effects.finished),
        "unfinished": list(effects.unfinished),
        "shut_in": [{"task": task, "bay": bay} for task, bay in effects.shut_in],
    }
    lines = [
        *(f"added    {task}" for task in changes.added),
        *(f"changed  {task}" for task in changes.changed),
        *(f"removed  {task}{_left_behind(desk, task)}" for task in changes.removed),
    ] or ["no task changes"]
    lines += _effect_lines(desk, plan, effects)
    if plan == desk.project.plan:
        return Answer(data | {"entry": None}, ["the plan is the same; nothing to do"])
    if not args.yes and not _agreed(lines):
        return Answer(data | {"entry": None}, [*lines, "nothing was changed; add --yes to take it in"])
    entry = desk_files.update_project(desk, plan)
    return Answer(data | {"entry": entry}, [*([] if not args.yes else lines), "taken in; all progress kept"])


def _effect_lines(desk: Desk, plan: Plan, effects: Effects) -> Iterator[str]:
    """Say which tasks the change itself finishes or opens again, and which would be done in a closed bay."""
    bays = {bay.id: bay.title for bay in plan.bays}
    for task in effects.finished:
        done, count = desk.project.progress.of(task).done, plan.task[task].count
        yield f"finished by this change: {task} ({done} of {count} done)"
    for task in effects.unfinished:
        done, count = desk.project.progress.of(task).done, plan.task[task].count
        yield f"no longer done by this change: {task} ({done} of {count} done)"
    for task, bay in effects.shut_in:
        closing = ", ".join(other.id for other in plan.tasks if bay in other.closes)
        yield f"! {task} is inside {bays[bay]}, which is closed already (by {closing}): reopen that to get at it"


def _left_behind(desk: Desk, task: str) -> str:
    """Say what was done of a task that the edited plan no longer has."""
    done = desk.project.progress.of(task).done
    return f" ({done} of {desk.project.plan.task[task].count} done; the log keeps it)" if done else ""


def _agreed(lines: list[str]) -> bool:
    """Ask at a terminal whether the changes shown are wanted; without one the answer is no."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    print(*(clean(line) for line in lines), sep="\n")
    return input("Take this into the project? [y/n] ").strip().lower() in ("y", "yes")


def review(reviewed: Reviewed) -> Answer:
    """Answer with the findings of a review and the rules switched off; errors make it a "no"."""
    findings = reviewed.findings
    lines: list[str] = []
    for finding in findings:
        where = f"line {finding.line}, {finding.where}" if finding.line else finding.where
        lines.append(f"{LEVELS[finding.level].ascii} {finding.level} {finding.rule} ({where}): {finding.says}")
        lines += [f"    mend: {finding.mend}"] if finding.mend else []
        lines += [f"    source: {finding.source}"] if finding.source else []
    wrong = any(finding.level == "error" for finding in findings)
    data = {
        "findings": [finding_data(finding) for finding in findings],
        "switched_off": [{"rule": rule, "why": why} for rule, why in reviewed.off],
    }
    lines = lines or ["nothing found"]
    lines += [f"switched off: {rule}, because {why}" for rule, why in reviewed.off]
    return Answer(data, lines, 1 if wrong else 0)


def finding_data(finding: Finding) -> dict[str, object]:
    """Return a finding with the keys of `review --json`."""
    return {
        "rule": finding.rule,
        "level": finding.level,
        "where": finding.where,
        "says": finding.says,
        "mend": finding.mend,
        "source": finding.source,
        "line": finding.line,
    }


def export(desk: Desk, args: Namespace) -> Answer:
    """Write the project's plan out as a plan file, or its graph as a file for programs that draw graphs."""
    text = desk_files.plan_text(desk) if args.what == "plan" else desk_graphs.dot_text(desk)
    if args.file == "-":
        return Answer({args.what: text}, text.splitlines())
    path = Path(args.file)
    desk_files.write_text(path, text, overwrite=args.overwrite)
    return Answer({"file": str(path)}, [f"{path}: {counted(len(desk.project.plan.tasks), 'task')}", CAUTION])


def works(shop: Shop) -> Answer:
    """List the work table."""
    rows = desk_files.work_table(shop)
    data = [
        {
            "id": work.id,
            "title": work.title,
            "unit": work.unit,
            "seconds": [work.seconds.low, work.seconds.likely, work.seconds.high],
            "set_up_minutes": work.set_up_minutes,
            "clean_up_minutes": work.clean_up_minutes,
            "crew": work.crew,
            "split": work.split,
            "loud": work.loud,
            "filler": work.filler,
            "tools": list(work.tools),
            "takes": work.takes,
            "source": work.source,
        }
        for work in rows
    ]
    lines = table(
        [
            [
                work.id,
                "/".join(number(s) for s in (work.seconds.low, work.seconds.likely, work.seconds.high)),
                f"s a {work.unit}" if work.unit else "s",
                f"+{number(work.set_up_minutes)} min" if work.set_up_minutes else "",
                "two people" if work.crew == 2 else "",
                "loud" if work.loud else "",
                f"{work.title} ({work.source})",
            ]
            for work in rows
        ]
    )
    return Answer({"works": data}, lines)


def check_file(desk: Desk) -> Answer:
    """Say whether the file is sound and its journal gives its tables."""
    wrong = list(desk.check_file())
    data = {"ok": not wrong, "entries": desk.last_entry, "wrong": wrong}
    lines = wrong or [
        f"{desk.path} is sound: replaying its journal ({counted(desk.last_entry, 'entry')}) gives its tables"
    ]
    return Answer(data, lines, 1 if wrong else 0)


def backup(desk: Desk, args: Namespace) -> Answer:
    """Write a dated copy of the project file."""
    copy = desk.backup(optional_path(args.file))
    return Answer({"file": str(copy)}, [f"copied to {copy}"])
