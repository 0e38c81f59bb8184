"""The screens: one screen of blocks of rows, a panel for acts, and the keys of the declared commands.

The app holds which page is looked at and which row is chosen; what is shown is worded elsewhere and
what is done is the desk's. Nothing is painted while nothing happens.
"""

from __future__ import annotations

import gc
import os
from collections import deque
from typing import ClassVar

from textual import on
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen

from fitup.desk import Desk
from fitup.desk_proof import Proofs
from fitup.model.asks import Ask
from fitup.model.marks import CAUTION
from fitup.model.refusal import Refused
from fitup.tui import pages, room
from fitup.tui.asking import Asking
from fitup.tui.board import LOOK_IN, Board
from fitup.tui.commands import COMMANDS, PAGES, TASK_VIEWS, Here, by_key, by_name, key_words, look, tab_of
from fitup.tui.forms import Form, for_screens
from fitup.tui.rows import Row, row, say, wrapped
from fitup.tui.stage import Stage, glyphs_for, move_lines
from fitup.tui.telling import better_words, outcome_rows, why_words
from fitup.tui.widgets.lines import Lines
from fitup.tui.widgets.panel import Panel
from fitup.tui.widgets.picture import Picture
from fitup.tui.wording.status import key_row, status_row, tabs_row
from fitup.tui.work_forms import close_call_form

THEMES = ("textual-dark", "textual-light", "ansi-dark", "ansi-light")

NO_REPLAN = frozenset({"note", "photo", "lay-out", "clock-start", "clock-stop"})
"""Acts on which no run sheet depends."""

_MOVES = ("up", "down", "left", "right", "pageup", "pagedown", "home", "end")


class Desktop(Screen[None], inherit_bindings=False):
    """The one screen; its keys are the app's."""


