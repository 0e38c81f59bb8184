"""What a command is: one class, declared once, from which key, key line, help page and palette follow."""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Protocol

from fitup.model.asks import Ask
from fitup.model.plan import Task
from fitup.tui.board import Board
from fitup.tui.forms import Form
from fitup.tui.wording.bench import Lay, find_lay, ordered_item
from fitup.tui.wording.holds import find_hold, root_hold
from fitup.tui.wording.review import finding_task

if TYPE_CHECKING:
    from fitup.readiness import HoldState

PAGES = (("1", "Session"), ("2", "Graph"), ("3", "Holds"), ("4", "Bench"))
"""The pages with their keys. A page that is not built is not shown."""

VIEWS = frozenset({"Graph", "Tasks", "Whole", "Inside"})
"""What the Graph page shows: around a task, the plain list, the assemblies, one assembly's tasks."""

_VIEW_WORDS = {"Tasks": "the task list (2, then i)", "Whole": "the whole plan (2, then F3)", "Inside": "an assembly"}

TASK_VIEWS = VIEWS - {"Whole"}
"""The views that show tasks; they share the chosen one."""

PICTURES = VIEWS - {"Tasks"}
DRAWN = frozenset({"Graph", "Inside"})
TASK_PAGES = frozenset({"Session", "Holds"}) | TASK_VIEWS
REVIEW = "Review"
"""The page of the plan review, which has a key of its own instead of a number."""

EVERYWHERE = frozenset({*(name for _, name in PAGES), REVIEW, "Help"}) | VIEWS


def tab_of(page: str) -> str:
    """Return the page that a view belongs to."""
    return "Graph" if page in VIEWS else page


@dataclass(frozen=True, slots=True)
class Here:
    """Where the builder is: the page, what is chosen on it, and whether its detail is being read."""

    page: str
    key: str = ""
    task: Task | None = None
    state: str = ""
    done: int = 0
    kinds: frozenset[str] = frozenset()
    hold: HoldState | None = None
    lay: Lay | None = None
    item: str = ""
    reading: bool = False


def look(board: Board, page: str, key: str) -> Here:
    """Return what is chosen by the key of a page's row."""
    hold = None
    lay = None
    task_id = key
    if page == "Session":
        task_id = key.partition(" ")[2]
    elif page == "Holds":
        kind, _, rest = key.partition(" ")
        hold = root_hold(board, rest) if kind == "root" else find_hold(board, key)
        task_id = hold.task if hold is not None else rest
    elif page == "Bench":
        task_id, lay = "", find_lay(board, key)
    elif page == REVIEW:
        about = finding_task(board, key)
        task_id = about.id if about is not None else ""
    elif page == "Whole":
        task_id = ""
    task = board.task(task_id)
    if task is None:
        return Here(page, key, lay=lay, item=lay.item if lay else ordered_item(key) if page == "Bench" else "")
    kinds = frozenset(standing.kind for standing in board.standing(task.id))
    state = board.readiness().states[task.id]
    item = hold.hold.item if hold is not None and hold.kind == "supply" else ""
    return Here(page, key, task, state, board.project.progress.of(task.id).done, kinds, hold, lay, item)


class Face(Protocol):
    """What a command may do to the screens."""

    board: Board

    def here(self) -> Here:
        """Return where the builder is."""

    def ask(self, form: Form) -> None:
        """Open the panel with a form."""

    def do(self, ask: Ask) -> None:
        """Have the desk do something, and tell what came of it or why not."""

    def go(self, page: str, key: str = "") -> None:
        """Go to a page, and there to a row."""

    def tell(self, text: str, role: str = "") -> None:
        """Say a sentence above the status line."""

    def paint(self) -> None:
        """Show everything as it is now."""

    def chosen_task(self) -> str:
        """Return the task that the views of the Graph page share, "" for none."""

    def go_back(self) -> None:
        """Choose what was chosen before in the drawing."""

    def draw_around(self) -> None:
        """Lay the drawing out around the chosen task."""

    def ask_why(self, task_id: str) -> None:
        """Find out what it would cost to take a task onto the sheet, and tell when it is known."""

    def read_on(self) -> None:
        """Move between the list and the detail beside or below it."""

    def run_command(self, name: str) -> None:
        """Run another command."""

    def change_theme(self) -> None:
        """Take the next theme."""

    def leave(self) -> None:
        """Close the screens."""


def _places(where: frozenset[str]) -> list[str]:
    """Return the names of pages for people; a view of the Graph page is named where the page itself is not."""
    pages = [name for _, name in PAGES if name in where] + [name for name in (REVIEW,) if name in where]
    views = [words for view, words in _VIEW_WORDS.items() if view in where and "Graph" not in where]
    return pages + views


class Command(ABC):
    """One thing that can be done. The class's docstring is its help sentence.

    `key` is what is pressed, `word` stands for it in the key line, `where` are the pages on which
    it can be done, `wants` says what has to be chosen there; `always` puts it at the right end of
    the key line. `room` are the cells kept for a word that changes with what is chosen, so that those
    behind it stay where they are.
    """

    key: ClassVar[str] = ""
    word: ClassVar[str] = ""
    where: ClassVar[frozenset[str]] = EVERYWHERE
    wants: ClassVar[str] = "a row that it fits"
    always: ClassVar[bool] = False
    room: ClassVar[int] = 0

    @classmethod
    def name(cls) -> str:
        """Return the command's name: the class's in words joined by dashes."""
        return re.sub(r"(?<!^)(?=[A-Z])", "-", cls.__name__).lower()

    @classmethod
    def help(cls) -> str:
        """Return the help sentence."""
        return " ".join((cls.__doc__ or "").split())

    @classmethod
    def key_words(cls) -> str:
        """Return how the key is written for people."""
        return cls.key.capitalize() if len(cls.key) > 1 else cls.key

    @classmethod
    def shown(cls, here: Here) -> str:
        """Return the word for the key line: `word`, or a narrower one for what is chosen."""
        return cls.word

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether it makes sense for what is chosen."""
        return True

    @classmethod
    def why_not(cls, here: Here) -> str:
        """Return the sentence for a command that does not apply."""
        if here.page not in cls.where:
            return f"{cls.key_words()} ({cls.word}) works on: {', '.join(_places(cls.where))}"
        return f"{cls.key_words()} ({cls.word}) needs {cls.wants}: none is chosen here"

    @classmethod
    @abstractmethod
    def run(cls, face: Face) -> None:
        """Do it."""
