"""A small plan, a fixed instant and ticks, for the tests of the project file."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from fitup.model.apply import apply
from fitup.model.edits import Act, AddNote, Edit, Entry, Tick
from fitup.model.plan import Assembly, Bay, Check, Hold, Item, Lot, Plan, Task, ThreePoint, Work
from fitup.model.progress import Project
from fitup.store.project import ProjectFile

AT = datetime(2026, 9, 5, 8, 20, tzinfo=UTC)

PLAN = Plan(
    title="Left flap",
    sessions="sat 09:00-13:00",
    works=(Work("dimple", "Dimple", "hole", ThreePoint(10, 15, 25)), Work("check", "Check")),
    assemblies=(Assembly("flap", "Left flap"),),
    bays=(Bay("bay-2", "between ribs 2 and 3"),),
    items=(Item("mek", "Solvent", unit="ml", lots=(Lot(500, date(2027, 3, 1)),)),),
    tasks=(
        Task("flap.dimple", "Dimple the top skin", "flap", "dimple", count=1000, needs=(("mek", 20.0),)),
        Task(
            *("flap.twist", "Check the flap for twist", "flap", "check"),
            holds=(Hold("after", "flap.dimple", "the skin is still loose"),),
            check=Check("range", "mm", low=1.0, high=2.0),
        ),
    ),
)


def make(folder: Path, name: str = "flap.fitup", plan: Plan = PLAN) -> ProjectFile:
    """Make a project file and return it open."""
    return ProjectFile.create(folder / name, plan, "Robin", AT)


def edit(file: ProjectFile, act: Edit, by: str = "Robin", at: datetime = AT) -> Entry:
    """Write one edit, as it is."""

    def resolve(project: Project) -> tuple[Act, Project]:
        return act, apply(project, act, by, at)

    return file.write(resolve, by, at)


def tick(count: int = 1, task: str = "flap.dimple") -> Tick:
    """Return a tick of the long task."""
    return Tick(task, count, AT, AT)


def note(text: str) -> AddNote:
    """Return a note on the long task."""
    return AddNote("flap.dimple", text)


def refusing(_: Project) -> tuple[Act, Project]:
    """Refuse whatever is asked, as an act that makes no sense does."""
    from fitup.model.refusal import Refused

    raise Refused("that makes no sense now")


Resolve = Callable[[Project], tuple[Act, Project]]
