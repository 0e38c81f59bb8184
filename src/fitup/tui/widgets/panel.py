"""The panel at the bottom: a few fields to fill in, or a list to pick from while typing."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual import events
from textual.message import Message

from fitup.tui.forms import Field, Form, for_screens
from fitup.tui.rows import Row, Run, cut, row, say, spread, wrapped
from fitup.tui.widgets.lines import Lines

_ROOMY = 40
"""Columns from which the title has room for the way out beside it."""

_OPTIONS = 9
"""Rows of a list to pick from that the panel shows at most."""


class Panel(Lines, inherit_bindings=False):
    """Takes keys for a form; what they come to is told by messages. No blink, no key but plain ones."""

    class Go(Message):
        """The form is filled in."""

        def __init__(self, form: Form, picked: str) -> None:
            """Tell the form, and the key of the row picked, "" for none."""
            super().__init__()
            self.form = form
            self.picked = picked

    class Leave(Message):
        """The form is left with nothing done."""

    class Typed(Message):
        """An answer changed."""

    def __init__(self, *, id: str, ascii_only: bool) -> None:
        """Make a closed panel."""
        super().__init__(id=id, ascii_only=ascii_only)
        self.can_focus = True
        self.form: Form | None = None
        self.trouble = ""
        self._options: Sequence[Row] = ()
        self._option = 0
        self._here = 0
        self._rows: list[Row] = []
        self._height = 0
        self._turned_to: int | None = None

    def open(self, form: Form) -> None:
        """Take up a form."""
        self.form, self.trouble, self._option, self._turned_to = form, "", 0, None
        self._refill()

    def close(self) -> None:
        """Be empty again."""
        self.form, self._rows, self._options = None, [], ()
        self.show_rows([])

    def refuse(self, sentence: str) -> None:
        """Show why the form was refused, and go to the field that is to be mended."""
        self.trouble, self._turned_to = for_screens(sentence), None
        if self.form is not None:
            self.form.blame(sentence)

    def key_words(self) -> list[tuple[str, str]]:
        """Return the keys that mean something here, the way out last."""
        form = self.form
        if form is None:
            return []
        if form.options is not None:
            return [("Enter", form.enter(self._picked())), ("Up/Down", "choose"), ("Ctrl-U", "clear"), ("F4", "leave")]
        words = [("Enter", "go")] + ([("Tab", "next field")] if len(form.fields) > 1 else [])
        words.append(("Left/Right", "choose") if form.field.choices else ("Ctrl-U", "clear"))
        if len(self._rows) > self._height:
            words.append(("PgDn", "read on"))
        return [*words, ("F4", "leave" if form.answer else "leave with nothing done")]

    def _picked(self) -> str:
        return self._options[self._option].key if self._options else ""

    def _refill(self) -> None:
        form = self.form
        if form is not None and form.options is not None:
            self._options = form.options(form.answers["words"])
            self._option = max(0, min(self._option, len(self._options) - 1))

    # -- what it shows -----------------------------------------------------------------------

    def make(self, width: int) -> int:
        """Make the panel's rows for a width and return how many there are."""
        form = self.form
        if form is None:
            return 0
        way_out = "F4 leaves" if width >= _ROOMY else ""
        title = say(cut(form.title, width - 2 - cell_len(way_out)), "title")
        rows = [spread([title], [say(way_out, "dim")], width - 2)]
        lines = form.says(form.answers) if form.says is not None else form.lines
        said = [part for line in lines for part in _rewrapped(line, width - 1)]
        fields = self._field_rows(form, width - 1)
        self._here += len(rows) if form.answer else len(rows) + len(said)
        rows += [*fields, *said] if form.answer else [*said, *fields]
        rows += self._option_rows(width - 1)
        if self.trouble:
            rows += wrapped(self.trouble, width - 1, "bad")
        self._rows = [Row((Run(" "), *line.runs), "") for line in rows]
        return len(rows)

    def _field_rows(self, form: Form, width: int) -> list[Row]:
        """Lay the fields out in as few rows as they need; `_here` becomes the row of the current one."""
        rows: list[list[Run]] = [[]]
        used = 0
        for at, entry in enumerate(form.fields):
            current = at == form.at
            runs = _field_runs(entry, current, width)
            size = sum(cell_len(run.text) for run in runs) + 2
            if rows[-1] and (used + size > width or entry.wide):
                rows.append([])
                used = 0
            rows[-1] += [*runs, say("  ")]
            used += size if not entry.wide else width
            if current:
                self._here = len(rows) - 1
        return [Row(tuple(runs)) for runs in rows]

    def _option_rows(self, width: int) -> list[Row]:
        if self.form is None or self.form.options is None:
            return []
        if not self._options:
            return [row(say("nothing of that name", "warn"))]
        first = max(0, min(self._option - _OPTIONS // 2, len(self._options) - _OPTIONS))
        shown = self._options[first : first + _OPTIONS]
        rows = []
        for at, option in enumerate(shown, start=first):
            runs = tuple(Run(run.text, "tab-on") for run in option.runs) if at == self._option else option.runs
            rows.append(_cropped(Row((say(">" if at == self._option else " "), *runs)), width))
        more = len(self._options) - first - len(shown)
        return (
            [*rows, row(say(f"{more} more below" if more else " ", "dim"))] if len(self._options) > _OPTIONS else rows
        )

    def place(self, height: int) -> None:
        """Show the rows made, with the current field in view, or what was turned to."""
        self._height = height
        self.show_rows(self._rows)
        self._top = self._first_row(max(0, len(self._rows) - height), height)
        self._repaint()

    def _first_row(self, last: int, height: int) -> int:
        """Return the row to show first, 0 to `last`."""
        if self.form is not None and self.form.options is not None:
            return 0
        if self._turned_to is not None:
            return min(self._turned_to, last)
        return last if self.trouble else max(0, min(self._here + 2 - height, last))

    def _turn(self, pages: int) -> None:
        """Show other rows of what does not fit."""
        last = max(0, len(self._rows) - self._height)
        self._turned_to = max(0, min(self._top + pages * max(1, self._height - 1), last))

    # -- keys --------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Take the keys that fill in a form; function keys go on to the commands."""
        form = self.form
        if form is None:
            return
        if event.key in ("f4", "escape"):
            self.post_message(self.Leave())
        elif event.key == "enter":
            self.post_message(self.Go(form, self._picked()))
        elif event.key in ("pagedown", "pageup") and form.options is None and len(self._rows) > self._height:
            self._turn(-1 if event.key == "pageup" else 1)
            self.post_message(self.Typed())
        elif event.key in ("tab", "down", "shift+tab", "up", "pagedown", "pageup"):
            self._step(form, -1 if event.key in ("shift+tab", "up", "pageup") else 1)
            self.post_message(self.Typed())
        elif form.field.key(event.key) or self._typed(form, event):
            self.trouble, self._turned_to = "", None
            self._refill()
            self.post_message(self.Typed())
        elif is_function_key(event.key):
            return
        event.stop()
        event.prevent_default()

    def _typed(self, form: Form, event: events.Key) -> bool:
        if event.character is None or not event.is_printable:
            return False
        form.field.type(event.character)
        return True

    def _step(self, form: Form, steps: int) -> None:
        if form.options is not None:
            self._option = max(0, min(self._option + steps, len(self._options) - 1))
        else:
            form.step(steps)
            self._turned_to = None

    def on_paste(self, event: events.Paste) -> None:
        """Take pasted text in as typed."""
        if self.form is not None:
            self.form.field.type(event.text)
            self._refill()
            self.post_message(self.Typed())
        event.stop()


def is_function_key(key: str) -> bool:
    """Whether a key is one of F1 to F24, which are the commands' even while the panel is open."""
    return key.startswith("f") and key[1:].isdigit()


def _field_runs(entry: Field, current: bool, width: int) -> list[Run]:
    """Return a field with its label; the caret is a cell of its own role, brackets mark where to type."""
    runs = [say(f"{entry.label} ", "strong" if current else "dim")]
    room = max(4, width - cell_len(entry.label) - 5)
    if entry.choices:
        return [*runs, say("< " if current else "  ", "key"), say(cut(entry.words, room), "field" if current else ""),
                say(" >" if current else "  ", "key")]  # fmt: skip
    text, caret = entry.text, entry.caret
    hint = f"such as {entry.hint}" if entry.hint else ""
    if not current:
        shown = text or entry.empty or hint or " "
        return [*runs, say("[", "key"), say(cut(shown, room), "" if text else "dim"), say("]", "key")]
    if text and entry.fresh:
        return [*runs, say("[", "key"), Run(cut(text, room), "caret"), say(" ]", "key")]
    hint = ", ".join(part for part in (entry.empty, hint) if part)
    start = max(0, caret - room + 1)
    before, at, after = text[start:caret], text[caret : caret + 1] or " ", text[caret + 1 :]
    runs += [say("[", "key"), Run(before, "field"), Run(at, "caret"), Run(cut(after, room - len(before)), "field")]
    if not text and hint:
        runs.append(say(cut(hint, room - 1), "dim"))
    return [*runs, say("]", "key")]


def _cropped(line: Row, width: int) -> Row:
    """Return a row cut to a width, run by run."""
    runs: list[Run] = []
    for run in line.runs:
        if width <= 0:
            break
        text = cut(run.text, width) if cell_len(run.text) > width else run.text
        runs.append(Run(text, run.role))
        width -= cell_len(text)
    return Row(tuple(runs), line.key)


def _rewrapped(line: Row, width: int) -> list[Row]:
    """Return a row of a lead and a text, wrapped."""
    if len(line.runs) == 2:
        return wrapped(line.runs[1].text, width, line.runs[1].role, line.runs[0].text, line.runs[0].role)
    return wrapped(line.text, width, line.runs[0].role if line.runs else "")
