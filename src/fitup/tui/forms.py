"""What the bottom panel asks: a few fields, and what their answers come to.

Pure values: a form knows its fields, how typing changes them and what to do with the answers.
Whether an answer makes sense is for the desk to say; a form only reads what was typed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from fitup.model.amounts import clean, parse_celsius, parse_instant
from fitup.model.asks import Ask
from fitup.model.refusal import Refused
from fitup.tui.rows import Row

LONGEST = 400
"""Characters that a field takes; more is not a remark but a mishap."""


@dataclass(slots=True)
class Field:
    """One field: text typed, or one of `choices` (value, words) picked with left and right.

    `hint` is an example of what is typed; `empty` says what an empty field means, where one may be
    left empty. A `fresh` field's text is selected: the first typing replaces it.
    """

    name: str
    label: str
    text: str = ""
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    wide: bool = False
    empty: str = ""
    caret: int = field(default=-1)
    fresh: bool = True

    def __post_init__(self) -> None:
        """Put the caret behind the text."""
        self.text = clean(self.text)
        if self.choices and not any(value == self.text for value, _ in self.choices):
            self.text = self.choices[0][0]
        self.caret = len(self.text)

    @property
    def words(self) -> str:
        """What the field shows."""
        return next((clean(words) for value, words in self.choices if value == self.text), self.text)

    @property
    def wanting(self) -> bool:
        """Whether something has to be typed and is not there yet."""
        return not (self.choices or self.empty or self.text.strip())

    def select(self) -> None:
        """Select all of the text, so that the next typing replaces it."""
        self.fresh, self.caret = True, len(self.text)

    def type(self, text: str) -> None:
        """Put typed or pasted text in at the caret; the first typing replaces a given answer.

        Among choices the next one that begins with it is picked.
        """
        text = clean(text)
        if self.choices:
            self._pick_by(text)
            return
        if self.fresh:
            self.text, self.caret = "", 0
        self.fresh = False
        text = text[: max(0, LONGEST - len(self.text))]
        self.text = self.text[: self.caret] + text + self.text[self.caret :]
        self.caret += len(text)

    def _pick_by(self, text: str) -> None:
        values = [value for value, _ in self.choices]
        here = values.index(self.text)
        turn = [*self.choices[here + 1 :], *self.choices[: here + 1]]
        for value, words in turn:
            if text and (words.casefold().startswith(text.casefold()) or value.casefold().startswith(text.casefold())):
                self.text = value
                return

    def key(self, key: str) -> bool:
        """Take an editing key; return whether it meant anything here."""
        if self.choices:
            if key not in ("left", "right", "space"):
                return False
            values = [value for value, _ in self.choices]
            self.text = values[(values.index(self.text) + (-1 if key == "left" else 1)) % len(values)]
            return True
        if key == "ctrl+u" or (key == "backspace" and self.fresh):
            self.text, self.caret = "", 0
        elif key == "backspace" and self.caret:
            self.text = self.text[: self.caret - 1] + self.text[self.caret :]
            self.caret -= 1
        elif key == "delete":
            self.text = self.text[: self.caret] + self.text[self.caret + 1 :]
        elif key in ("left", "right"):
            self.caret = max(0, min(len(self.text), self.caret + (1 if key == "right" else -1)))
        elif key in ("home", "end"):
            self.caret = 0 if key == "home" else len(self.text)
        elif key != "backspace":
            return False
        self.fresh = False
        return True


Answers = Mapping[str, str]


@dataclass(slots=True)
class Form:
    """A panel's question. `go` takes the answers: returns an ask for the desk, or None when it saw to it itself.

    `live` is called after each key and may do something with the answers so far; `says` makes the
    lines above the fields from them, or beneath where they `answer` what was asked; `options` turns
    the panel into a list to pick from, narrowed by what is typed, and `enter` is the word for what
    comes of picking one, by its key.
    """

    title: str
    fields: list[Field]
    go: Callable[[Answers], Ask | None]
    lines: tuple[Row, ...] = ()
    live: Callable[[Answers], None] | None = None
    options: Callable[[str], Sequence[Row]] | None = None
    pick: Callable[[str], None] | None = None
    left: Callable[[], None] | None = None
    says: Callable[[Answers], Sequence[Row]] | None = None
    at: int = 0
    enter: Callable[[str], str] = lambda key: "go there"
    answer: bool = False

    @property
    def answers(self) -> dict[str, str]:
        """The answers so far, by field name, without outer spaces."""
        return {entry.name: entry.text.strip() for entry in self.fields}

    @property
    def field(self) -> Field:
        """The field being filled in."""
        return self.fields[self.at]

    def step(self, steps: int) -> None:
        """Go to another field, round and round."""
        self.at = (self.at + steps) % len(self.fields)

    def blame(self, sentence: str) -> None:
        """Go to the field that a refusal is about, its text selected; without a clue stay where it was asked.

        A refusal names the answer that is meant, or the option of the command line that is missing.
        """
        self.at = next(self._blamed(sentence), self.at)
        self.field.select()

    def _blamed(self, sentence: str) -> Iterator[int]:
        """Yield the places of the fields that a refusal may be about, the likeliest first."""
        for at, entry in enumerate(self.fields):
            if f"--{entry.name}" in sentence:
                yield at
        quoted = [(at, entry.text.strip()) for at, entry in enumerate(self.fields) if not entry.choices]
        for at, text in sorted(quoted, key=lambda found: -len(found[1])):
            if text and re.search(rf"(?<!\w){re.escape(text)}(?!\w)", sentence):
                yield at
        yield from (at for at, entry in enumerate(self.fields) if entry.wanting)


_FOR_COMMANDS = re.compile(r" \((?:--|fitup )[^()]*\)|: fitup [^()]*(?=\))")


def for_screens(sentence: str) -> str:
    """Return a refusal without the options and commands that it names for the command line."""
    return _FOR_COMMANDS.sub("", clean(sentence))


# -- reading what was typed --------------------------------------------------------------------


def read_number(text: str, what: str) -> float | None:
    """Read a figure; "" is None. Raises `Refused` for anything else."""
    if not text:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if value != value or abs(value) > 1e9:
        raise Refused(f"{what}: {clean(text)!r} is not a figure; write it as 12 or 12.5")
    return value


def read_count(text: str, what: str) -> int | None:
    """Read a whole number; "" is None. Raises `Refused` for anything else."""
    value = read_number(text, what)
    if value is None:
        return None
    if value != int(value):
        raise Refused(f"{what}: {clean(text)!r} is not a whole number")
    return int(value)


def read_chance(text: str, what: str) -> float | None:
    """Read a chance such as 80, 80% or 0.8 and return it as a fraction; "" is None."""
    bare = text.strip().removesuffix("%").strip()
    value = read_number(bare, what)
    if value is None:
        return None
    chance = value if value < 1 and not text.strip().endswith("%") else value / 100
    if not 0 < chance < 1:
        raise Refused(f"{what}: {clean(text)} cannot be; give a chance such as 80 %, or leave it empty")
    return chance


def percent(chance: float | None) -> str:
    """Return a chance as it is typed, "" for none."""
    return "" if chance is None else f"{100 * chance:g}"


def read_celsius(text: str, what: str = "temperature") -> float | None:
    """Read a temperature such as 18, 18C or 64F and return it in Celsius; "" is None."""
    return parse_celsius(text, what) if text else None


def read_day(text: str, what: str = "day") -> date | None:
    """Read a day such as 2027-03-01; "" is None."""
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refused(f"{what}: {clean(text)!r} is not a day; write it as 2027-03-01") from None


def read_past(text: str, now: datetime) -> datetime | None:
    """Read when something was finished: now (None), 14:20 (today), or 2026-11-28T09:00.

    Only in the small hours does a late clock time mean yesterday evening: at any other hour it is a
    slip, and a clock that starts a day too early would let a cure end too soon.
    """
    if text.lower() in ("", "now"):
        return None
    clocked = _clocked(text, now)
    if clocked is None:
        return parse_instant(text, "finished when")
    if clocked <= now + timedelta(minutes=2):
        return clocked
    evening = clocked - timedelta(days=1)
    if now - evening > timedelta(hours=12):
        raise Refused(f"finished when: {clean(text)} is still to come; for another day write 2026-11-28T09:00")
    return evening


_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def read_start(text: str, now: datetime) -> datetime | None:
    """Read when a session begins: now (None), 09:00 (today, or tomorrow when long past), sat 09:00, or ISO."""
    if text.lower() in ("", "now"):
        return None
    day, _, rest = text.partition(" ")
    if day.lower()[:3] in _DAYS and rest:
        clocked = _clocked(rest.strip(), now)
        if clocked is None:
            raise Refused(f"start: {clean(text)!r} is not a time; write it as sat 09:00")
        ahead = (_DAYS.index(day.lower()[:3]) - now.astimezone().weekday()) % 7
        there = clocked + timedelta(days=ahead)
        return there if there > now - timedelta(hours=3) else there + timedelta(days=7)
    clocked = _clocked(text, now)
    if clocked is None:
        return parse_instant(text, "start")
    return clocked if clocked > now - timedelta(hours=3) else clocked + timedelta(days=1)


def _clocked(text: str, now: datetime) -> datetime | None:
    """Return the instant of a clock time on the local day of `now`; None where the text is no clock time."""
    hour, colon, minute = text.strip().partition(":")
    if not (colon and hour.isdigit() and minute.isdigit() and len(hour) <= 2 and len(minute) == 2):
        return None
    if int(hour) > 23 or int(minute) > 59:
        raise Refused(f"{clean(text)} is not a clock time; write it as 09:00")
    there = now.astimezone().replace(hour=int(hour), minute=int(minute), second=0, microsecond=0)
    return there.astimezone(now.tzinfo)
