"""A drawing as characters: rows of runs for a screen, plain lines for print."""

from dataclasses import dataclass
from itertools import pairwise

from fitup.drawing import cells
from fitup.drawing.glyphs import DOWN, LEFT, RIGHT, ROUND, UP, Glyphs
from fitup.drawing.values import Box, Drawing, Line


@dataclass(frozen=True, slots=True)
class Run:
    """Text of one role in one row.

    `role` is one of blank, mark, label, tail, frame, fill, line, faint, sign, word, note. `node` is set for what
    belongs to a box, `edge` (index in the graph) for what belongs to a line.
    """

    text: str
    role: str
    node: str | None = None
    edge: int | None = None


Cell = tuple[str, str, str | None, int | None]


def rows(drawing: Drawing, glyphs: Glyphs = ROUND) -> tuple[tuple[Run, ...], ...]:
    """All rows of the drawing, each padded to its width with blank runs."""
    grid: list[dict[int, Cell]] = [{} for _ in range(drawing.height)]
    _draw_lines(drawing, glyphs, grid)
    for box in drawing.boxes:
        _draw_box(box, glyphs, grid)
    for note in drawing.notes:
        _write(grid[note.row], note.column, note.text, "note", None, None, glyphs)
    return tuple(_runs(row, drawing.width) for row in grid)


def text(drawing: Drawing, glyphs: Glyphs = ROUND) -> list[str]:
    """The drawing as plain lines without blanks at the end."""
    return ["".join(run.text for run in row).rstrip() for row in rows(drawing, glyphs)]


def masks(line: Line) -> dict[tuple[int, int], int]:
    """Arms of each cell of a line; its first cell is open to the box above, its last to the one below."""
    points = line.points
    arms: dict[tuple[int, int], int] = {points[0]: UP}
    arms[points[-1]] = arms.get(points[-1], 0) | DOWN
    for (row, column), (to_row, to_column) in pairwise(points):
        if column == to_column:
            for at in range(row, to_row):
                arms[at, column] = arms.get((at, column), 0) | DOWN
                arms[at + 1, column] = arms.get((at + 1, column), 0) | UP
        else:
            for at in range(min(column, to_column), max(column, to_column)):
                arms[row, at] = arms.get((row, at), 0) | RIGHT
                arms[row, at + 1] = arms.get((row, at + 1), 0) | LEFT
    return arms


def _draw_lines(drawing: Drawing, glyphs: Glyphs, grid: list[dict[int, Cell]]) -> None:
    tables = {strong: glyphs.table(strong) for strong in (True, False)}
    for line in sorted(drawing.lines, key=lambda line: line.strong):
        role = "line" if line.strong else "faint"
        for (row, column), arms in masks(line).items():
            crossed = column in grid[row]
            glyph = glyphs.cross if crossed else tables[line.strong][arms]
            grid[row][column] = (glyph, role, None, line.edge)
    for line in drawing.lines:
        if line.upward:
            row, column = line.points[0]
            grid[row][column] = (glyphs.head, "line" if line.strong else "faint", None, line.edge)
        if line.sign is not None:
            row, column = line.sign
            if line.mark:
                _write(grid[row], column, line.mark, "sign", None, line.edge, glyphs)
            if line.word and line.word_column is not None:
                _write(grid[row], line.word_column, line.word, "word", None, line.edge, glyphs)


def _draw_box(box: Box, glyphs: Glyphs, grid: list[dict[int, Cell]]) -> None:
    left, wide, row = box.column, box.width, box.row
    if box.lines:
        table = glyphs.table(True)
        flat = table[LEFT | RIGHT] * (wide - 2)
        _write(grid[row], left, table[DOWN | RIGHT] + flat + table[DOWN | LEFT], "frame", box.node, None, glyphs)
        foot = row + box.height - 1
        _write(grid[foot], left, table[UP | RIGHT] + flat + table[UP | LEFT], "frame", box.node, None, glyphs)
        for at in range(row + 1, foot):
            for column in (left, left + wide - 1):
                grid[at][column] = (table[UP | DOWN], "frame", box.node, None)
            for column in range(left + 1, left + wide - 1):
                grid[at][column] = (" ", "fill", box.node, None)
        for at, line in enumerate(box.lines):
            _write(grid[row + 2 + at], left + 2, line, "tail", box.node, None, glyphs)
        row, left, wide = row + 1, left + 2, wide - 4
    column, end = left, left + wide
    if box.mark:
        column = _write(grid[row], column, box.mark, "mark", box.node, None, glyphs)
        column = _write(grid[row], column, " ", "label", box.node, None, glyphs)
    column = _write(grid[row], column, box.label, "label", box.node, None, glyphs)
    if box.tail:
        column = _write(grid[row], column, "  ", "label", box.node, None, glyphs)
        column = _write(grid[row], column, box.tail, "tail", box.node, None, glyphs)
    if column < end and not box.lines:
        _write(grid[row], column, glyphs.fill * (end - column), "fill", box.node, None, glyphs)


def _write(
    row: dict[int, Cell], column: int, words: str, role: str, node: str | None, edge: int | None, glyphs: Glyphs
) -> int:
    """Write text into the row and return the column after it. A wide character leaves an empty cell behind it."""
    for char in cells.plain(words) if glyphs.ascii else words:
        row[column] = (char, role, node, edge)
        if cells.width(char) == 2:
            row[column + 1] = ("", role, node, edge)
            column += 1
        column += 1
    return column


def _runs(row: dict[int, Cell], wide: int) -> tuple[Run, ...]:
    runs: list[Run] = []
    chars: list[str] = []
    kind: tuple[str, str | None, int | None] = ("blank", None, None)
    blank: Cell = (" ", "blank", None, None)
    for column in range(max(wide, max(row, default=-1) + 1)):
        char, role, node, edge = row.get(column, blank)
        if (role, node, edge) != kind and chars:
            runs.append(Run("".join(chars), *kind))
            chars = []
        kind = (role, node, edge)
        chars.append(char)
    if chars:
        runs.append(Run("".join(chars), *kind))
    return tuple(runs)
