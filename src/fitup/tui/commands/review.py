"""Commands around the plan review, and the trade's sums: neither changes anything in the project."""

from __future__ import annotations

from fitup.tui import sum_forms
from fitup.tui.commands.base import EVERYWHERE, PAGES, REVIEW, Command, Face, Here
from fitup.tui.rows import row, say


class ReviewPage(Command):
    """What the plan review finds, each with how to mend it and its source, and the rules that are switched off."""

    key = "f9"
    word = "review"
    where = EVERYWHERE

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether another page is shown."""
        return here.page != REVIEW

    @classmethod
    def why_not(cls, here: Here) -> str:
        """Say where the other pages are."""
        return f"this is the review; {PAGES[0][0]} to {PAGES[-1][0]} lead to the other pages"

    @classmethod
    def run(cls, face: Face) -> None:
        """Go there."""
        face.go(REVIEW)


class ToTask(Command):
    """Go to the task that the chosen finding is about."""

    key = "enter"
    word = "to its task"
    where = frozenset({REVIEW})
    wants = "a finding about one task"

    @classmethod
    def applies(cls, here: Here) -> bool:
        """Return whether the finding is about a task."""
        return here.task is not None

    @classmethod
    def why_not(cls, here: Here) -> str:
        """Say why there is nowhere to go."""
        if here.page == REVIEW and here.key:
            return "this one is about no single task; Tab shows it at length"
        return super().why_not(here)

    @classmethod
    def run(cls, face: Face) -> None:
        """Draw around the task."""
        task = face.here().task
        assert task is not None
        face.go("Graph", task.id)


class Sums(Command):
    """The trade's sums with their sources: rivet, hole, cure, splice, straightness, learning."""

    key = "f12"
    word = "sums"
    where = EVERYWHERE

    @classmethod
    def run(cls, face: Face) -> None:
        """Ask which."""
        rows = [row(say(f" {one.words:<22}", "strong"), say(one.says, "dim"), key=one.name) for one in sum_forms.SUMS]

        def pick(name: str) -> None:
            sum_forms.open_sum(face, name)

        face.ask(sum_forms.choose_form(rows, pick))
