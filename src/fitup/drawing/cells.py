"""Text measured in terminal cells. Titles come from files that anybody wrote, so nothing here trusts them."""

import unicodedata
from functools import lru_cache

LEAST_LABEL = 12
"""Labels are cut to no fewer cells than this."""


def _cell(char: str) -> int:
    if char < "\u0300":
        return 1
    if unicodedata.combining(char) or unicodedata.category(char) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def width(text: str) -> int:
    """Cells that the text takes."""
    return len(text) if text.isascii() else sum(_cell(char) for char in text)


@lru_cache(maxsize=8192)
def clean(text: str) -> str:
    """The text on one line: control characters become blanks, loose accents are joined or dropped."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    kept = (
        " " if unicodedata.category(char) in ("Cc", "Zl", "Zp") else char for char in unicodedata.normalize("NFC", text)
    )
    return " ".join("".join(char for char in kept if _cell(char)).split())


def cut(text: str, most: int) -> str:
    """The text in at most `most` cells, with an ellipsis where something is missing."""
    if width(text) <= most:
        return text
    taken, kept = 1, []
    for char in text:
        taken += _cell(char)
        if taken > most:
            break
        kept.append(char)
    return "".join(kept).rstrip() + "\u2026" if most > 0 else ""


@lru_cache(maxsize=8192)
def plain(text: str) -> str:
    """The text in ASCII, cell for cell: accents dropped, an ellipsis as `~`, what has no likeness as `?`."""
    if text.isascii():
        return text
    answer = []
    for char in text:
        base = "~" if char == "\u2026" else unicodedata.normalize("NFKD", char)[0]
        answer.append((base if base.isascii() and base.isprintable() else "?").ljust(_cell(char)))
    return "".join(answer)
