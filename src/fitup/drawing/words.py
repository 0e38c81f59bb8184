"""Where the mark and the word of each line go: as near to the lower box as they fit."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from fitup.drawing import cells
from fitup.drawing.values import Box, Line

Cell = tuple[int, int]


def covered(line: Line) -> Iterator[tuple[int, int, bool]]:
    """Every cell of the line as (row, column, goes straight up and down here), from top to bottom."""
    points = line.points
    corners = set(points[1:-1])
    last: Cell | None = None
    for (row, column), (to_row, to_column) in pairwise(points):
        if column == to_column:
            path = [(at, column) for at in range(row, to_row + 1)]
        else:
            step = 1 if to_column > column else -1
            path = [(row, at) for at in range(column, to_column + step, step)]
        for cell in path:
            if cell != last:
                yield (*cell, column == to_column and not _turns(cell, points, corners))
                last = cell
    if len(points) == 1:
        yield (*points[0], True)


def _turns(cell: Cell, points: Sequence[Cell], corners: set[Cell]) -> bool:
    """Whether the line turns in this cell; its ends turn when the first or last stretch is sideways."""
    if cell in corners:
        return True
    if cell == points[0]:
        return points[0][1] != points[1][1]
    return cell == points[-1] and points[-1][1] != points[-2][1]


def signed(boxes: Sequence[Box], lines: Sequence[Line], wide: int) -> tuple[Line, ...]:
    """The lines with the places of their marks and words; `wide` is how far to the right a word may reach.

    A mark takes a cell where its line runs straight down and nothing crosses. A word stands beside its mark, with a
    blank on its other side; where there is no room, it is left out.
    """
    taken: dict[Cell, int] = {}
    straight: list[list[Cell]] = []
    for line in lines:
        own = []
        for row, column, plain in covered(line):
            taken[row, column] = taken.get((row, column), 0) + 1
            if plain:
                own.append((row, column))
        straight.append(own)
    for box in boxes:
        for row in range(box.row, box.row + box.height):
            for column in range(box.column - 1, box.column + box.width + 1):
                taken[row, column] = 9
    answer = []
    for line, own in zip(lines, straight, strict=True):
        places = [cell for cell in reversed(own) if taken[cell] == 1]
        if line.upward and places and places[-1] == line.points[0]:
            places.pop()
        answer.append(_sign(line, places, taken, wide))
    return tuple(answer)


def _sign(line: Line, places: Sequence[Cell], taken: dict[Cell, int], wide: int) -> Line:
    if not places or not (line.mark or line.word):
        return replace(line, word="")
    size = cells.width(line.word)
    for row, column in places if size else ():
        for start in (column + 1, column - size):
            right = start + size - 1
            if start < 0 or right >= wide:
                continue
            reach = range(column + 1, right + 2) if start > column else range(start - 1, column)
            if not any((row, at) in taken for at in reach):
                taken.update({(row, at): 9 for at in reach})
                taken[row, column] = 9
                return replace(line, sign=(row, column), word_column=start)
    return replace(line, sign=places[0] if line.mark else None, word="")
