"""A file that is not ours, in use, read-only, cut, garbled or newer: one sentence, and nothing touched."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.store.shelf import AT, edit, make, note, tick

from fitup.model.refusal import Refused
from fitup.store import opening
from fitup.store.project import ProjectFile


def one_sentence(path: Path) -> str:
    """Open a file that must be refused and return the sentence; the file must be untouched."""
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(Refused) as refusal:
        ProjectFile.open(path)
    assert before is None or path.read_bytes() == before
    sentence = str(refusal.value)
    assert "\n" not in sentence
    return sentence


def test_what_is_not_a_project_file_is_refused(tmp_path: Path) -> None:
    assert "no file" in one_sentence(tmp_path / "missing.fitup")
    assert "is a folder" in one_sentence(tmp_path)
    assert "not a plain file" in one_sentence(Path(os.devnull))
    (tmp_path / "empty.fitup").touch()
    assert "not a project file" in one_sentence(tmp_path / "empty.fitup")
    (tmp_path / "text.fitup").write_text("title = 'a plan, not a project'\n" * 100)
    assert "not a project file" in one_sentence(tmp_path / "text.fitup")
    (tmp_path / "noise.fitup").write_bytes(random.Random(1).randbytes(20_000))
    assert "not a project file" in one_sentence(tmp_path / "noise.fitup")
    connection = sqlite3.connect(tmp_path / "other.fitup")
    with connection:
        connection.execute("CREATE TABLE task (id TEXT)")
    connection.close()
    assert "not a project file" in one_sentence(tmp_path / "other.fitup")


def test_control_characters_in_a_name_do_not_reach_the_terminal(tmp_path: Path) -> None:
    assert "\x1b" not in one_sentence(tmp_path / "evil\x1b[2J.fitup")


def test_a_newer_file_is_refused_with_both_versions(tmp_path: Path) -> None:
    make(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "flap.fitup")
    connection.execute("PRAGMA user_version = 99")
    connection.close()
    assert "newer fitup (file version 99" in one_sentence(tmp_path / "flap.fitup")


def test_a_file_with_programs_of_somebody_else_is_refused(tmp_path: Path) -> None:
    make(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "flap.fitup")
    connection.execute("CREATE TRIGGER t AFTER INSERT ON entry BEGIN DELETE FROM task; END")
    connection.close()
    assert "programs that fitup did not put there" in one_sentence(tmp_path / "flap.fitup")


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE hold SET kind = 'whim'",
        "UPDATE hold SET expected = '2026-02-31'",
        "UPDATE task SET tools = '[1]'",
        "UPDATE task SET tools = 'gun'",
        "UPDATE task SET sheets = '[true]'",
        "UPDATE task_progress SET ticked_at = 'yesterday'",
        "UPDATE task_progress SET ticked_at = '2026-09-05T10:20'",
        "UPDATE task_progress SET done = 'many'",
        "UPDATE item SET title = x'ff'",
        "UPDATE item SET title = CAST(x'ff' AS TEXT)",
        "DROP TABLE hold",
        "ALTER TABLE note RENAME text TO words",
    ],
)
def test_values_that_we_did_not_write_are_refused(tmp_path: Path, damage: str) -> None:
    with make(tmp_path) as file:
        edit(file, tick())
    connection = sqlite3.connect(tmp_path / "flap.fitup")
    with connection:
        connection.execute(damage)
    connection.close()
    assert "go back to a backup" in one_sentence(tmp_path / "flap.fitup")


def test_a_cut_file_is_refused_wherever_it_was_cut(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        edit(file, note("long " * 5000))
    whole = file.path.read_bytes()
    for size in range(4096, len(whole), 4096 * 5):
        for length in (size, size + 1000):
            file.path.write_bytes(whole[:length])
            assert "damaged" in one_sentence(file.path)
    for length in (1, 50, 99, 100, 2000):
        file.path.write_bytes(whole[:length])
        one_sentence(file.path)


def test_garbled_pages_give_a_sentence_or_are_found_by_the_check_or_hold_nothing(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        edit(file, note("long " * 5000))
        project, journal = file.project, file.journal()
    whole = file.path.read_bytes()
    chance = random.Random(7)
    for start in range(0, len(whole), 4096):
        spoilt = bytearray(whole)
        for at in range(start + 100, start + 4096, 13):
            spoilt[at] = chance.randrange(256)
        file.path.write_bytes(spoilt)
        try:
            opened = ProjectFile.open(file.path)
        except Refused:
            continue
        with opened:
            assert opened.check() != [] or (opened.project, opened.journal()) == (project, journal)


def test_a_file_in_use_by_another_program_is_refused_after_the_wait(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "PATIENCE_MS", 10)
    file = make(tmp_path)
    other = sqlite3.connect(file.path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    assert "in use by another program" in one_sentence(file.path)
    for act in (lambda: edit(file, tick()), file.reload, file.changed, file.check):
        with pytest.raises(Refused, match="in use by another program"):
            act()
    other.execute("ROLLBACK")
    assert edit(file, tick()).number == 2
    other.close()
    file.close()


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """Yield a folder that other users reach; what is done in it is done without a superuser's rights."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    user = os.geteuid()
    make(folder).close()
    yield folder
    os.seteuid(user)
    folder.chmod(0o755)
    shutil.rmtree(folder)


