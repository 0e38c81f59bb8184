"""Whatever happens, the tables, the reopened file and the journal replayed from empty are the same project."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.store.random_edits import START, edits
from tests.store.shelf import edit, make
from tests.strategies import plans

from fitup.model.apply import fold
from fitup.model.edits import EDIT_NAMES, Act, Redo, Undo
from fitup.model.progress import Project
from fitup.store.codec import act_json, read_act
from fitup.store.project import ProjectFile


@settings(deadline=None, max_examples=15, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_after_every_act_file_memory_and_journal_agree(data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as folder:
        file = make(Path(folder), plan=data.draw(plans(most=6)))
        other = ProjectFile.open(file.path)
        before = [file.project]
        after: list[Project] = []
        for _ in range(data.draw(st.integers(1, 12))):
            turns = ["edit", "edit", "edit", *["undo"] * (len(before) > 1), *["redo"] * bool(after)]
            turn = data.draw(st.sampled_from(turns))
            writer = data.draw(st.sampled_from((file, other)))
            if turn == "edit":
                writer.reload()
                edit(writer, data.draw(edits(writer.project)))
                before.append(writer.project)
                after.clear()
            elif turn == "undo":
                writer.step(Undo, "Kim", START)
                after.append(before.pop())
            else:
                writer.step(Redo, "Kim", START)
                before.append(after.pop())
            assert writer.project == before[-1]
            _agree(file.path, writer)
        file.close()
        other.close()


def _agree(path: Path, writer: ProjectFile) -> None:
    with ProjectFile.open(path) as reopened:
        assert reopened.project == writer.project
        assert reopened.last_entry == writer.last_entry
        entries = reopened.journal()
        assert [entry.number for entry in entries] == list(range(1, len(entries) + 1))
        assert fold(entries).project == writer.project
        assert reopened.check() == []


@settings(deadline=None, max_examples=40, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_every_act_reads_back_from_its_json(data: st.DataObject) -> None:
    names = {kind: name for name, kind in EDIT_NAMES.items()}
    act: Act = data.draw(edits(Project(data.draw(plans(least=2, most=4)))))
    assert read_act(names[type(act)], act_json(act)) == act
