"""The desk's side door to files: making projects from plans, the demo, updates, reviews and exports of plans.

Kept apart from `desk.py` so that opening a project reads no plan files and needs no Pydantic.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from fitup.desk import Desk
from fitup.files.shop import Shop
from fitup.model.amounts import clean
from fitup.model.asks import Ask, AskPhoto
from fitup.model.changes import Changes, plan_changes
from fitup.model.edits import AdoptPlan
from fitup.model.finding import Finding
from fitup.model.holds import hold_book
from fitup.model.plan import Work
from fitup.model.refusal import Refused
from fitup.store.copying import refuse_odd_name
from fitup.store.project import ProjectFile

if TYPE_CHECKING:
    from fitup.acts.updating import Effects
    from fitup.model.plan import Plan

DEMO_PLAN = "dunlin-left-wing.toml"
DEMO_JOURNAL = "dunlin-left-wing.journal.jsonl"


@dataclass(frozen=True, slots=True)
class Made:
    """A project just made: its file, how many tasks and holds it has, what the review finds."""

    path: Path
    tasks: int
    holds: int
    findings: tuple[Finding, ...]


def find_shop(given: Path | None) -> Shop:
    """Return the shop folder in use; raises `Refused` where it cannot be."""
    from fitup.files.shop import find_shop as find

    return find(given)


def only_project(shop: Shop) -> Path:
    """Return the shop's only project file; raises `Refused` when there is none, or more than one to choose from."""
    found = projects_in(shop)
    if len(found) == 1:
        return found[0]
    if not found:
        raise Refused("there is no project yet: make one with fitup new PLAN.toml, or look around with fitup demo")
    names = ", ".join(clean(path.name) for path in found)
    raise Refused(f"there are {len(found)} projects ({names}); say which with --project FILE")


def projects_in(shop: Shop) -> list[Path]:
    """Return the project files of a shop folder, by name."""
    return sorted(shop.projects.glob("*.fitup"))


def create_project(plan_file: Path, file: Path | None, shop: Shop, by: str, now: datetime) -> Made:
    """Make a project file from a plan; raises `Refused` with every mistake of the plan."""
    from fitup.files.plan_toml import read_plan

    plan = read_plan(plan_file, shop)
    path = file or shop.projects / f"{plan_file.stem}.fitup"
    ProjectFile.create(path, plan, by, now).close()
    return _made(path, plan)


def _made(path: Path, plan: Plan) -> Made:
    from fitup.review import review

    return Made(path, len(plan.tasks), sum(len(holds) for holds in hold_book(plan).holds.values()), review(plan))


def demo_path(shop: Shop) -> Path:
    """Return where the demo project lives when no other place is named."""
    return shop.projects / f"{Path(DEMO_PLAN).stem}.fitup"


def make_demo(file: Path | None, shop: Shop) -> Made:
    """Make the demo project: its plan, then its journal replayed act by act, each checked as when it is made."""
    from fitup.files.journal_lines import read_asks
    from fitup.files.plan_toml import read_plan
    from fitup.files.shop import shipped_shop

    path = file or demo_path(shop)
    refuse_odd_name(path)
    if path.exists():
        raise Refused(f"{clean(str(path))} is already there; give another name: fitup demo FILE")
    shipped = shipped_shop()
    plan = read_plan(shipped.projects / DEMO_PLAN, shipped)
    lines = list(read_asks(shipped.projects / DEMO_JOURNAL))
    making = path.with_name(f"{path.name}.making")
    making.unlink(missing_ok=True)
    try:
        _replay(making, plan, lines)
        os.link(making, path)
    except FileExistsError:
        raise Refused(f"{clean(str(path))} is already there; give another name: fitup demo FILE") from None
    except OSError as error:
        raise Refused(f"{clean(str(path))} cannot be written: {error.strerror}") from None
    finally:
        making.unlink(missing_ok=True)
    return _made(path, plan)


def _replay(path: Path, plan: Plan, lines: Sequence[tuple[datetime, str, Ask]]) -> None:
    """Make a project file and carry out every ask at its own time, as its own person."""
    first_at, first_by, _ = lines[0]
    file = ProjectFile.create(path, plan, first_by, first_at)
    try:
        for at, by, ask in lines:
            asked = replace(ask, must_exist=False) if isinstance(ask, AskPhoto) else ask
            Desk(file, by, partial(_same, at)).do(asked)
    finally:
        file.close()


def _same(at: datetime) -> datetime:
    return at


@dataclass(frozen=True, slots=True)
class Reviewed:
    """What a review found, and the rules that the plan switches off, each with its reason."""

    findings: tuple[Finding, ...]
    off: tuple[tuple[str, str], ...]


def review_plan(plan_file: Path, shop: Shop) -> Reviewed:
    """Return everything wrong with a plan file: its mistakes, and what the review finds in the rest."""
    from fitup.files.plan_toml import plan_draft
    from fitup.review import review, switched_off

    plan, mistakes = plan_draft(plan_file, shop)
    if plan is None:
        return Reviewed(mistakes, ())
    # the reader has told of these with their lines
    told = {finding.rule for finding in mistakes}
    return Reviewed((*mistakes, *(f for f in review(plan) if f.rule not in told)), switched_off(plan))


def review_project(desk: Desk) -> Reviewed:
    """Return what the review finds in the plan of an open project."""
    return Reviewed(desk.review(), desk.switched_off())


def planned_update(desk: Desk, plan_file: Path, shop: Shop) -> tuple[Plan, Changes, Effects]:
    """Return the edited plan, what it would change in the project, and what that does to the states of tasks."""
    from fitup.acts.updating import effects
    from fitup.files.plan_toml import read_plan

    plan = read_plan(plan_file, shop)
    return plan, plan_changes(desk.project.plan, plan), effects(desk.project, plan)


def update_project(desk: Desk, plan: Plan) -> int:
    """Bring an edited plan into a project, keeping all progress; return the journal entry's number."""
    return desk.adopt(AdoptPlan(plan)).entry


def plan_text(desk: Desk) -> str:
    """Return the project's plan as a plan file."""
    from fitup.files.plan_toml import write_plan

    return write_plan(desk.project.plan)


def write_text(path: Path, text: str, *, overwrite: bool) -> None:
    """Write a text file whole or not at all; raises `Refused` with nothing changed."""
    from fitup.files import text_out

    text_out.write_text(path, text, overwrite)


def plan_help() -> str:
    """Return every key of the plan file with its meaning."""
    from fitup.files.plan_toml import plan_keys

    return plan_keys()


def work_table(shop: Shop) -> Sequence[Work]:
    """Return the shop's work table."""
    from fitup.files.works import read_works

    return read_works(shop)
