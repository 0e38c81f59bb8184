"""Run sheets near an outline: drafts that prefer what is best done when nobody looks at the clock.

A draft keeps every limit, so that what it cannot have of the outline is made up for by other work.
"""

from __future__ import annotations

from collections.abc import Container

from fitup.session.draft import Draft
from fitup.session.greedy import Greedy, Mood
from fitup.session.problem import Frame

RUNS = 100

ELSE = 0.1
"""Factor on the worth of what is not in the outline."""

ASTRAY = 0.1
"""Share of the candidates that change sides in a run."""

NOISE = 0.5


def near(frame: Frame, chosen: Container[int]) -> Draft:
    """Return the best of some drafts that mostly keep to the `chosen` candidates."""
    greedy = Greedy(frame)
    greedy.promising |= {index for index in greedy.singles if index in chosen}
    draw = greedy.random.random
    best = greedy.run(Mood([key * (1 if index in chosen else ELSE) for index, key in enumerate(greedy.base)]))
    for _ in range(RUNS):
        keys = [
            key * (1 + NOISE * (draw() + draw() - 1)) * (1 if (index in chosen) != (draw() < ASTRAY) else ELSE)
            for index, key in enumerate(greedy.base)
        ]
        draft = greedy.run(greedy.mood(keys))
        if greedy.rank(draft) > greedy.rank(best):
            best = draft
    return greedy.filled(best)
