"""Lines and proofs as a planner's process sends them: plain numbers, no plan."""

from __future__ import annotations

from dataclasses import dataclass

from fitup.session.draft import Draft


@dataclass(frozen=True, slots=True)
class Planned:
    """One line of a solution: candidate, count, begin and end with set-up and clean-up, and who does it."""

    candidate: int
    count: int
    begin: int
    end: int
    set_up: int
    clean_up: int
    who: int


def planned_of(draft: Draft) -> tuple[Planned, ...]:
    """Return the lines of a draft."""
    return tuple(
        Planned(entry.candidate, entry.count, entry.begin, entry.end, entry.set_up, entry.clean_up, entry.who)
        for entry in draft.entries
    )


@dataclass(frozen=True, slots=True)
class Proof:
    """What a solve found: the lines of the best sheet, its worth, the bound, and whether they are equal."""

    lines: tuple[Planned, ...]
    asked: int
    worth: int
    bound: int
    proven: bool
    seconds: float
