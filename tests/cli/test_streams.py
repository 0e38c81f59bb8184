"""What happens to an answer that nobody reads or that cannot be written down."""

from __future__ import annotations

import errno
import io
import os
import sys
from pathlib import Path

import pytest
from tests.shop_floor import make_project

from fitup.cli.main import run

NOW = "2026-11-28T09:00"


class Failing(io.StringIO):
    """A standard output that fails as the system tells it to."""

    def __init__(self, number: int, descriptor: int) -> None:
        super().__init__()
        self.number, self.descriptor = number, descriptor

    def write(self, text: str) -> int:
        """Fail."""
        raise OSError(self.number, os.strerror(self.number))

    def fileno(self) -> int:
        """Return the descriptor of a file that nobody minds."""
        return self.descriptor


def typed(project: Path, *words: str) -> int:
    return run([*words, "--project", str(project), "--by", "Robin", "--now", NOW])


@pytest.fixture
def project(tmp_path: Path) -> Path:
    return make_project(tmp_path)


def test_an_answer_that_cannot_be_written_is_a_sentence_and_the_act_stays_done(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    with (tmp_path / "full").open("w") as full:
        monkeypatch.setattr(sys, "stdout", Failing(errno.ENOSPC, full.fileno()))
        assert typed(project, "note", "wire", "second drawer") == 2
    monkeypatch.undo()
    says = "the answer cannot be written (No space left on device); what was asked for is done all the same"
    assert capsys.readouterr().err == f"fitup: {says}\n"
    assert typed(project, "log") == 0
    assert "second drawer" in capsys.readouterr().out


def test_a_reader_that_has_gone_away_is_no_fault(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    with (tmp_path / "pipe").open("w") as pipe:
        monkeypatch.setattr(sys, "stdout", Failing(errno.EPIPE, pipe.fileno()))
        assert typed(project, "tasks") == 0
    monkeypatch.undo()
    assert capsys.readouterr().err == ""


def test_closed_streams_are_no_fault(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", None)
    assert typed(project, "tasks") == 0
    assert typed(project, "tick", "nothing-of-that-name") == 2


@pytest.mark.parametrize("unseen", ["", " ", "\x1b", "\x07\x08", "\u200b", "\u202e"])
def test_text_in_which_nothing_can_be_seen_is_no_text(
    project: Path, capsys: pytest.CaptureFixture[str], unseen: str
) -> None:
    for words in (
        ("note", "wire", unseen),
        ("stop", "wire", "--why", unseen),
        ("waive", "rivet", "check", "--why", "x", "--second", unseen),
        ("waive", "rivet", "check", "--why", unseen, "--second", "Sam"),
        ("photo", "wire", unseen),
    ):
        assert typed(project, *words) == 2, words
    assert run(["note", "wire", "x", "--project", str(project), "--by", unseen]) == 2
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("figure", ["1_0", "१", "½", "0x10", "nan", "1e999"])
def test_figures_are_typed_in_plain_digits(project: Path, capsys: pytest.CaptureFixture[str], figure: str) -> None:
    for words in (
        ("tick", "cleco", "--count", figure),
        ("tick", "cleco", "--minutes", figure),
        ("stock", "glue", f"+{figure}"),
        ("temperature", figure),
        ("order", "--weeks", figure),
        ("calc", "rivet", "--size", "1/8", "--grip", figure, "--head", "universal", "--material", "AD"),
    ):
        assert typed(project, *words) == 2, words
    assert capsys.readouterr().out == ""
