"""The screens: which keys there are, and what commands may do.

What is shown is worded elsewhere and what is done is the desk's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType

from fitup.desk import Desk
from fitup.model.refusal import Refused
from fitup.tui.behind import Behind
from fitup.tui.board import Board
from fitup.tui.commands import COMMANDS, TASK_VIEWS, by_key, by_name
from fitup.tui.forms import Form
from fitup.tui.stage import move_lines
from fitup.tui.telling import outcome_rows
from fitup.tui.widgets.lines import Lines
from fitup.tui.widgets.panel import Panel, is_function_key
from fitup.tui.work_forms import close_call_form

if TYPE_CHECKING:
    from fitup.desk_proof import Proofs
    from fitup.model.asks import Ask

THEMES = ("textual-dark", "textual-light", "ansi-dark", "ansi-light")

NO_REPLAN = frozenset({"note", "photo", "lay-out", "clock-start", "clock-stop"})
"""Acts on which no run sheet depends."""

_MOVES = ("up", "down", "left", "right", "pageup", "pagedown", "home", "end")


class FitupApp(Behind, inherit_bindings=False):
    """The screens on one desk."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(key, f"key('{key}')", show=False, priority=True, id=f"key-{key}")
            for key in dict.fromkeys(command.key for command in COMMANDS)
        ),
        *(Binding(key, f"move('{key}')", show=False, priority=True) for key in _MOVES),
        Binding("ctrl+c,ctrl+q", "leave", show=False, priority=True),
    ]

    def __init__(self, desk: Desk, *, ascii_only: bool, proofs: Proofs | None = None) -> None:
        """Make the screens on an open desk; only ASCII is drawn with `ascii_only`, sheets proven with `proofs`."""
        super().__init__(Board(desk, ascii_only, proofs=proofs))
        self._back = self.page
        self._telling = False

    # -- what commands may do ----------------------------------------------------------------

    def go(self, page: str, key: str = "") -> None:
        """Go to a page, and there to a row; Help goes back when it is shown."""
        if page == "Help":
            page, self._back = (self._back, self._back) if self.page == "Help" else ("Help", self.page)
        task = self.here().task
        key = key or (task.id if task is not None and page in TASK_VIEWS and self.page != page else "")
        self.page = page
        if key:
            self.stage.set_place(page, key)
        self.reading = False
        self._close_panel()
        self.tell("")

    def ask(self, form: Form) -> None:
        """Open the panel with a form."""
        self.said = []
        self.reading = False
        self.panel.open(form)
        self.paint()
        self.screen.set_focus(self.panel)

    def do(self, ask: Ask) -> None:
        """Have the desk do something, and tell what came of it or why not."""
        try:
            outcome = self.board.desk.do(ask)
        except Refused as refused:
            self.refuse(str(refused))
            return
        self._close_panel()
        self.board.freed = frozenset(outcome.freed)
        if outcome.name in NO_REPLAN:
            self.board.changed()
        else:
            self.board.replan()
        self.said = list(outcome_rows(self.board, outcome))
        self.paint()
        if (form := close_call_form(self.board, ask, outcome.measurement)) is not None:
            self.ask(form)

    def chosen_task(self) -> str:
        """Return the task that the views of the Graph page share, "" for none."""
        return self.stage.place("Graph")

    def go_back(self) -> None:
        """Choose what was chosen before in the drawing."""
        if not self.drawing.back():
            self.tell("this is where the walk began", "warn")
        self._row_chosen()

    def draw_around(self) -> None:
        """Lay the drawing out around the chosen task."""
        self.drawing.centre()

    def read_on(self) -> None:
        """Move between the list and the detail beside or below it."""
        self.reading = not self.reading
        self.said = []
        self.paint()

    def run_command(self, name: str) -> None:
        """Run a command by its name, where it applies."""
        command = by_name(name)
        here = self.here()
        if here.page not in command.where or not command.applies(here):
            self.tell(command.why_not(here), "warn")
            return
        try:
            command.run(self)
        except Refused as refused:
            self.refuse(str(refused))

    def change_theme(self) -> None:
        """Take the next theme."""
        place = THEMES.index(self.theme) if self.theme in THEMES else -1
        self.theme = THEMES[(place + 1) % len(THEMES)]
        self.tell(f"colours: {self.theme}")

    def leave(self) -> None:
        """Close the screens."""
        self.exit()

    # -- keys and messages -------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Return whether a key is a command's; an open panel takes those that fill in a form.

        All others are run where they arrive: on their way through the blocks they would cost as much as their answer.
        """
        if action in ("key", "move"):
            return self.panel.form is None or is_function_key(str(parameters[0]))
        return super().check_action(action, parameters)

    def action_key(self, key: str) -> None:
        """Run the command that a key stands for on this page."""
        command = by_key(key, self.page)
        if command is not None:
            self.run_command(command.name())

    def action_leave(self) -> None:
        """Close the screens."""
        self.leave()

    def action_move(self, key: str) -> None:
        """Move in the list, or in the detail while it is being read."""
        if self.page == "Help" or self.reading:
            block = self.list if self.page == "Help" else self.side if self.side.display else self.strip
            move_lines(block, key, scrolling=True)
            return
        self.stage.move(key)
        self._row_chosen()

    def on_picture_chosen(self) -> None:
        """Show the detail of another box; its class is not imported for this."""
        self._row_chosen()

    @on(Lines.Chosen)
    def _row_chosen(self) -> None:
        """Show the detail of another row, at once when a key chose it so that one painting does."""
        if self.stage.place(self.page) != self.stage.chosen:
            self.stage.set_place(self.page, self.stage.chosen)
            if self.stage.shown is self.list:
                self.paint_chosen()
            elif not self._telling:
                self._telling = self.call_later(self._tell_chosen)

    def _tell_chosen(self) -> None:
        """Tell of the box chosen by the last of the keys that came at once."""
        self._telling = False
        self.paint_chosen()

    @on(Panel.Typed)
    def _typed(self) -> None:
        form = self.panel.form
        if form is not None and form.live is not None:
            form.live(form.answers)
        else:
            self.paint()

    @on(Panel.Leave)
    def _left(self) -> None:
        form = self.panel.form
        self._close_panel()
        if form is not None and form.left is not None:
            form.left()
        self.paint()

    @on(Panel.Go)
    def _go(self, event: Panel.Go) -> None:
        form = event.form
        if form is not self.panel.form:
            return
        try:
            if form.pick is not None:
                if event.picked:
                    self._close_panel()
                    self.paint()
                    form.pick(event.picked)
                return
            ask = form.go(form.answers)
        except Refused as refused:
            self.refuse(str(refused))
            return
        if ask is None:
            if self.panel.form is form:
                self._close_panel()
            self.paint()
        else:
            self.do(ask)

    def _close_panel(self) -> None:
        self.panel.close()
        self.screen.set_focus(None)
