"""What a single value of a plan file may be: words, ids, counts, lengths, days, ranges, and the table as such."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from fitup.model.refusal import Refused

_ID = re.compile(r"[a-z0-9.-]{1,100}")
_LIBRARY = re.compile(r"procedures/[a-z0-9-]+")
_DIRECTIONS = "\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


def _printable(allowed: str, longest: int) -> Callable[[str], str]:
    def judge(text: str) -> str:
        if len(text) > longest:
            raise ValueError(f"is {len(text)} characters long; {longest} are the most")
        for character in text:
            if character in allowed:
                continue
            if unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp") or character in _DIRECTIONS:
                raise ValueError(f"holds the control character U+{ord(character):04X}; take it out")
        return text

    return judge


def _id(text: str) -> str:
    if not _ID.fullmatch(text):
        raise ValueError("is no id; an id has lower-case letters, digits, '.' and '-', at most 100 of them")
    return text


def _filled(text: str) -> str:
    if not text.strip():
        raise ValueError("is empty; write some words")
    return text


def is_library(text: str) -> bool:
    """Return whether the text names a library of a shop: procedures/flush-skin."""
    return _LIBRARY.fullmatch(text) is not None


def _library(text: str) -> str:
    if not is_library(text):
        raise ValueError('names no library; write it as "procedures/flush-skin"')
    return text


def _pattern(text: str) -> str:
    from fitup.model.pattern import parse_pattern

    try:
        parse_pattern(text)
    except Refused as refusal:
        raise ValueError(f"holds no usual bench times: {refusal}") from None
    return text


def _day(day: date) -> date:
    if not 1990 <= day.year <= 2199:
        raise ValueError(f"is in the year {day.year}, out of any builder's calendar")
    return day


def _range(pair: list[float]) -> list[float]:
    if pair[0] > pair[1]:
        raise ValueError("has its low figure above its high one; write [low, high]")
    return pair


def as_list(value: object) -> object:
    """Let one table stand for a list of one."""
    return [value] if isinstance(value, dict) else value


Words = Annotated[str, AfterValidator(_printable("", 300))]
Title = Annotated[str, AfterValidator(_filled), AfterValidator(_printable("", 300))]
Prose = Annotated[str, AfterValidator(_printable("\n\t", 8000))]
Id = Annotated[str, AfterValidator(_id), "id"]
Reference = Annotated[str, AfterValidator(_printable("", 300)), "id"]
Library = Annotated[str, AfterValidator(_library)]
Sessions = Annotated[str, AfterValidator(_pattern)]
Day = Annotated[date, AfterValidator(_day)]
Count = Annotated[int, Field(ge=1, le=1_000_000)]
Whole = Annotated[int, Field(ge=0, le=1_000_000)]
Crew = Annotated[int, Field(ge=1, le=2)]
Quantity = Annotated[float, Field(ge=0, le=1e9)]
Hours = Annotated[float, Field(ge=0, le=100_000)]
Minutes = Annotated[float, Field(ge=0, le=100_000)]
Seconds = Annotated[float, Field(ge=0, le=1_000_000)]
Length = Annotated[float, Field(gt=0, le=100_000)]
Figure = Annotated[float, Field(ge=-1e9, le=1e9)]
ThreeMinutes = Annotated[list[Minutes], Field(min_length=3, max_length=3)]
ThreeSeconds = Annotated[list[Seconds], Field(min_length=3, max_length=3)]
_Celsius = Annotated[float, Field(ge=-60, le=300)]
_Percent = Annotated[float, Field(ge=0, le=100)]
Temperature = Annotated[list[_Celsius], Field(min_length=2, max_length=2), AfterValidator(_range)]
Humidity = Annotated[list[_Percent], Field(min_length=2, max_length=2), AfterValidator(_range)]


def key(default: Any, meaning: str, alias: str | None = None) -> Any:
    """Declare a key with its default (`...` = must be there) and its one line of meaning."""
    return Field(default, description=meaning, alias=alias)


class Table(BaseModel):
    """A TOML table: strict types, no unknown keys, hyphens where the fields have underscores."""

    model_config = ConfigDict(
        strict=True,
        extra="forbid",
        alias_generator=lambda name: name.replace("_", "-"),
        allow_inf_nan=False,
        protected_namespaces=(),
    )
