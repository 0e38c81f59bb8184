"""The order that a taken tool, table or jig imposes: what needs it comes after the task that gives it back.

Where there is one of it and it is taken as the session begins, that is known before any time is. Said
as an order like all other order, it tells which stays come first and how early a task can begin.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from fitup.session.narrowed import Narrowed
from fitup.session.problem import Frame
from fitup.session.rules import Rules


def with_implied_order(frame: Frame) -> Narrowed:
    """Return the session with that order among its own, without the candidates that it rules out."""
    waits: dict[int, set[int]] = {c.index: {index for index, _ in c.before} for c in frame.candidates}
    never: set[int] = set()
    for index, until in _given_back_first(frame):
        if until is None:
            never.add(index)
        else:
            waits[index].add(until)
    candidates = tuple(
        replace(c, before=(*c.before, *((i, 0) for i in sorted(waits[c.index] - {i for i, _ in c.before}))))
        for c in frame.candidates
    )
    told = replace(frame, candidates=candidates)
    return Narrowed(told, _possible(told, never))


def _given_back_first(frame: Frame) -> set[tuple[int, int | None]]:
    """Return (candidate, what has to be finished before it) pairs; None where nothing in the session gives it back."""
    tools = Rules(frame).tools
    found: set[tuple[int, int | None]] = set()
    for tool in {held.tool for held in frame.occupations if held.lender is None}:
        taken = [held for held in frame.occupations if held.tool == tool]
        if frame.have_tools.get(tool, 1) != 1:
            continue
        for c in frame.candidates:
            served = any(c.index in held.serves and held.lender != c.index for held in taken)
            if tool in tools[c.index] and not served:
                found |= {(c.index, held.until) for held in taken if held.lender is None}
    return found


def _possible(frame: Frame, never: Collection[int]) -> set[int]:
    """Return the candidates that can come after all that they wait for, with all of their one-go group."""
    kept = {c.index for c in frame.candidates} - set(never)
    while True:
        done: set[int] = set()
        open_ones = [frame.candidates[index] for index in sorted(kept)]
        while free := [c for c in open_ones if all(index in done for index, _ in c.before)]:
            done.update(c.index for c in free)
            open_ones = [c for c in open_ones if c.index not in done]
        whole = {index for index in done if done.issuperset(frame.groups.get(frame.candidates[index].group, ()))}
        if whole == kept:
            return kept
        kept = whole
