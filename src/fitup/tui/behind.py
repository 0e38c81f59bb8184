"""What goes on behind the screens: planning, proofs, other terminals and the clock. No key waits for any of it."""

from __future__ import annotations

import gc
from asyncio import wrap_future
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future
from functools import partial
from threading import Thread
from typing import TYPE_CHECKING, TypeVar

from textual.worker import Worker

from fitup.desk import Desk
from fitup.model.marks import CAUTION
from fitup.model.refusal import Refused
from fitup.tui import room
from fitup.tui.board import LOOK_IN, Board
from fitup.tui.forms import for_screens
from fitup.tui.rows import Row, cut, row, say
from fitup.tui.showing import Showing
from fitup.tui.telling import better_words, why_words
from fitup.tui.wording.common import titled
from fitup.tui.wording.session import line_key

if TYPE_CHECKING:
    from fitup.tui.asking import Asking

T = TypeVar("T")


class Behind(Showing, inherit_bindings=False):
    """Screens that are kept up to date. The first thing shown is what is known without planning."""

    def __init__(self, board: Board) -> None:
        """Show a board, with its sessions planned behind the screens."""
        super().__init__(board)
        self._planner: Worker[None] | None = None
        self._looker: Worker[None] | None = None
        self._warmed = False
        self.said = self._opening = [row(say(CAUTION, "warn"))]
        self.asking: Asking | None = None
        self._better: Row | None = None
        self._first = ""
        board.later = self._plan_later

    def on_mount(self) -> None:
        """Show what is known at once, then plan the session and keep an eye on the file."""
        self._proving = self.set_interval(LOOK_IN, self._look_in, pause=True)
        self.set_interval(1, self._keep_up)
        self.call_after_refresh(self._after_first_paint)

    def _after_first_paint(self) -> None:
        self.board.replan()
        if not self.board.waiting:
            self.paint()

    def _plan_later(self) -> None:
        """Plan what is asked for, and whatever else is asked for meanwhile, one after the other."""
        if self._planner is None or self._planner.is_finished:
            self._planner = self.run_worker(self._plan(), group="planning")

    async def _plan(self) -> None:
        board = self.board
        while (question := board.asked) is not None:
            planned = await _in_thread(partial(board.plan, question, board.project))
            if board.take(question, planned):
                self.paint()
        if not self._warmed:
            self._warmed = True
            self.run_worker(self._warm(), group="warming")

    async def _warm(self) -> None:
        """Import what other pages and acts need, then have garbage looked for again, in what is made from now on."""
        await _in_thread(_import_the_rest)
        gc.freeze()
        gc.enable()

    def paint(self) -> None:
        """Show everything as it is now, and look in on the proof where one runs."""
        if self.said is self._opening and self.window.height < room.CAUTIONED:
            self.said = []
        self._stay_first()
        super().paint()
        if self.board.proving:
            self._proving.resume()

    def refuse(self, sentence: str) -> None:
        """Say why something cannot be: in the panel where one is open."""
        sentence = titled(self.board, sentence)
        if self.panel.form is not None:
            self.panel.refuse(sentence)
            self.paint()
        else:
            self.tell(for_screens(sentence), "bad")

    def _keep_up(self) -> None:
        """Take in what another terminal wrote, and what time has brought; paint only when there is something."""
        try:
            came = self.board.catch_up()
        except Refused as refused:
            self.refuse(str(refused))
            return
        if came == "written":
            entry, _, sentence = deque(self.board.desk.told_journal(), maxlen=1)[0]
            self.tell(f"written elsewhere by {entry.by}: {titled(self.board, sentence)}", "accent")
        elif came:
            self.paint()

    def ask_why(self, task_id: str) -> None:
        """Find out what it would cost to take a task onto the sheet, and tell when it is known."""
        from fitup.tui.asking import Asking

        self.tell(f"trying {self.board.title(task_id)} on the run sheet ...", "dim")
        self.asking = self.asking or Asking(self.board)
        self.asking.ask(task_id)
        self._proving.resume()
        self._look_in()

    def _tell_better(self, changed: str) -> None:
        """Say in one row what a better sheet changes, beside what an act came to; elsewhere it would be in the way."""
        said = [line for line in self.said if line is not self._better]
        if self.page == "Session" and self.panel.form is None:
            self._better = row(say(cut(changed, self.window.width - 3), "accent"))
            said.append(self._better)
        self.said = said

    def _stay_first(self) -> None:
        """Keep the first line chosen where it was, though another sheet may have its work late or not at all."""
        sheet = self.board.sheet
        first = line_key(sheet.lines[0].task) if sheet is not None and sheet.lines else ""
        if first and self._first and self.stage.place("Session") == self._first:
            self.stage.set_place("Session", first)
        self._first = first or self._first

    def _look_in(self) -> None:
        """See whether the proof that runs has a better sheet, or an answer, unless that is being looked at."""
        if self._looker is None or self._looker.is_finished:
            self._looker = self.run_worker(self._look(self.board.proving), group="looking")

    async def _look(self, proving: bool) -> None:
        """Take in what was found, judged in a thread of its own; look no more once all has ended."""
        came = await _in_thread(self.board.find)
        taken = came is not None and self.board.take_found(came)
        told = self.asking.poll() if self.asking else None
        if not (self.board.proving or (self.asking and self.asking.pending)):
            self._proving.pause()
        if came is not None and taken and (changed := better_words(self.board, came.before, came.sheet)):
            self._tell_better(changed)
        if told is not None:
            self.said = [row(say(why_words(self.board, told), "accent"))]
        if taken or told is not None or proving != self.board.proving:
            self.paint()


def _import_the_rest() -> None:
    import fitup.desk_graphs
    import fitup.tui.widgets.picture  # noqa: F401

    Desk.warm()


async def _in_thread(work: Callable[[], T]) -> T:
    """Return what `work` comes to, or raise what it raises; its thread is not waited for when the screens are left.

    The threads of `asyncio.to_thread` and of Textual's workers are: closing their pool joins them.
    """
    made: Future[T] = Future()
    made.set_running_or_notify_cancel()

    def run() -> None:
        try:
            made.set_result(work())
        except BaseException as error:  # whatever it is, it is raised again where the result is awaited
            made.set_exception(error)

    Thread(target=run, daemon=True).start()
    return await wrap_future(made)
