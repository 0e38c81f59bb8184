"""A small plan with every kind of hold, and a desk on it: the ground that tests of acts and commands stand on."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from fitup.desk import Desk
from fitup.files.plan_toml import read_plan
from fitup.files.shop import shipped_shop
from fitup.model.amounts import parse_instant
from fitup.store.project import ProjectFile

PLAN = """\
fitup = 1
title = "Trim tab"
length-unit = "mm"
sessions = "sat 09:00-13:00"

[[assembly]]
id = "tab"
title = "Trim tab"

[[bay]]
id = "box"
title = "inside of the tab"

[[item]]
id = "glue"
title = "Epoxy"
unit = "g"
lots = [{have = 100, expires = 2026-12-20}]
on-order = {quantity = 50, expected = 2026-12-01}

[[item]]
id = "nuts"
title = "Nutplates"
kind = "part"

[[item]]
id = "rivets"
title = "Flush rivets"
kind = "fastener"
part-number = "MS20426AD3-4"
lots = [{have = 100}]

[[cleco]]
size = "3/32"
have = 30

[[task]]
id = "cleco"
title = "Cleco the skin [front]"
assembly = "tab"
work = "cleco"
count = 20
ref = "drawing 4, sheet 2"
clecos = {size = "3/32", count = 20, until = "rivet"}

[[task]]
id = "twist"
title = "Check for twist"
assembly = "tab"
work = "check"
after = ["cleco"]

[task.check]
kind = "spread"
unit = "mm"
stations = ["root", "tip"]
faces = ["up", "down"]
limit = 1.0
uncertainty = 0.3

[[task]]
id = "wire"
title = "Lay the wire"
assembly = "tab"
work = "wire"
inside = ["box"]
photo = true
ref = "drawing 41"

[[task]]
id = "glue-rib"
title = "Glue the rib"
assembly = "tab"
work = "glue"
minutes = [10, 15, 20]
needs = {glue = 40}
inside = ["box"]
ref = "drawing 4"

[[task]]
id = "mix"
title = "Mix a cup"
assembly = "tab"
work = "mix"
minutes = [4, 6, 8]

[[task]]
id = "bead"
title = "Lay the bead"
assembly = "tab"
work = "seal-fillet"
minutes = [10, 12, 15]
within = {of = "mix", hours = 2, from = "begin"}

[[task]]
id = "rivet"
title = "Rivet the skin"
assembly = "tab"
work = "squeeze"
count = 40
size = "3/32"
fasteners = {head = "flush", material = "AD", size = "3/32", callout = "MS20426AD3-4"}
closes = ["box"]
holds = [
  {kind = "check", until = "twist", why = "once riveted it keeps its shape"},
  {kind = "cure", until = "glue-rib", hours = 12},
]

[[task]]
id = "nutplates"
title = "Fit nutplates"
assembly = "tab"
work = "squeeze"
count = 8
needs = {nuts = 4}

[[task]]
id = "hinge"
title = "Hang the tab"
assembly = "tab"
work = "fit"
after = ["rivet"]
holds = [
  {kind = "sign-off", by = "inspector", expected = 2026-12-12},
  {kind = "leave-off", until = "nutplates", why = "the bracket needs room"},
  {kind = "stop", why = "ask the kit maker about the pin"},
]
"""

NINE = parse_instant("2026-11-28T09:00")


class Wall:
    """A clock on the wall that tests move by hand."""

    def __init__(self) -> None:
        self.now = NINE

    def __call__(self) -> datetime:
        """Return the time."""
        return self.now

    def pass_hours(self, hours: float) -> None:
        """Let time go by."""
        self.now += timedelta(hours=hours)


def write_plan_file(folder: Path, text: str = PLAN) -> Path:
    """Write a plan file and return its path."""
    path = folder / "tab.toml"
    path.write_text(text, encoding="utf-8")
    return path


def make_project(folder: Path, text: str = PLAN) -> Path:
    """Make a project file of a plan and return its path."""
    path = folder / "tab.fitup"
    plan = read_plan(write_plan_file(folder, text), shipped_shop())
    ProjectFile.create(path, plan, "Robin", NINE).close()
    return path


def open_desk(folder: Path, wall: Wall, text: str = PLAN, by: str = "Robin") -> Desk:
    """Return a desk on a new project."""
    return Desk.open(make_project(folder, text), by, wall)