def as_plain_user() -> None:
    """Give up a superuser's rights, which no mode of a file stops."""
    if os.geteuid() == 0:
        os.seteuid(65534)


def test_a_read_only_file_can_be_looked_at_and_not_written(open_folder: Path) -> None:
    path = open_folder / "flap.fitup"
    path.chmod(0o444)
    as_plain_user()
    before = path.read_bytes()
    with ProjectFile.open(path) as file:
        assert file.check() == []
        with pytest.raises(Refused, match="read-only here"):
            edit(file, tick())
        assert file.project.progress.tasks == {}
    assert path.read_bytes() == before


def test_a_read_only_folder_is_a_sentence_too(open_folder: Path) -> None:
    path = open_folder / "flap.fitup"
    path.chmod(0o666)
    open_folder.chmod(0o555)
    as_plain_user()
    before = path.read_bytes()
    with ProjectFile.open(path) as file:
        with pytest.raises(Refused, match=r"rights of the file and of its folder|read-only here"):
            edit(file, tick())
        with pytest.raises(Refused, match="folder"):
            file.backup(None, file.journal()[0].at)
    with pytest.raises(Refused, match="folder"):
        make(open_folder, "new.fitup")
    assert path.read_bytes() == before
    assert os.listdir(open_folder) == ["flap.fitup"]


def test_a_file_that_may_not_be_read_is_a_sentence(open_folder: Path) -> None:
    path = open_folder / "flap.fitup"
    path.chmod(0o200)
    as_plain_user()
    with pytest.raises(Refused, match="rights of the file"):
        ProjectFile.open(path)


def test_a_name_that_no_file_can_have_is_refused(tmp_path: Path) -> None:
    shelf = make(tmp_path)
    for name in ("9" * 400, "a\0b"):
        with pytest.raises(Refused, match="cannot be the name of a file"):
            shelf.backup(tmp_path / name, AT)
        with pytest.raises(Refused, match="cannot be the name of a file"):
            ProjectFile.create(tmp_path / name, shelf.project.plan, "Robin", AT)


def test_a_full_disk_makes_no_copy_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain = sqlite3.connect

    def small(name: str | Path) -> sqlite3.Connection:
        """Open a copy that takes no more than two pages, as a full disk would."""
        connection = plain(name)
        connection.execute("PRAGMA max_page_count = 2")
        return connection

    shelf = make(tmp_path)
    before = shelf.path.read_bytes()
    monkeypatch.setattr("fitup.store.copying.sqlite3.connect", small)
    for to in (None, tmp_path / "copy.fitup"):
        with pytest.raises(Refused, match=r"is full, so no copy was made; make room"):
            shelf.backup(to, AT)
    assert shelf.path.read_bytes() == before
    assert os.listdir(tmp_path) == [shelf.path.name]
