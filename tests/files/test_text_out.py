"""Text files are written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from fitup.files.text_out import write_text
from fitup.model.refusal import Refused


def test_a_file_that_is_there_is_kept_unless_it_is_to_be_replaced(tmp_path: Path) -> None:
    path = tmp_path / "plan.toml"
    write_text(path, "one\n", overwrite=False)
    with pytest.raises(Refused, match="already there"):
        write_text(path, "two\n", overwrite=False)
    assert path.read_text() == "one\n"
    write_text(path, "two\n", overwrite=True)
    assert path.read_text() == "two\n"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("overwrite", [False, True])
def test_nothing_is_lost_and_nothing_left_where_writing_fails(tmp_path: Path, overwrite: bool) -> None:
    path = tmp_path / "plan.toml"
    if overwrite:
        path.write_text("one\n")
    with pytest.raises(Refused, match=r"plan\.toml cannot be written"):
        write_text(path, "half a character: \ud800", overwrite=overwrite)
    assert [found.read_text() for found in tmp_path.iterdir()] == (["one\n"] if overwrite else [])


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    path, link = tmp_path / "plan.toml", tmp_path / "link.toml"
    path.write_text("one\n")
    link.symlink_to(path)
    write_text(link, "two\n", overwrite=True)
    assert link.is_symlink()
    assert path.read_text() == "two\n"


def test_a_disk_without_hard_links_takes_files_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(source: Path, target: Path) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    write_text(tmp_path / "plan.toml", "one\n", overwrite=False)
    assert [found.read_text() for found in tmp_path.iterdir()] == ["one\n"]


def test_a_folder_is_not_written_over(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be written"):
        write_text(tmp_path, "one\n", overwrite=True)
