"""Sessions as planners see them, written out by hand."""

from __future__ import annotations

from fitup.session.problem import Candidate, Frame

NEVER = 10**6


def made(usable: int, *candidates: Candidate, helper: bool = False) -> Frame:
    """Return a session with nothing in it but these candidates, hands and time."""
    return Frame(
        usable=usable,
        next_start=None,
        helper=((0, usable),) if helper else (),
        candidates=candidates,
        groups={c.group: tuple(x.index for x in candidates if x.group == c.group) for c in candidates if c.group},
        windows=(),
        loans=(),
        have_clecos={},
        occupations=(),
        have_tools={},
        stock={},
        rewards=(),
        saves={},
        needed_by={},
    )


def job(
    index: int, work: str, minutes: int, tools: tuple[int, int], *before: int, group: str = "", alone: bool = False
) -> Candidate:
    """Return a candidate with these minutes, and minutes for its tools to come out and to go away."""
    return Candidate(
        index=index,
        task=f"{work} {index}",
        place=index,
        work=work,
        timed=True,
        set_up=tools[0],
        clean_up=tools[1],
        rate=minutes,
        pace=1,
        spread=0,
        open=1,
        least=1,
        two=False,
        alone=alone,
        filler=False,
        loud=False,
        release=0,
        latest=NEVER,
        before=tuple((other, 0) for other in before),
        group=group,
    )
