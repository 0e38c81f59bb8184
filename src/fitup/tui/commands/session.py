"""Commands that change what is planned: minutes, helper, start, temperature, wishes."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from dataclasses import replace

from fitup.tui import shop_forms
from fitup.tui.board import Board
from fitup.tui.commands.acts import chosen_task
from fitup.tui.commands.base import EVERYWHERE, TASK_VIEWS, Command, Face, Here
from fitup.tui.forms import Form
from fitup.tui.wording.session import left_out, line_key, out_key

_SESSION = frozenset({"Session"})


class PlanForm(Command):
    """Something about the session that the panel asks for."""

    where = _SESSION

    @staticmethod
    @abstractmethod
    def form(board: Board, after: Callable[[], None]) -> Form:
        """Return what to ask; `after` is called when the session is planned anew."""

    @classmethod
    def run(cls, face: Face) -> None:
        """Open the panel."""
        face.ask(cls.form(face.board, face.paint))


class Minutes(PlanForm):
    """Change how long this session is and how sure its run sheet should be; it is planned anew."""

    key = "i"
    word = "minutes"
    form = staticmethod(shop_forms.minutes_form)


class Helper(PlanForm):
    """Say when a second pair of hands is there; the run sheet is planned anew."""

    key = "h"
    word = "helper"
    form = staticmethod(shop_forms.helper_form)


class Begin(PlanForm):
    """Change when this session begins; the run sheet is planned anew."""

    key = "b"
    word = "begin"
    form = staticmethod(shop_forms.start_form)


class Degrees(PlanForm):
    """Enter the shop's temperature, or try one on this plan only."""

    key = "d"
    word = "temperature"
    where = EVERYWHERE
    form = staticmethod(shop_forms.temperature_form)


class PlanWish(Command):
    """Something wished of the chosen task in this session's plan."""

    where = TASK_VIEWS | {"Session"}
    wants = "a task that is not done"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a task is chosen that is not done."""
        return here.task is not None and here.state != "done"


class First(PlanWish):
    """Wish the chosen task to the front of the run sheet, or no longer."""

    key = "e"
    word = "first"

    @classmethod
    def run(cls, face: Face) -> None:
        """Wish it, or take the wish back."""
        board, task = face.board, chosen_task(face)
        had = task.id in board.wishes.first
        first = tuple(i for i in board.wishes.first if i != task.id) if had else (task.id, *board.wishes.first)
        without = tuple(i for i in board.wishes.without if i != task.id)
        board.wish(replace(board.wishes, first=first, without=without), None, None)
        face.tell(f"{task.title}: {'no longer wished first' if had else 'wished first'}")


class NotToday(PlanWish):
    """Leave the chosen task off this run sheet, or take it on again."""

    key = "z"
    word = "not today"

    @classmethod
    def run(cls, face: Face) -> None:
        """Leave it off, or take it on again."""
        board, task = face.board, chosen_task(face)
        had = task.id in board.wishes.without
        without = tuple(i for i in board.wishes.without if i != task.id) if had else (*board.wishes.without, task.id)
        first = tuple(i for i in board.wishes.first if i != task.id)
        board.wish(replace(board.wishes, first=first, without=without), None, None)
        face.tell(f"{task.title}: {'may be planned again' if had else 'not in this session'}")


class LeftOut(Command):
    """Go to the tasks that are not on the run sheet, each with the reason; once more to go back to the sheet."""

    key = "o"
    word = "left out"
    where = _SESSION
    wants = "a sheet that leaves something out"

    @classmethod
    def shown(cls, here: Here) -> str:
        """Return where it leads."""
        return "run sheet" if left_out(here.key) else cls.word

    @classmethod
    def run(cls, face: Face) -> None:
        """Choose the first of them, or the first line."""
        sheet = face.board.sheet
        out = sheet.left_out if sheet is not None else ()
        lines = sheet.lines if sheet is not None else ()
        if left_out(face.here().key) and lines:
            face.go("Session", line_key(lines[0].task))
        elif out:
            face.go("Session", out_key(out[0].task))
        else:
            face.tell("nothing that could be done now is left out", "warn")


class PlanAgain(Command):
    """Plan what is left of this session anew, from now."""

    key = "f5"
    word = "plan again"

    @classmethod
    def run(cls, face: Face) -> None:
        """Plan."""
        face.board.replan()
        face.tell(face.board.trouble or "planned anew", "bad" if face.board.trouble else "")
