"""Commands that change what is planned: minutes, helper, start, temperature, wishes."""

from __future__ import annotations

from dataclasses import replace

from fitup.tui import shop_forms
from fitup.tui.commands.acts import chosen_task
from fitup.tui.commands.base import TASK_VIEWS, Command, Face, Here

_SESSION = frozenset({"Session"})


class Minutes(Command):
    """Change how long this session is; the run sheet is planned anew."""

    key = "i"
    word = "minutes"
    where = _SESSION

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask for the minutes."""
        face.ask(shop_forms.minutes_form(face.board, face.paint))


class Helper(Command):
    """Say when a second pair of hands is there; the run sheet is planned anew."""

    key = "h"
    word = "helper"
    where = _SESSION

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask from when until when."""
        face.ask(shop_forms.helper_form(face.board, face.paint))


class Begin(Command):
    """Change when this session begins; the run sheet is planned anew."""

    key = "b"
    word = "begin"
    where = _SESSION

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask when."""
        face.ask(shop_forms.start_form(face.board, face.paint))


class Degrees(Command):
    """Enter the shop's temperature, or suppose one for this plan."""

    key = "d"
    word = "degrees"

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask how warm it is."""
        face.ask(shop_forms.temperature_form(face.board, face.paint))


class First(Command):
    """Wish the chosen task to the front of the run sheet, or no longer."""

    key = "e"
    word = "first"
    where = TASK_VIEWS | {"Session"}

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a task is chosen that is not done."""
        return here.task is not None and here.state != "done"

    @classmethod
    def run(cls, face: Face) -> None:
        """Wish it, or take the wish back."""
        board, task = face.board, chosen_task(face)
        had = task.id in board.wishes.first
        first = tuple(i for i in board.wishes.first if i != task.id) if had else (task.id, *board.wishes.first)
        without = tuple(i for i in board.wishes.without if i != task.id)
        board.wish(replace(board.wishes, first=first, without=without), None, None)
        face.tell(f"{task.title}: {'no longer wished first' if had else 'wished first'}")


class NotToday(Command):
    """Leave the chosen task off this run sheet, or take it on again."""

    key = "z"
    word = "not today"
    where = TASK_VIEWS | {"Session"}

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a task is chosen that is not done."""
        return here.task is not None and here.state != "done"

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
    """Show which tasks were left out of the run sheet and why, or hide them."""

    key = "o"
    word = "left out"
    where = _SESSION

    @classmethod
    def run(cls, face: Face) -> None:
        """Show or hide."""
        face.board.left_out_shown = not face.board.left_out_shown
        face.paint()


class PlanAgain(Command):
    """Plan what is left of this session anew, from now."""

    key = "f5"
    word = "plan again"

    @classmethod
    def run(cls, face: Face) -> None:
        """Plan."""
        face.board.replan()
        face.tell(face.board.trouble or "planned anew", "bad" if face.board.trouble else "")
