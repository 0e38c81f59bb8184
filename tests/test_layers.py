"""The layers hold: imports only point down, and a deferred import is really deferred."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from tests.shop_floor import make_project

ROOT = Path(__file__).parent.parent
HEAVY = ("textual", "rich", "sqlmodel", "sqlalchemy", "pydantic", "ortools", "numpy", "pandas", "networkx")


def test_imports_only_point_down() -> None:
    linter = subprocess.run(
        [
            sys.executable,
            "-c",
            "from importlinter.cli import lint_imports_command; lint_imports_command(['--no-cache'])",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert linter.returncode == 0, linter.stdout


def modules_after(*words: str) -> set[str]:
    """Run a command in a fresh interpreter and return the names of the packages that it imported."""
    code = (
        "import sys, io\n"
        "from fitup.cli.main import run\n"
        "out, sys.stdout = sys.stdout, io.StringIO()\n"
        "try:\n    code = run(sys.argv[1:])\nexcept SystemExit as end:\n    code = end.code\n"
        "sys.stdout = out\n"
        "print(code, *{name.partition('.')[0] for name in sys.modules})\n"
    )
    ran = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True)
    exit_code, *names = ran.stdout.split()
    assert exit_code == "0", ran.stderr
    return set(names)


def test_help_imports_nothing_heavy() -> None:
    assert modules_after("--help") & {*HEAVY, "sqlite3"} == set()


@pytest.mark.parametrize("command", ["tasks", "holds", "session", "bench"])
def test_reading_commands_import_nothing_heavy(tmp_path: Path, command: str) -> None:
    project = make_project(tmp_path)
    assert modules_after(command, "--project", str(project)) & set(HEAVY) == set()


def test_an_act_imports_neither_screens_nor_solver(tmp_path: Path) -> None:
    project = make_project(tmp_path)
    used = modules_after("tick", "cleco", "--project", str(project))
    assert used & {"textual", "rich", "ortools", "numpy", "pandas", "networkx"} == set()
