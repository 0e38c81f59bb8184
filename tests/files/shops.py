"""A small shop of the tests' own, so that the shipped work table may change without touching them."""

from __future__ import annotations

from pathlib import Path

from fitup.files.plan_toml import read_plan
from fitup.files.shop import Shop
from fitup.model.plan import Plan

WORKS = """
[[work]]
id = "drill"
title = "Drill"
unit = "hole"
seconds = [10, 15, 25]
split = true
tools = ["drill"]
hole-step = "drill"

[[work]]
id = "check"
title = "Measure"
seconds = [240, 480, 900]
helper-alone = true
"""

TOOLS = """
[[tool]]
id = "drill"
title = "Air drill"
have = 2

[[tool]]
id = "table"
title = "Flat table"
"""

ROW = """
[procedure]
id = "row"
title = "A row of holes"

[[parameter]]
name = "holes"
title = "How many"

[[parameter]]
name = "what"
title = "What is drilled"
default = "skin"

[[parameter]]
name = "start"
title = "Task before"

[[task]]
id = "drill"
title = "Drill the {what}, {holes} holes"
work = "drill"
count = "{holes}"
after = ["{start}"]
one-go = "cup"
holes = "{what}"

[[task]]
id = "check"
title = "Look at the {what}"
work = "check"
within = {of = "drill", hours = 4}
holds = [{kind = "cure", until = "drill", hours = 2}]
"""

HEAD = """fitup = 1
title = "Small plan"

[[assembly]]
id = "flap"
title = "Flap"
"""


def make_shop(folder: Path) -> Shop:
    """Make a shop with two kinds of work, two tools and one procedure."""
    procedures = folder / "shared" / "procedures"
    procedures.mkdir(parents=True)
    (folder / "projects").mkdir()
    (folder / "shared" / "work.toml").write_text(WORKS)
    (folder / "shared" / "tools.toml").write_text(TOOLS)
    (procedures / "row.toml").write_text(ROW)
    return Shop(folder)


def task(task_id: str, *lines: str) -> str:
    """Return the text of a task with further lines."""
    head = f'[[task]]\nid = "{task_id}"\ntitle = "Do {task_id}"\nassembly = "flap"\nwork = "drill"\n'
    return head + "".join(f"{line}\n" for line in lines)


def plan_from(shop: Shop, text: str) -> Plan:
    """Write a plan file and read it."""
    path = shop.projects / "plan.toml"
    path.write_bytes(text.encode())
    return read_plan(path, shop)
