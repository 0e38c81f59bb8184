"""Making, opening, writing, undoing, two programs on one file, copies, and the check of a file."""

from __future__ import annotations

import os
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.store.shelf import AT, PLAN, edit, make, note, refusing, tick

from fitup.model.edits import AddNote, AdoptPlan, Redo, Undo
from fitup.model.plan import Plan
from fitup.model.refusal import Refused
from fitup.store.project import ProjectFile


def test_a_new_file_holds_the_plan_as_its_first_entry(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        assert file.project.plan == PLAN
        assert [(entry.number, entry.by, entry.at, entry.act) for entry in file.journal()] == [
            (1, "Robin", AT, AdoptPlan(PLAN))
        ]
    assert os.listdir(tmp_path) == ["flap.fitup"]


def test_one_file_is_all_there_is_while_and_after_it_is_open(tmp_path: Path) -> None:
    file = make(tmp_path)
    edit(file, tick())
    assert os.listdir(tmp_path) == ["flap.fitup"]
    file.close()
    assert os.listdir(tmp_path) == ["flap.fitup"]


def test_a_tick_writes_one_row_and_one_entry(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        connection = sqlite3.connect(file.path)
        edit(file, tick())
        statements: list[str] = []
        file._connection.set_trace_callback(statements.append)
        edit(file, tick())
        file._connection.set_trace_callback(None)
        changing = [text for text in statements if text.split()[0] in ("INSERT", "UPDATE", "DELETE")]
        assert [text.split()[2] for text in changing] == ["task_progress", "entry"]
        assert [text for text in statements if text.startswith("BEGIN")] == ["BEGIN IMMEDIATE"]
        assert connection.execute("SELECT done FROM task_progress").fetchall() == [(2,)]
        connection.close()


def test_what_the_resolver_refuses_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        before = file.path.read_bytes()
        with pytest.raises(Refused, match="makes no sense now"):
            file.write(refusing, "Robin", AT)
        assert file.path.read_bytes() == before
        assert edit(file, tick()).number == 2


def test_an_error_while_writing_leaves_nothing_half_written(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        with pytest.raises(Refused, match="half a character"):
            edit(file, note("\ud800"))
        with pytest.raises(Refused, match="too large to be kept"):
            edit(file, tick(2**70))
        with pytest.raises(Refused, match="infinite"):
            edit(file, AdoptPlan(Plan(items=(PLAN.items[0].__class__("x", "x", spare=float("nan")),))))
        with pytest.raises(Refused, match="same id twice"):
            edit(file, AdoptPlan(Plan(tasks=(PLAN.tasks[0], PLAN.tasks[0]))))
        assert file.project.plan == PLAN
        assert file.project.progress.notes == ()
        assert file.last_entry == 1
        assert file.check() == []


def test_undo_and_redo_are_entries_and_take_back_the_last_first(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        states = [file.project]
        for act in (tick(3), note("left the rear row"), tick(4)):
            edit(file, act)
            states.append(file.project)
        plan = file.project.plan
        for expected in (states[2], states[1]):
            file.step(Undo, "Kim", AT)
            assert file.project == expected
            assert file.project.plan is plan
        target = file.redo_target()
        assert target is not None
        assert target.act == note("left the rear row")
        file.step(Redo, "Kim", AT)
        assert file.project == states[2]
        edit(file, note("something else"))
        assert file.redo_target() is None
        with pytest.raises(Refused, match="nothing to redo"):
            file.step(Redo, "Kim", AT)
        assert [entry.name for entry in file.journal()] == [
            *("plan", "tick", "note", "tick", "undo", "undo", "redo", "note"),
        ]
        assert file.check() == []


def test_the_plan_that_made_the_project_is_never_undone(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        assert file.undo_target() is None
        with pytest.raises(Refused, match="nothing to undo"):
            file.step(Undo, "Robin", AT)


def test_a_second_program_sees_that_the_first_wrote_and_writes_upon_the_newest_state(tmp_path: Path) -> None:
    with make(tmp_path) as one, ProjectFile.open(one.path) as two:
        assert not two.changed()
        edit(one, tick(3))
        assert two.changed()
        assert not one.changed()
        edit(two, tick(4), by="Kim")
        assert two.project.progress.of("flap.dimple").done == 7
        assert two.last_entry == 3
        assert one.changed()
        plan = one.project.plan
        assert one.reload() == two.project
        assert one.project.plan is plan
        assert not one.changed()


def test_an_undo_takes_back_what_the_other_program_wrote_a_moment_ago(tmp_path: Path) -> None:
    with make(tmp_path) as one, ProjectFile.open(one.path) as two:
        edit(one, tick(3))
        edit(two, tick(4))
        one.step(Undo, "Robin", AT)
        assert one.project.progress.of("flap.dimple").done == 3
        edit(two, AdoptPlan(Plan(title="Another", tasks=PLAN.tasks)))
        edit(one, note("after the new plan"))
        assert one.project.plan.title == "Another"
        assert one.check() == []


def test_a_file_that_was_replaced_or_moved_is_not_written_into(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        make(tmp_path, "other.fitup").close()
        (tmp_path / "other.fitup").replace(file.path)
        with pytest.raises(Refused, match="replaced by another file"):
            edit(file, tick())
        file.path.unlink()
        with pytest.raises(Refused, match="moved away"):
            edit(file, tick())


def test_creating_never_replaces_a_file_and_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / "flap.fitup").write_text("mine")
    with pytest.raises(Refused, match="already there"):
        make(tmp_path)
    with pytest.raises(Refused, match="no folder"):
        make(tmp_path / "nowhere")
    with pytest.raises(Refused, match="same id twice"):
        make(tmp_path, "new.fitup", Plan(tasks=(PLAN.tasks[0], PLAN.tasks[0])))
    assert os.listdir(tmp_path) == ["flap.fitup"]
    assert (tmp_path / "flap.fitup").read_text() == "mine"


def test_a_file_that_appears_while_ours_is_made_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.link

    def link(made: Path, path: Path) -> None:
        path.write_text("theirs")
        real(made, path)

    monkeypatch.setattr(os, "link", link)
    with pytest.raises(Refused, match="already there"):
        make(tmp_path)
    assert (tmp_path / "flap.fitup").read_text() == "theirs"
    assert os.listdir(tmp_path) == ["flap.fitup"]


def test_a_file_is_made_where_the_disk_knows_no_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def link(made: Path, path: Path) -> None:
        raise PermissionError("no links here")

    monkeypatch.setattr(os, "link", link)
    make(tmp_path).close()
    assert os.listdir(tmp_path) == ["flap.fitup"]
    with pytest.raises(Refused, match="already there"):
        make(tmp_path)


def test_names_with_signs_that_mean_something_to_sqlite_are_just_names(tmp_path: Path) -> None:
    for name in ("left flap?mode=ro#1.fitup", "100%25.fitup", "Klappe über.fitup"):
        make(tmp_path, name).close()
        with ProjectFile.open(tmp_path / name) as file:
            edit(file, tick())
    assert len(os.listdir(tmp_path)) == 3


def test_a_backup_is_a_dated_whole_copy_and_never_replaces_another(tmp_path: Path) -> None:
    with make(tmp_path) as file:
        edit(file, tick(5))
        at = datetime(2026, 9, 5, 10, 30, tzinfo=UTC)
        local = f"{at.astimezone():%Y-%m-%d-%H%M}"
        assert file.backup(None, at).name == f"flap-{local}.fitup"
        assert file.backup(None, at).name == f"flap-{local}-2.fitup"
        (tmp_path / "copies").mkdir()
        copy = file.backup(tmp_path / "copies", at)
        assert copy == tmp_path / "copies" / f"flap-{local}.fitup"
        with pytest.raises(Refused, match="already there"):
            file.backup(copy, at)
        with pytest.raises(Refused, match="no folder"):
            file.backup(tmp_path / "nowhere" / "copy.fitup", at)
        with ProjectFile.open(copy) as opened:
            assert opened.project == file.project
            assert opened.check() == []
    assert sorted(os.listdir(tmp_path)) == ["copies", f"flap-{local}-2.fitup", f"flap-{local}.fitup", "flap.fitup"]


@pytest.mark.parametrize(
    ("tampering", "said"),
    [
        ("UPDATE task_progress SET done = 9", "progress, tasks, flap.dimple"),
        ("UPDATE task SET count = 7 WHERE id = 'flap.dimple'", "plan, tasks, flap.dimple"),
        ("DELETE FROM note", "progress, notes, 0"),
        ("UPDATE plan SET title = 'Right flap'", "plan, title"),
        ("INSERT INTO laid_out VALUES ('gun')", "progress, laid_out, gun"),
        ("DELETE FROM entry WHERE number = 2", "no entry 2"),
        ("UPDATE entry SET edit = '{}' WHERE number = 2", "journal entry 2 cannot be read: it lacks"),
        ("UPDATE entry SET name = 'sing' WHERE number = 2", "no act named 'sing'"),
        ("UPDATE entry SET name = 'undo', edit = '{}' WHERE number = 1", "cannot be replayed"),
        ("INSERT INTO need VALUES ('nobody', 0, 'mek', 1)", "table need"),
        ("UPDATE task SET count = 'many'", "wrong kind in column count"),
    ],
)
def test_the_check_names_what_was_changed_behind_our_back(tmp_path: Path, tampering: str, said: str) -> None:
    with make(tmp_path) as file:
        edit(file, tick(5))
        edit(file, AddNote("flap.dimple", "row 2 next"))
        connection = sqlite3.connect(file.path)
        with connection:
            connection.execute(tampering)
        connection.close()
        found = file.check()
        assert any(said in sentence for sentence in found), found
