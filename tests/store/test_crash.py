"""A killed program loses nothing that it said was kept; two that write at once lose nothing either."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.store.shelf import make

from fitup.store.project import ProjectFile

WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from fitup.model.apply import apply
from fitup.model.edits import Tick
from fitup.store.project import ProjectFile

at = datetime(2026, 9, 5, 8, 20, tzinfo=UTC)
act = Tick("flap.dimple", 1, at, at, used=(("mek", 0.1),))
with ProjectFile.open(Path(sys.argv[1])) as file:
    for _ in range(int(sys.argv[2])):
        entry = file.write(lambda project: (act, apply(project, act, sys.argv[3], at)), sys.argv[3], at)
        print(entry.number, flush=True)
"""


def writer(path: Path, ticks: int, name: str) -> subprocess.Popen[str]:
    """Start a program that writes `ticks` ticks, naming each entry once it is kept."""
    command = [sys.executable, "-c", WRITER, str(path), str(ticks), name]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def test_everything_acknowledged_before_a_kill_is_there_and_the_file_is_sound(tmp_path: Path) -> None:
    make(tmp_path).close()
    path = tmp_path / "flap.fitup"
    kept = 1
    for wanted in (3, 17):
        child = writer(path, 900, "Robin")
        assert child.stdout is not None
        for _ in range(wanted):
            kept = int(child.stdout.readline())
        child.kill()
        kept = max([kept, *(int(line) for line in child.stdout if line.endswith("\n"))])
        child.communicate()
        with ProjectFile.open(path) as file:
            assert file.last_entry in (kept, kept + 1)
            assert file.project.progress.of("flap.dimple").done == file.last_entry - 1
            assert file.check() == []
            kept = file.last_entry


def test_two_programs_that_write_at_once_lose_no_tick(tmp_path: Path) -> None:
    make(tmp_path).close()
    path = tmp_path / "flap.fitup"
    children = [writer(path, 60, name) for name in ("Robin", "Kim")]
    said = [child.communicate() for child in children]
    assert [child.returncode for child in children] == [0, 0], said
    assert sorted(int(line) for out, _ in said for line in out.split()) == list(range(2, 122))
    with ProjectFile.open(path) as file:
        assert file.project.progress.of("flap.dimple").done == 120
        assert {entry.by for entry in file.journal()} == {"Robin", "Kim"}
        assert file.check() == []
