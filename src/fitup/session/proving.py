"""The proof behind a sheet: asked for in a process of its own, which can be stopped dead at any moment.

The process is started before it is needed, since loading the solver takes longer than most proofs.
"""

from __future__ import annotations

import pickle
import subprocess
import sys
from dataclasses import dataclass
from queue import Empty, Queue
from threading import Thread
from types import TracebackType
from typing import IO

from fitup.model.refusal import Refused
from fitup.session.planned import Planned, Proof
from fitup.session.problem import Problem


@dataclass(frozen=True, slots=True)
class Answer:
    """What the process found: the best lines so far, and whether that is all it has to say."""

    proof: Proof | None
    final: bool


class Prover:
    """The process that proves sheets; one question at a time, a new one after `stop` needs a new prover."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "fitup.session.cpsat"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._answers: Queue[Answer | None] = Queue()
        self._silent = False
        if self._process.stdout is not None:
            Thread(target=self._listen, args=(self._process.stdout,), daemon=True).start()

    @property
    def ended(self) -> bool:
        """Whether the process is gone, stopped or by itself."""
        # its pipes close a moment before the system counts it as gone
        return self._silent or self._process.poll() is not None

    def ask(self, problem: Problem, hint: tuple[Planned, ...], limit: float) -> None:
        """Ask for the proof of one session; answers come through `answer`."""
        if self._process.stdin is None or self.ended:
            raise Refused("the process that proves sheets has ended; the sheet shown is not proven")
        try:
            pickle.dump((problem.frame(), hint, limit), self._process.stdin)
            self._process.stdin.flush()
        except BrokenPipeError:
            self._silent = True
            raise Refused("the process that proves sheets has ended; the sheet shown is not proven") from None

    def answer(self, seconds: float) -> Answer | None:
        """Return the next answer, or None when there is none within `seconds`; a dead process answers finally."""
        try:
            found = self._answers.get(timeout=seconds)
        except Empty:
            return None
        return found or Answer(None, True)

    def _listen(self, pipe: IO[bytes]) -> None:
        """Put what the process says into the queue; None when it has ended."""
        try:
            while True:
                self._answers.put(Answer(*pickle.load(pipe)))
        except (EOFError, OSError, ValueError, pickle.UnpicklingError):
            self._silent = True
            self._answers.put(None)

    def stop(self) -> None:
        """End the process at once."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                pipe.close()

    def __enter__(self) -> Prover:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.stop()
