"""Commands that act on the chosen task, hold or thing on the bench."""

from __future__ import annotations

from fitup.model.asks import AskClock, AskLayOut, AskRedo, AskUndo
from fitup.model.plan import Task
from fitup.tui import hold_forms, shop_forms, work_forms
from fitup.tui.commands.base import EVERYWHERE, REVIEW, TASK_PAGES, Command, Face, Here
from fitup.tui.wording.common import hold_words
from fitup.tui.wording.holds import what_lifts


def chosen_task(face: Face) -> Task:
    """Return the chosen task; commands that call this apply only where there is one."""
    task = face.here().task
    assert task is not None
    return task


class TaskCommand(Command):
    """Something that is done to the chosen task."""

    where = TASK_PAGES

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a task is chosen."""
        return here.task is not None


class Do(Command):
    """Do what the chosen row asks for: tick it, measure it, answer its hold, or lay it out."""

    key = "enter"
    word = "do it"
    room = len("measure")
    where = EVERYWHERE - {"Whole", REVIEW}

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a row is chosen."""
        return here.task is not None or here.lay is not None

    @classmethod
    def shown(cls, here: Here) -> str:
        """Return what it comes to for the chosen row."""
        if here.lay is not None:
            return "laid out"
        if here.hold is not None:
            return what_lifts(here.hold) or "why"
        if here.state in ("done", "held"):
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
            answer = what_lifts(here.hold)
            if answer == "measure" and here.hold.hold.until:
                face.go("Graph", here.hold.hold.until)
            elif answer:
                face.run_command(answer)
            else:
                face.tell(f"{task.title}: {hold_words(face.board, here.hold)}", "warn")
        elif here.state == "done":
            face.tell(f"{task.title} is done; r reopens it", "warn")
        elif here.state == "held":
            first = face.board.standing(task.id)[0]
            face.tell(f"{task.title} is held; {hold_words(face.board, first)}", "warn")
        else:
            face.run_command("measure" if task.check else "tick")


class Tick(TaskCommand):
    """Mark the chosen task as done, wholly or so many of it, with the minutes it took."""

    key = "t"
    word = "tick"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether there is something left to tick."""
        return here.task is not None and here.task.check is None and here.state != "done"

    @classmethod
    def why_not(cls, here: Here) -> str:
        """Say what to do instead."""
        if here.task is not None and here.page in cls.where:
            return (
                f"{here.task.title} is {'done; r reopens it' if here.task.check is None else 'a check: m measures it'}"
            )
        return super().why_not(here)

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask how much."""
        face.ask(work_forms.tick_form(face.board, chosen_task(face)))


class Measure(TaskCommand):
    """Enter the readings of the chosen check; it is judged at once."""

    key = "m"
    word = "measure"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether the task is a check."""
        return here.task is not None and here.task.check is not None

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask for the readings."""
        task = chosen_task(face)
        assert task.check is not None
        face.ask(work_forms.measure_form(face.board, task, task.check))


class Reopen(TaskCommand):
    """Say that done work is no longer done: rivets drilled out, a doubt."""

    key = "r"
    word = "reopen"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether anything of it is done."""
        return here.task is not None and here.done > 0

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask how much and why."""
        face.ask(work_forms.reopen_form(face.board, chosen_task(face)))


class Again(TaskCommand):
    """Start a mix afresh when its time ran out; no marks are left on what came after."""

    key = "a"
    word = "again"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a task is chosen that was done, or whose window ran out."""
        return here.task is not None and (here.done > 0 or "within" in here.kinds)

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask whether to, for the task that started the window where one ran out."""
        here = face.here()
        task = chosen_task(face)
        if here.hold is not None and here.hold.kind == "within" and here.hold.hold.until:
            task = face.board.task(here.hold.hold.until) or task
        face.ask(work_forms.again_form(face.board, task))


class Lift(TaskCommand):
    """Lift a stop, or say that a cure's witness sample is cured."""

    key = "l"
    word = "lift"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a stop or a cure stands."""
        return bool(here.kinds & {"stop", "cure"})

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask on what ground."""
        face.ask(hold_forms.lift_form(face.board, chosen_task(face), face.here().hold))


class Waive(TaskCommand):
    """Set a hold aside with a reason; it is shown in every record afterwards."""

    key = "w"
    word = "waive"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a hold stands that may be set aside."""
        return bool(here.kinds & set(hold_forms.WAIVABLE))

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask why."""
        face.ask(hold_forms.waive_form(face.board, chosen_task(face), face.here().hold))


class Stop(TaskCommand):
    """Stop the chosen task, or all of its drawing, until a question is answered."""

    key = "x"
    word = "stop"

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask why."""
        face.ask(hold_forms.stop_form(face.board, chosen_task(face)))


class Sign(TaskCommand):
    """Sign the chosen task's sign-off in its role."""

    key = "s"
    word = "sign"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a signature is waited for."""
        return "sign-off" in here.kinds

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask as whom."""
        face.ask(hold_forms.sign_form(face.board, chosen_task(face)))


class Cure(TaskCommand):
    """Correct the hours of a cure that the chosen task waits for."""

    key = "c"
    word = "cure"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether the task waits for a cure."""
        return here.task is not None and any(hold.kind == "cure" for hold in here.task.holds)

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask for the hours."""
        face.ask(hold_forms.cure_form(face.board, chosen_task(face), face.here().hold))


class Note(TaskCommand):
    """Write a note on the chosen task; it can be shown first next time."""

    key = "n"
    word = "note"

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask for the words."""
        face.ask(work_forms.note_form(face.board, chosen_task(face), next_time=face.here().page == "Session"))


class Photo(TaskCommand):
    """Put a photo of the chosen task on file."""

    key = "p"
    word = "photo"

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask for the file."""
        face.ask(work_forms.photo_form(face.board, chosen_task(face)))


class Clock(TaskCommand):
    """Start the clock on the chosen task, or stop it."""

    key = "g"
    word = "clock"

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
        face.do(AskClock("" not in face.board.project.progress.clocks, None if _off(face) else ""))


def _off(face: Face) -> bool:
    return "" not in face.board.project.progress.clocks


class LayOut(Command):
    """Tick a thing as laid out on the bench, or put it back."""

    key = "b"
    word = "laid out"
    where = frozenset({"Bench"})

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
