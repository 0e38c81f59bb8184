"""What a sum of the trade answers, and how its figures, cautions and sources are told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitup.model.amounts import counted
from fitup.trade.cautions import cautions_for
from fitup.trade.remark import Remark
from fitup.trade.tables import STANDINGS


@dataclass(frozen=True, slots=True)
class Sum:
    """One answer: `data` for programs (with `source` and `standing`), `lines` for people.

    `passed` is false where the answer is a "no": something measured that does not pass.
    """

    data: Mapping[str, object]
    lines: tuple[str, ...]
    passed: bool = True


def answer(data: dict[str, object], said: Sequence[str], cited: str, standing: str = "", passed: bool = True) -> Sum:
    """Return a sum with its source in the last line and its standing; without one given the source's end tells it."""
    word = standing or _standing(cited)
    told = "" if cited.endswith((STANDINGS[word], f"({STANDINGS[word]})")) else f" ({STANDINGS[word]})"
    return Sum(data | {"source": cited, "standing": word}, (*said, f"source: {cited or 'none'}{told}"), passed)


def _standing(cited: str) -> str:
    """Return the standing that a cited source tells at its end; without a word of doubt it was seen."""
    return next((word for word, says in STANDINGS.items() if cited.endswith((says, f"({says})"))), "seen")


def and_others(cited: str) -> str:
    """Return the first of several sources that say the same, and how many more there are."""
    first, *others = cited.split("; ")
    return f"{first}, and {counted(len(others), 'source')} more" if others else first


def remark_lines(remarks: Sequence[Remark]) -> list[str]:
    """Return what trade rules say, each with its source; a warning is marked."""
    return [f"{'!' if remark.level == 'warning' else '-'} {remark.says} ({remark.source})" for remark in remarks]


def caution_lines(*works: str) -> list[str]:
    """Return what can hurt someone at these kinds of work, each with the handbook it comes from."""
    rows = (row for work in works for row in cautions_for(work))
    return list(dict.fromkeys(f"! {row.text('says')} ({row.cited})" for row in rows))


def fraction(length: Fraction) -> str:
    """Write a length in inches as people say it: 5/32, or with decimals where it is no 64th."""
    if length.denominator > 64:
        return in_inches(length)
    return f"{length.numerator}/{length.denominator}" if length.denominator > 1 else str(length.numerator)


def in_inches(length: Fraction) -> str:
    """Write a length in inches to a ten-thousandth, without its unit."""
    return f"{float(length):.4f}".rstrip("0").rstrip(".")


def in_mm(length: Fraction) -> str:
    """Write a length of so many inches in millimetres, to a hundredth."""
    return f"{float(length * Fraction(254, 10)):.2f} mm"
