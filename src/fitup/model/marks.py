"""How states, holds and verdicts are named and marked, for every face: a glyph and a word, never colour alone.

Glyphs are single-width and found in console fonts; the ASCII set is used where the terminal is not UTF-8.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mark:
    """A glyph, its ASCII stand-in, and the word that always goes with them."""

    glyph: str
    ascii: str
    word: str

    def shown(self, ascii_only: bool) -> str:
        """Return the glyph for the character set in use."""
        return self.ascii if ascii_only else self.glyph


STATES: dict[str, Mark] = {
    "ready": Mark("○", "o", "ready"),
    "held": Mark("■", "#", "held"),
    "under way": Mark("◐", "~", "under way"),
    "done": Mark("√", "x", "done"),
}

HOLDS: dict[str, Mark] = {
    "after": Mark("→", ">", "waits for"),
    "check": Mark("≡", "=", "check"),
    "cure": Mark("◌", "@", "cure"),
    "access": Mark("□", "[", "before closing"),
    "leave-off": Mark("◊", "%", "left off"),
    "supply": Mark("+", "+", "missing"),
    "sign-off": Mark("§", "s", "sign-off"),
    "stop": Mark("!", "!", "stop"),
    "within": Mark("×", "&", "window ran out"),
}

VERDICTS: dict[str, Mark] = {
    "pass": Mark("√", "x", "pass"),
    "fail": Mark("×", "X", "fail"),
    "too close to call": Mark("±", "?", "too close to call"),
}

LEVELS: dict[str, Mark] = {
    "error": Mark("×", "X", "error"),
    "warning": Mark("!", "!", "warning"),
    "note": Mark("·", "-", "note"),
}

CAUTION = "fitup is a planning aid: the kit's manual, the makers' data sheets, local rules and licensed people decide."
"""The one line shown on first opening and in every export."""

LET_GO = "; not done then, and holding it no more"
"""What a waiver's sentence says before the names of what it let go besides its hold."""