class FitupApp(App[None], inherit_bindings=False):
    """The screens on one desk."""

    CSS_PATH = "fitup.tcss"
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(key, f"key('{key}')", show=False, id=f"key-{key}")
            for key in dict.fromkeys(command.key for command in COMMANDS)
        ),
        *(Binding(key, f"move('{key}')", show=False) for key in _MOVES),
        Binding("ctrl+c,ctrl+q", "leave", show=False, priority=True),
    ]

    def __init__(self, desk: Desk, *, ascii_only: bool, proofs: Proofs | None = None) -> None:
        """Make the screens on an open desk; only ASCII is drawn with `ascii_only`, sheets proven with `proofs`."""
        no_color = "NO_COLOR" in os.environ
        super().__init__(ansi_color=True if no_color else None)
        self.animation_level = "none"
        if no_color:
            self.theme = "ansi-dark"
        self.board = Board(desk, ascii_only, proofs=proofs)
        self.asking = Asking(self.board)
        self.page = PAGES[0][1]
        self._back = self.page
        self._reading = False
        self._telling = False
        self._said: list[Row] = []
        self._minute = -1
        edge = "| " if ascii_only else "│ "
        self.tabs = Lines(id="tabs", ascii_only=ascii_only)
        self.head = Lines(id="head", ascii_only=ascii_only)
        self.list = Lines(id="list", choosing=True, ascii_only=ascii_only)
        self.drawing = Picture(id="drawing", glyphs=glyphs_for(ascii_only, os.environ.get("TERM", "")))
        self.stage = Stage(self.board, self.list, self.drawing)
        self.strip = Lines(id="strip", ascii_only=ascii_only)
        self.side = Lines(id="side", edge=edge, ascii_only=ascii_only)
        self.message = Lines(id="message", ascii_only=ascii_only)
        self.panel = Panel(id="panel", ascii_only=ascii_only)
        self.status = Lines(id="status", ascii_only=ascii_only)
        self.keys = Lines(id="keys", ascii_only=ascii_only)

    # -- making ------------------------------------------------------------------------------

    def get_default_screen(self) -> Screen[None]:
        """Return the one screen."""
        return Desktop(id="desktop")

    def compose(self) -> ComposeResult:
        """Stack the blocks."""
        yield self.tabs
        yield self.head
        with Horizontal(id="body"):
            with Vertical(id="left"):
                yield self.list
                yield self.drawing
                yield self.strip
            yield self.side
        yield self.message
        yield self.panel
        yield self.status
        yield self.keys

    def on_mount(self) -> None:
        """Plan the session, show it, then keep an eye on the file."""
        self._proving = self.set_interval(LOOK_IN, self._look_in, pause=True)
        self.board.replan()
        self.tell(CAUTION if self.size.height >= room.CAUTIONED else "", "warn")
        self.list.focus()
        self.set_interval(1, self._keep_up)
        self.call_after_refresh(self._after_first_paint)

    def _after_first_paint(self) -> None:
        gc.freeze()
        gc.enable()
        self.run_worker(Desk.warm, thread=True, exit_on_error=False)

    def on_resize(self) -> None:
        """Lay everything out for the new size."""
        self.paint()

    # -- showing -----------------------------------------------------------------------------

    def paint(self) -> None:
        """Show everything as it is now; only lines that differ are drawn."""
        width, height = self.size
        if not width or not height:
            return
        panel_rows = self.panel.make(width)
        wide = width >= room.WIDE and self.page != "Help"
        said = self._said_rows(width)
        head = pages.head(self.board, self.page, width)
        plan = room.share(height, len(head), pages.STRIP.get(self.page, 0), len(said), panel_rows, wide, self._reading)
        side = room.side_width(width) if wide else 0
        for block, rows in (
            (self.tabs, plan.tabs), (self.head, plan.head), (self.strip, plan.strip), (self.message, plan.message),
            (self.panel, plan.panel), (self.status, plan.status), (self.keys, plan.keys),
        ):  # fmt: skip
            block.styles.height = rows
            block.display = rows > 0
        self.side.display = wide
        self.side.styles.width = side
        self.query_one("#body").styles.height = plan.list + plan.strip
        self.side.styles.height = plan.list + plan.strip
        self.head.show_rows(head)
        self.message.show_rows(said)
        self.stage.show(self.page, width - side - 1, plan.list, not self._reading and self.panel.form is None)
        project = self.board.project.plan.title or self.board.desk.path.name
        self.tabs.show_rows([tabs_row(PAGES, tab_of(self.page), project, width)])
        self.status.show_rows([status_row(self.board, width)])
        self._paint_chosen()
        self.panel.place(plan.panel)
        if self.board.proving:
            self._proving.resume()

    def _paint_chosen(self) -> None:
        """Show what depends on the chosen row: detail and keys."""
        width = self.size.width
        key = self.stage.chosen
        wide = self.side.display
        block = self.side if wide else self.strip
        inner = (room.side_width(width) - 3) if wide else width - 2
        if block.display:
            brief = not wide and not self._reading
            rows = pages.detail(self.board, self.page, key, inner, brief)
            block.show_rows(rows if wide else [Row((say(" "), *line.runs)) for line in rows])
        self.keys.show_rows([self._key_row(width)])

    def _key_row(self, width: int) -> Row:
        if self.panel.form is None:
            return key_row(*key_words(self.here()), width)
        return key_row(self.panel.key_words(), [], width)

    def _said_rows(self, width: int) -> list[Row]:
        rows = [line for said in self._said for line in wrapped(said.text, width - 2, said.runs[0].role, " ")]
        return rows[:4]

    # -- what commands may do ----------------------------------------------------------------

    def here(self) -> Here:
        """Return where the builder is."""
        return look(self.board, self.page, self.stage.chosen)

    def tell(self, text: str, role: str = "") -> None:
        """Say a sentence above the status line."""
        self._said = [row(say(text, role))] if text else []
        self.paint()

    def go(self, page: str, key: str = "") -> None:
        """Go to a page, and there to a row; Help goes back when it is shown."""
        if page == "Help":
            page, self._back = (self._back, self._back) if self.page == "Help" else ("Help", self.page)
        task = self.here().task
        key = key or (task.id if task is not None and page in TASK_VIEWS and self.page != page else "")
        self.page = page
        if key:
            self.stage.set_place(page, key)
        self._reading = False
        self._close_panel()
        self.tell("")

    def ask(self, form: Form) -> None:
        """Open the panel with a form."""
        self._said = []
        self._reading = False
        self.panel.open(form)
        self.paint()
        self.panel.focus()

    def do(self, ask: Ask) -> None:
        """Have the desk do something, and tell what came of it or why not."""
        try:
            outcome = self.board.desk.do(ask)
        except Refused as refused:
            self._refuse(str(refused))
            return
        self._close_panel()
        self.board.freed = frozenset(outcome.freed)
        if outcome.name in NO_REPLAN:
            self.board.changed()
        else:
            self.board.replan()
        self._said = list(outcome_rows(self.board, outcome))
        self.paint()
        if (form := close_call_form(self.board, ask, outcome.measurement)) is not None:
            self.ask(form)

    def _refuse(self, sentence: str) -> None:
        if self.panel.form is not None:
            self.panel.refuse(sentence)
            self.paint()
        else:
            self.tell(for_screens(sentence), "bad")

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

    def ask_why(self, task_id: str) -> None:
        """Find out what it would cost to take a task onto the sheet, and tell when it is known."""
        self.tell(f"trying {self.board.title(task_id)} on the run sheet ...", "dim")
        self.asking.ask(task_id)
        self._proving.resume()
        self._look_in()

    def read_on(self) -> None:
        """Move between the list and the detail beside or below it."""
        self._reading = not self._reading
        self._said = []
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
            self._refuse(str(refused))

    def change_theme(self) -> None:
        """Take the next theme."""
        place = THEMES.index(self.theme) if self.theme in THEMES else -1
        self.theme = THEMES[(place + 1) % len(THEMES)]
        self.tell(f"colours: {self.theme}")

    def leave(self) -> None:
        """Close the screens."""
        self.exit()

    # -- keys and messages -------------------------------------------------------------------

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
        if self.page == "Help" or self._reading:
            block = self.list if self.page == "Help" else self.side if self.side.display else self.strip
            move_lines(block, key, scrolling=True)
            return
        self.stage.move(key)
        self._row_chosen()

    @on(Picture.Chosen)
    @on(Lines.Chosen)
    def _row_chosen(self) -> None:
        """Show the detail of another row, at once when a key chose it so that one painting does."""
        if self.stage.place(self.page) != self.stage.chosen:
            self.stage.set_place(self.page, self.stage.chosen)
            if self.stage.shown is self.list:
                self._paint_chosen()
            elif not self._telling:
                self._telling = self.call_later(self._tell_chosen)

    def _tell_chosen(self) -> None:
        """Tell of the box chosen by the last of the keys that came at once."""
        self._telling = False
        self._paint_chosen()

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
            self._refuse(str(refused))
            return
        if ask is None:
            if self.panel.form is form:
                self._close_panel()
            self.paint()
        else:
            self.do(ask)

    def _close_panel(self) -> None:
        self.panel.close()
        self.stage.shown.focus()

    def _keep_up(self) -> None:
        """Take in what another terminal wrote, and what time has brought; paint only when there is something."""
        try:
            came = self.board.catch_up()
        except Refused as refused:
            self._refuse(str(refused))
            return
        if came == "written":
            entry, _, sentence = deque(self.board.desk.told_journal(), maxlen=1)[0]
            self.tell(f"written elsewhere by {entry.by}: {sentence}", "accent")
        elif came:
            self.paint()

    def _look_in(self) -> None:
        """See whether the proof that runs has a better sheet, or an answer; look no more once all has ended."""
        proving = self.board.proving
        came = self.board.look_in()
        found = self.asking.poll()
        if not (self.board.proving or self.asking.pending):
            self._proving.pause()
        if came is not None and (changed := better_words(self.board, *came)):
            self._said = [*self._said, row(say(changed, "accent"))]
        if found is not None:
            self._said = [row(say(why_words(self.board, found), "accent"))]
        if came is not None or found is not None or proving != self.board.proving:
            self.paint()
