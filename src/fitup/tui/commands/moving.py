"""Commands for getting about: pages, finding, detail, help, palette."""

from __future__ import annotations

from collections.abc import Sequence

from fitup.tui import shop_forms, sum_forms
from fitup.tui.board import Filter
from fitup.tui.commands.base import EVERYWHERE, PAGES, Command, Face, Here
from fitup.tui.rows import Row, row, say
from fitup.tui.wording.common import state_glyph


class Page(Command):
    """A page, gone to by its number."""

    page = ""

    @classmethod
    def run(cls, face: Face) -> None:
        """Go there."""
        face.go(cls.page)


class SessionPage(Page):
    """What to do in this session: the morning in eight lines, and the run sheet."""

    key, page = PAGES[0]
    word = "Session"


class GraphPage(Page):
    """The chosen task drawn with what it waits for above it and what waits for it below."""

    key, page = PAGES[1]
    word = "Graph"


class HoldsPage(Page):
    """What stands in the way, what lifts it, and what frees most hours."""

    key, page = PAGES[2]
    word = "Holds"


class BenchPage(Page):
    """What to lay out on the bench, shortages first."""

    key, page = PAGES[3]
    word = "Bench"


class AllTasks(Command):
    """List all tasks again."""

    key = "o"
    word = "all"
    where = frozenset({"Tasks"})

    @classmethod
    def run(cls, face: Face) -> None:
        """Drop the filter."""
        face.board.filter = Filter()
        face.paint()


class Detail(Command):
    """Read the detail of the chosen row at length; once more to go back to the list."""

    key = "tab"
    word = "detail"
    room = len("detail")
    where = EVERYWHERE - {"Help"}

    @classmethod
    def shown(cls, here: Here) -> str:
        """Return where it leads."""
        return "back" if here.reading else cls.word

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether a row is chosen."""
        return bool(here.key)

    @classmethod
    def run(cls, face: Face) -> None:
        """Move there or back."""
        face.read_on()


class Help(Command):
    """Show what every key does; once more to go back."""

    key = "f1"
    word = "help"
    always = True

    @classmethod
    def run(cls, face: Face) -> None:
        """Show or leave the help page."""
        face.go("Help")


class Palette(Command):
    """Find a command, a sum of the trade, or a task, by typing part of its name."""

    key = "f2"
    word = "more"
    always = True

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask for it."""
        from fitup.tui.commands import matching

        def options(words: str) -> Sequence[Row]:
            rows = [
                row(
                    say(f" {command.key_words():<6}", "key"),
                    say(f"{command.word:<15}", "strong"),
                    say(command.help(), "dim"),
                    key=f"command {command.name()}",
                )
                for command in matching(words, face.here())
            ]
            return [*rows, *sum_forms.sum_options(words), *_tasks_like(face, words)]

        def pick(key: str) -> None:
            kind, _, name = key.partition(" ")
            if kind == "command":
                face.run_command(name)
            elif kind == "sum":
                sum_forms.open_sum(face, name)
            else:
                face.go("Graph", name)

        face.ask(shop_forms.palette_form(options, pick))


def _tasks_like(face: Face, words: str) -> list[Row]:
    """Return up to eight tasks whose title or id holds all the words typed."""
    parts = words.casefold().split()
    if not parts or len(parts[0]) < 2:
        return []
    states = face.board.readiness().states
    found = []
    for task in face.board.project.plan.tasks:
        if all(part in f"{task.id} {task.title}".casefold() for part in parts):
            glyph = state_glyph(states[task.id], face.board.ascii_only)
            found.append(
                row(" ", glyph, say("     "), say(task.title), say(f"  {task.id}", "dim"), key=f"task {task.id}")
            )
    return found[:8]


class Theme(Command):
    """Take the next set of colours: the terminal's own, dark, or light."""

    key = "f8"
    word = "colours"
    where = EVERYWHERE

    @classmethod
    def run(cls, face: Face) -> None:
        """Change."""
        face.change_theme()


class Quit(Command):
    """Leave; everything is saved already."""

    key = "q"
    word = "quit"
    always = True

    @classmethod
    def run(cls, face: Face) -> None:
        """Leave."""
        face.leave()
