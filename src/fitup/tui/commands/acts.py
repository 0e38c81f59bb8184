"""Commands that act on the chosen task, hold or thing on the bench."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from fitup.model.asks import AskClock, AskLayOut, AskRedo, AskUndo
from fitup.model.plan import Task
from fitup.tui import hold_forms, shop_forms, work_forms
from fitup.tui.commands.base import EVERYWHERE, REVIEW, TASK_PAGES, Command, Face, Here
from fitup.tui.forms import Form
from fitup.tui.wording.common import hold_words
from fitup.tui.wording.holds import what_lifts
from fitup.tui.wording.session import left_out


def chosen_task(face: Face) -> Task:
    """Return the chosen task; commands that call this apply only where there is one."""
    task = face.here().task
    assert task is not None
    return task


@dataclass(frozen=True, slots=True)
class Asks:
    """What the panel asks about the chosen task, and whether it makes sense for that task."""

    form: Callable[[Face, Task], Form]
    fits: Callable[[Here, Task], bool] = lambda here, task: True


class TaskForm(Command):
    """Something about the chosen task that the panel asks for."""

    where = TASK_PAGES
    wants = "a task"
    asks: ClassVar[Asks]

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a task is chosen that it fits."""
        return here.task is not None and cls.asks.fits(here, here.task)

    @classmethod
    def run(cls, face: Face) -> None:
        """Open the panel."""
        face.ask(cls.asks.form(face, chosen_task(face)))


class Do(Command):
    """Do what the chosen row asks for: tick it, measure it, answer its hold, lay it out, or tell why it is left out."""

    key = "enter"
    word = "do it"
    room = len("measure")
    where = EVERYWHERE - {"Whole", REVIEW}
    wants = "a row that something can be done with"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a row is chosen that something can be done with."""
        return here.lay is not None or here.hold is not None or (here.task is not None and here.state != "done")

    @classmethod
    def why_not(cls, here: Here) -> str:
        """Say of done work how it is opened again."""
        if here.task is not None and here.page in cls.where:
            return f"{here.task.title} is done; r reopens it"
        return super().why_not(here)

    @classmethod
    def shown(cls, here: Here) -> str:
        """Return what it comes to for the chosen row."""
        if here.lay is not None:
            return "laid out"
        if here.hold is not None:
            return what_lifts(here.hold) or "why"
        if here.page == "Session" and left_out(here.key):
            return "why not"
        if here.state == "held":
            return "why"
        return "measure" if here.task is not None and here.task.check else "tick"

    @classmethod
    def run(cls, face: Face) -> None:
        """Run the command that fits the chosen row."""
        here = face.here()
        if here.lay is not None:
            LayOut.run(face)
            return
        task = chosen_task(face)
        if here.hold is not None:
            cls._answer(face, here, task)
        elif here.page == "Session" and left_out(here.key):
            face.ask_why(task.id)
        elif here.state == "held":
            first = face.board.standing(task.id)[0]
            face.tell(f"{task.title} is held; {hold_words(face.board, first)}", "warn")
        else:
            face.run_command("measure" if task.check else "tick")

    @classmethod
    def _answer(cls, face: Face, here: Here, task: Task) -> None:
        """Do what lifts the chosen hold, or say that only waiting helps."""
        assert here.hold is not None
        answer = what_lifts(here.hold)
        if answer == "measure" and here.hold.hold.until:
            face.go("Graph", here.hold.hold.until)
        elif answer:
            face.run_command(answer)
        else:
            face.tell(f"{task.title}: {hold_words(face.board, here.hold)}", "warn")


class Tick(TaskForm):
    """Mark the chosen task as done, wholly or so many of it, with the minutes it took."""

    key = "t"
    word = "tick"
    asks = Asks(
        lambda face, task: work_forms.tick_form(face.board, task),
        lambda here, task: task.check is None and here.state != "done",
    )

    @classmethod
    def why_not(cls, here: Here) -> str:
        """Say what to do instead."""
        if here.task is not None and here.page in cls.where:
            instead = "done; r reopens it" if here.task.check is None else "a check: m measures it"
            return f"{here.task.title} is {instead}"
        return super().why_not(here)


class Measure(TaskForm):
    """Enter the readings of the chosen check; it is judged at once."""

    key = "m"
    word = "measure"
    wants = "a check"
    asks = Asks(
        lambda face, task: work_forms.measure_form(face.board, task),
        lambda here, task: task.check is not None,
    )


class Reopen(TaskForm):
    """Say that done work is no longer done: rivets drilled out, a doubt."""

    key = "r"
    word = "reopen"
    wants = "work that is done, wholly or in part"
    asks = Asks(lambda face, task: work_forms.reopen_form(face.board, task), lambda here, task: here.done > 0)


class Again(TaskForm):
    """Start a mix afresh when its time ran out; no marks are left on what came after."""

    key = "a"
    word = "again"
    wants = "a task that was done, or whose time ran out"
    asks = Asks(
        lambda face, task: work_forms.again_form(_opener(face, task)),
        lambda here, task: here.done > 0 or "within" in here.kinds,
    )


class Lift(TaskForm):
    """Lift a stop, or say that a cure's witness sample is cured."""

    key = "l"
    word = "lift"
    wants = "a task that a stop or a cure holds"
    asks = Asks(
        lambda face, task: hold_forms.lift_form(face.board, task, face.here().hold),
        lambda here, task: bool(here.kinds & {"stop", "cure"}),
    )


