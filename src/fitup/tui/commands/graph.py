"""Commands of the Graph page: its views, jumps along the plan, the way back, finding."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable

from fitup.tui import shop_forms
from fitup.tui.commands.base import DRAWN, EVERYWHERE, VIEWS, Command, Face, Here
from fitup.tui.forms import Field, Form
from fitup.tui.wording.graph import found_rows

_NOT_LISTED = EVERYWHERE - {"Tasks"}


class Find(Command):
    """Find a task by typing part of its title, id or assembly, and show it in the drawing."""

    key = "f"
    word = "find"
    where = _NOT_LISTED

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask for the words."""
        board = face.board
        fields = [Field("words", "find", wide=True)]

        def pick(task_id: str) -> None:
            face.go("Graph", task_id)

        face.ask(Form("Which task?", fields, lambda a: None, options=lambda w: found_rows(board, w), pick=pick))


class Narrow(Command):
    """Narrow the task list by typing words of a title, id or assembly, by state, assembly or kind of work."""

    key = "f"
    word = "find"
    where = frozenset({"Tasks"})

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask which."""
        face.ask(shop_forms.filter_form(face.board, face.paint))


class PlainList(Command):
    """Show the tasks as a plain list, or draw what is around the chosen one."""

    key = "i"
    word = "list"
    where = VIEWS - {"Whole"}

    @classmethod
    def shown(cls, here: Here) -> str:
        """Return what comes next."""
        return "list" if here.page == "Graph" else "draw around"

    @classmethod
    def run(cls, face: Face) -> None:
        """Change between list and drawing; the chosen task stays."""
        face.go("Tasks" if face.here().page == "Graph" else "Graph")


class WholePlan(Command):
    """Show every assembly as one box with its counts and hours; once more to go back to the chosen task."""

    key = "f3"
    word = "whole"
    where = VIEWS

    @classmethod
    def shown(cls, here: Here) -> str:
        """Return what comes next."""
        return "back to task" if here.page == "Whole" else "whole"

    @classmethod
    def run(cls, face: Face) -> None:
        """Change between the assemblies and the tasks."""
        here = face.here()
        if here.page == "Whole":
            face.go("Graph")
        else:
            face.go("Whole", here.task.assembly if here.task else "")


class Open(Command):
    """Open the chosen assembly: all its tasks drawn, scrolled with the chosen task in view."""

    key = "enter"
    word = "open"
    where = frozenset({"Whole"})

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether an assembly is chosen."""
        return bool(here.key)

    @classmethod
    def run(cls, face: Face) -> None:
        """Draw its tasks, with the first that can be worked on chosen where the chosen task is not among them."""
        board, assembly = face.board, face.here().key
        board.assembly = assembly
        states = board.readiness().states
        tasks = [task.id for task in board.project.plan.tasks if task.assembly == assembly]
        first = next((task for task in tasks if states[task] in ("ready", "under way")), tasks[0] if tasks else "")
        face.go("Inside", face.chosen_task() if face.chosen_task() in tasks else first)


class Jump(Command):
    """A jump to the next task of a kind, in plan order, round and round."""

    where = DRAWN
    nothing = ""

    @classmethod
    @abstractmethod
    def fits(cls, face: Face) -> Callable[[str], bool]:
        """Return the test for tasks to jump to."""

    @classmethod
    def run(cls, face: Face) -> None:
        """Choose the next one."""
        here, board = face.here(), face.board
        order = [t.id for t in board.project.plan.tasks if here.page != "Inside" or t.assembly == board.assembly]
        at = order.index(here.task.id) + 1 if here.task is not None and here.task.id in order else 0
        fits = cls.fits(face)
        found = next((task for task in (*order[at:], *order[:at]) if fits(task)), None)
        if found is None:
            face.tell(cls.nothing, "warn")
        else:
            face.go(here.page, found)


class NextHeld(Jump):
    """Go to the next held task in plan order."""

    key = "h"
    word = "held"
    nothing = "nothing is held"

    @classmethod
    def fits(cls, face: Face) -> Callable[[str], bool]:
        """Return whether a task is held."""
        states = face.board.readiness().states
        return lambda task: states[task] == "held"


class NextReady(Jump):
    """Go to the next task in plan order that can be worked on."""

    key = "o"
    word = "ready"
    nothing = "nothing can be worked on now"

    @classmethod
    def fits(cls, face: Face) -> Callable[[str], bool]:
        """Return whether a task is ready or under way."""
        states = face.board.readiness().states
        return lambda task: states[task] in ("ready", "under way")


class CriticalChain(Jump):
    """Go to the next open task of the critical chain, marked *: what delays it delays everything."""

    key = "j"
    word = "critical"
    nothing = "nothing is left on the critical chain"

    @classmethod
    def fits(cls, face: Face) -> Callable[[str], bool]:
        """Return whether a task is on the critical chain and not done."""
        states, critical = face.board.readiness().states, face.board.desk.chain().critical
        return lambda task: task in critical and states[task] != "done"


class Back(Command):
    """Go back to the task chosen before, step by step."""

    key = "b"
    word = "back"
    where = DRAWN

    @classmethod
    def run(cls, face: Face) -> None:
        """Go back."""
        face.go_back()


class Middle(Command):
    """Draw around the chosen task: it comes into the middle, with all its neighbours."""

    key = "f7"
    word = "middle"
    where = frozenset({"Graph"})

    @classmethod
    def run(cls, face: Face) -> None:
        """Lay the drawing out anew."""
        face.draw_around()
