"""Reads a printed drawing back into its edges, knowing only the characters.

What is needed of the labels: `<number>` or `<number words...`, so that boxes can be found in the print. A cell that a
line enters is followed by what its character says; anything a reader could doubt raises Unreadable.
"""

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from fitup.drawing.glyphs import Glyphs

UP, DOWN, LEFT, RIGHT = (-1, 0), (1, 0), (0, -1), (0, 1)
Cell = tuple[int, int]


class Unreadable(AssertionError):
    """The drawing can be read in two ways, or in none."""


def read(lines: Sequence[str], glyphs: Glyphs, marks: str) -> Counter[tuple[int, int]]:
    """Edges as (number of the upper box, number of the lower box), with how many there are; heads turn them round."""
    fill, cut = re.escape(glyphs.fill), "~" if glyphs.ascii else "\u2026"
    box = re.compile(rf"<(\d+)[^>{cut}]*[>{cut}]{fill}*")
    owner: dict[Cell, int] = {}
    sheet: dict[Cell, str] = {}
    words = re.compile(r"[a-z][a-z0-9-]*(?: [a-z0-9-]+)*")
    for row, line in enumerate(lines):
        rest = line
        for found in box.finditer(line):
            owner.update({(row, at): int(found.group(1)) for at in range(found.start(), found.end())})
            rest = rest[: found.start()] + " " * len(found.group()) + rest[found.end() :]
        rest = re.sub(r"\d+ more (above|below)", lambda found: " " * len(found.group()), rest)
        rest = words.sub(lambda found: " " * len(found.group()), rest)
        sheet.update({(row, at): char for at, char in enumerate(rest) if char != " "})
    seen: Counter[Cell] = Counter()
    edges: Counter[tuple[int, int]] = Counter()
    reader = _Reader(sheet, owner, glyphs, marks, seen)
    for (row, column), number in sorted(owner.items()):
        start = (row + 1, column)
        if start in sheet and UP in reader.arms(start):
            edges[reader.follow(start, number)] += 1
    for cell, char in sheet.items():
        if seen[cell] != (2 if char == glyphs.cross else 1):
            raise Unreadable(f"{char!r} at {cell} is on {seen[cell]} lines")
    return edges


class _Reader:
    def __init__(
        self, sheet: dict[Cell, str], owner: dict[Cell, int], glyphs: Glyphs, marks: str, seen: Counter[Cell]
    ) -> None:
        self.sheet = sheet
        self.owner = owner
        self.glyphs = glyphs
        self.marks = marks
        self.seen = seen
        self.flat = {glyphs.strong[1], glyphs.faint[1]}
        self.upright = {glyphs.strong[0], glyphs.faint[0], glyphs.head, *marks}

    def arms(self, cell: Cell) -> set[Cell]:
        """Where a line in this cell goes on; all four ways for a crossing."""
        char = self.sheet.get(cell, " ")
        if char in self.upright:
            return {UP, DOWN}
        if char in self.flat:
            return {LEFT, RIGHT}
        if char == self.glyphs.cross:
            return {UP, DOWN, LEFT, RIGHT}
        down_right, down_left, up_right, up_left = self.glyphs.corners
        if self.glyphs.ascii and char in ".'":
            return {DOWN if char == "." else UP, self._side(cell)}
        return {down_right: {DOWN, RIGHT}, down_left: {DOWN, LEFT}, up_right: {UP, RIGHT}, up_left: {UP, LEFT}}.get(
            char, set()
        )

    def _side(self, cell: Cell) -> Cell:
        """The side of an ASCII corner on which a sideways line is; there must be exactly one."""
        sideways = {*self.flat, self.glyphs.cross, *".'"}
        sides = [side for side in (LEFT, RIGHT) if self.sheet.get((cell[0], cell[1] + side[1])) in sideways]
        if len(sides) != 1:
            raise Unreadable(f"the corner at {cell} may go either way")
        return sides[0]

    def follow(self, start: Cell, source: int) -> tuple[int, int]:
        """Walk a line from the cell under its upper box; returns the edge."""
        cell, heading = start, DOWN
        headed = self.sheet[start] == self.glyphs.head
        for _ in range(len(self.sheet) + 1):
            self.seen[cell] += 1
            ways = self.arms(cell)
            back = (-heading[0], -heading[1])
            if back not in ways:
                raise Unreadable(f"the line from box {source} breaks off before {cell}")
            heading = heading if len(ways) == 4 else next(iter(ways - {back}))
            cell = (cell[0] + heading[0], cell[1] + heading[1])
            if cell in self.owner:
                if heading != DOWN:
                    raise Unreadable(f"a line runs into the side or foot of box {self.owner[cell]}")
                return (self.owner[cell], source) if headed else (source, self.owner[cell])
        raise Unreadable("a line that never ends")


def counted(edges: Iterable[tuple[int, int]]) -> Counter[tuple[int, int]]:
    """Edges as the reader gives them."""
    return Counter(edges)
