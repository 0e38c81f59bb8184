"""Lines in the gap between two levels: which row each sideways stretch runs in.

In a gap every edge goes down from a column at the top, sideways in one row (or two, where it must), and down to a
column at the bottom. Two edges never share a stretch or a corner: they may only cross, one going straight down,
the other straight sideways. That is what makes the drawing readable without doubt.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(slots=True)
class Piece:
    """A sideways stretch of edge `edge`: comes down in column `top`, goes on down in column `bottom`."""

    edge: int
    top: int
    bottom: int
    row: int = -1
    after: set[int] = field(default_factory=set)
    """Pieces that must lie in rows above."""

    @property
    def left(self) -> int:
        return min(self.top, self.bottom)

    @property
    def right(self) -> int:
        return max(self.top, self.bottom)


def gap(tops: Sequence[int], bottoms: Sequence[int]) -> tuple[int, list[list[tuple[int, int]]]]:
    """Rows needed, and for each edge its sideways stretches as (row, column it ends in), from top to bottom.

    `tops` are all different, and so are `bottoms`. Straight edges have no stretch.
    """
    pieces = [
        Piece(edge, top, bottom) for edge, (top, bottom) in enumerate(zip(tops, bottoms, strict=True)) if top != bottom
    ]
    pieces = _untangled(pieces, set(tops) | set(bottoms))
    _must(pieces)
    _prefer(pieces)
    rows = _pack(pieces)
    answer: list[list[tuple[int, int]]] = [[] for _ in tops]
    for piece in sorted(pieces, key=lambda piece: piece.row):
        answer[piece.edge].append((piece.row, piece.bottom))
    return rows, answer


def _untangled(pieces: list[Piece], taken: set[int]) -> list[Piece]:
    """The pieces with those cut in two that wait for one another in a ring.

    Where one edge comes up into a column that another goes down from, the one going down must turn off higher. Along
    such columns a ring can form; cutting one of its edges at a free column opens it.
    """
    by_top = {piece.top: piece for piece in pieces}
    done: set[int] = set()
    result = list(pieces)
    for first in pieces:
        trail: list[Piece] = []
        on_trail: set[int] = set()
        piece: Piece | None = first
        while piece is not None and piece.edge not in done and piece.edge not in on_trail:
            trail.append(piece)
            on_trail.add(piece.edge)
            piece = by_top.get(piece.bottom)
        if piece is not None and piece.edge in on_trail:
            middle = _free(piece, taken)
            taken.add(middle)
            result.remove(piece)
            result += [Piece(piece.edge, piece.top, middle), Piece(piece.edge, middle, piece.bottom)]
        done |= on_trail
    return result


def _free(piece: Piece, taken: set[int]) -> int:
    """A column of no other edge, inside the stretch if there is one, else the nearest to its right."""
    centre = (piece.left + piece.right) // 2
    inside = [column for column in range(piece.left + 1, piece.right) if column not in taken]
    if inside:
        return min(inside, key=lambda column: (abs(column - centre), column))
    column = piece.right + 1
    while column in taken:
        column += 1
    return column


def _must(pieces: list[Piece]) -> None:
    by_top: dict[int, int] = {piece.top: index for index, piece in enumerate(pieces)}
    for index, piece in enumerate(pieces):
        other = by_top.get(piece.bottom)
        if other is None:
            continue
        if pieces[other].edge == piece.edge:
            pieces[other].after.add(index)
        else:
            piece.after.add(other)


def _prefer(pieces: list[Piece]) -> None:
    """Keep edges that need not cross from crossing: of two that go the same way the foremost turns off first."""
    order = sorted(range(len(pieces)), key=lambda index: pieces[index].top)
    for at, one in enumerate(order):
        for other in order[at + 1 :]:
            left, right = pieces[one], pieces[other]
            if left.edge == right.edge or left.bottom > right.bottom:
                continue
            if left.bottom > left.top and right.bottom > right.top and right.top <= left.bottom:
                _wish(pieces, upper=other, lower=one)
            elif left.bottom < left.top and right.bottom < right.top and right.bottom <= left.top:
                _wish(pieces, upper=one, lower=other)


def _wish(pieces: list[Piece], upper: int, lower: int) -> None:
    """Ask that `lower` lies below `upper`, unless the reverse is already settled."""
    stack, seen = [upper], set()
    while stack:
        index = stack.pop()
        if index == lower:
            return
        if index not in seen:
            seen.add(index)
            stack.extend(pieces[index].after)
    pieces[lower].after.add(upper)


def _pack(pieces: list[Piece]) -> int:
    """Give each piece the highest row it may have; pieces in one row keep a free cell between them."""
    rows: list[list[tuple[int, int]]] = []
    waiting = [set(piece.after) for piece in pieces]
    later: list[list[int]] = [[] for _ in pieces]
    for index, piece in enumerate(pieces):
        for above in piece.after:
            later[above].append(index)
    ready = sorted((index for index in range(len(pieces)) if not waiting[index]), key=lambda i: pieces[i].left)
    while ready:
        index = ready.pop(0)
        piece = pieces[index]
        row = 1 + max((pieces[above].row for above in piece.after), default=-1)
        while row < len(rows) and any(low - 1 <= piece.right and piece.left <= high + 1 for low, high in rows[row]):
            row += 1
        while len(rows) <= row:
            rows.append([])
        rows[row].append((piece.left, piece.right))
        piece.row = row
        freed = []
        for index_below in later[index]:
            waiting[index_below].discard(index)
            if not waiting[index_below]:
                freed.append(index_below)
        ready += sorted(freed, key=lambda i: pieces[i].left)
    return len(rows)
