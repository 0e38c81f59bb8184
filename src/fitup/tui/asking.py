"""Asks what it would cost to take a task onto the run sheet, beside the screens and without waiting.

The one process that proves sheets is used, so the question waits until the sheet in view is proven.
"""

from __future__ import annotations

from dataclasses import replace

from fitup.desk_proof import Proof, Proofs, WhyNot, forced, what_came
from fitup.model.sheet import Sheet
from fitup.tui.board import Board


class Asking:
    """One question at a time of why a task is not on the board's sheet."""

    def __init__(self, board: Board) -> None:
        """Ask nothing yet."""
        self._board = board
        self._task = ""
        self._sheet: Sheet | None = None
        self._proof: Proof | None = None

    @property
    def pending(self) -> bool:
        """Whether an answer may still come."""
        return bool(self._task)

    def ask(self, task_id: str) -> None:
        """Ask for a task; a former question is dropped."""
        self._task, self._proof = task_id, None

    def poll(self) -> WhyNot | None:
        """Return the answer once it is there; a question about a sheet that was planned anew is asked again."""
        board = self._board
        if not self._task or board.sheet is None or board.proving:
            return None
        if self._proof is None or self._sheet is not board.sheet:
            self._begin(board, board.sheet)
        assert self._proof is not None
        if self._proof.running:
            self._proof.poll()
        if self._proof.running:
            return None
        task, self._task = self._task, ""
        return what_came(board.sheet, task, self._proof.sheet)

    def _begin(self, board: Board, sheet: Sheet) -> None:
        question = forced(sheet, self._task)
        self._sheet = sheet
        if board.proofs is not None:
            self._proof = board.proofs.start(board.desk, question)
        else:
            self._proof = Proofs().start(board.desk, replace(question, limit=0))