class Waive(TaskForm):
    """Set a hold aside with a reason; it is shown in every record afterwards."""

    key = "w"
    word = "waive"
    wants = "a task with a hold that may be set aside"
    asks = Asks(
        lambda face, task: hold_forms.waive_form(face.board, task, face.here().hold),
        lambda here, task: bool(here.kinds & set(hold_forms.WAIVABLE)),
    )


class Stop(TaskForm):
    """Stop the chosen task, or all of its drawing, until a question is answered."""

    key = "x"
    word = "stop"
    asks = Asks(lambda face, task: hold_forms.stop_form(task))


class Sign(TaskForm):
    """Sign the chosen task's sign-off in its role."""

    key = "s"
    word = "sign"
    wants = "a task that waits for a signature"
    asks = Asks(lambda face, task: hold_forms.sign_form(face.board, task), lambda here, task: "sign-off" in here.kinds)


class Cure(TaskForm):
    """Correct the hours of a cure that the chosen task waits for."""

    key = "c"
    word = "cure"
    wants = "a task that waits for a cure"
    asks = Asks(
        lambda face, task: hold_forms.cure_form(face.board, task, face.here().hold),
        lambda here, task: any(hold.kind == "cure" for hold in task.holds),
    )


class Note(TaskForm):
    """Write a note on the chosen task; it can be shown first next time."""

    key = "n"
    word = "note"
    asks = Asks(lambda face, task: work_forms.note_form(task, next_time=face.here().page == "Session"))


class Photo(TaskForm):
    """Put a photo of the chosen task on file."""

    key = "p"
    word = "photo"
    asks = Asks(lambda face, task: work_forms.photo_form(task))


def _opener(face: Face, task: Task) -> Task:
    """Return the task that started the window which ran out, where such a hold is chosen; else the task itself."""
    hold = face.here().hold
    until = hold.hold.until if hold is not None and hold.kind == "within" else None
    return (face.board.task(until) if until else None) or task


class Clock(Command):
    """Start the clock on the chosen task, or stop it."""

    key = "g"
    word = "clock"
    where = TASK_PAGES
    wants = "a task"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a task is chosen."""
        return here.task is not None

    @classmethod
    def run(cls, face: Face) -> None:
        """Start or stop, whichever it is not."""
        task = chosen_task(face)
        running = task.id in face.board.project.progress.clocks
        face.do(AskClock(not running, task.id))


class SessionClock(Command):
    """Start the clock of the session, or stop it."""

    key = "f6"
    word = "session clock"

    @classmethod
    def run(cls, face: Face) -> None:
        """Start or stop, whichever it is not."""
        start = "" not in face.board.project.progress.clocks
        face.do(AskClock(start, None if start else ""))


class LayOut(Command):
    """Tick a thing as laid out on the bench, or put it back."""

    key = "b"
    word = "laid out"
    where = frozenset({"Bench"})
    wants = "a thing to lay out"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a thing is chosen."""
        return here.lay is not None

    @classmethod
    def run(cls, face: Face) -> None:
        """Tick it, or untick it."""
        lay = face.here().lay
        assert lay is not None
        face.do(AskLayOut(lay.line, lay.line not in face.board.project.progress.laid_out))


class Stock(Command):
    """Enter what was counted, came in or was used of an item."""

    key = "k"
    word = "stock"

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask of what and how much."""
        face.ask(shop_forms.stock_form(face.board, _items(face)))


class Arrived(Command):
    """Say that what was on order is there."""

    key = "v"
    word = "arrived"

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask which."""
        face.ask(shop_forms.arrived_form(face.board, _items(face)))


def _items(face: Face) -> list[str]:
    """Return the items that the chosen row is about."""
    here = face.here()
    needed = [item for item, _ in here.task.needs] if here.task else []
    return [here.item, *needed] if here.item else needed


class Undo(Command):
    """Take back the latest entry, and say what it was."""

    key = "u"
    word = "undo"

    @classmethod
    def run(cls, face: Face) -> None:
        """Undo."""
        face.do(AskUndo())


class Redo(Command):
    """Make the entry taken back last again."""

    key = "y"
    word = "redo"

    @classmethod
    def run(cls, face: Face) -> None:
        """Redo."""
        face.do(AskRedo())
