"""Putting things in a row: each as near as can be to where it is wanted, none closer to the next than allowed.

Used for the boxes of a level and for the ends of edges along a box. The sum of distances is kept smallest (not of their
squares), since then as many as can be stand exactly where they are wanted, and an edge that is exact is straight.
"""

from collections.abc import Sequence

Want = tuple[int, int]


def in_a_row(
    wants: Sequence[Sequence[Want]], steps: Sequence[int], low: int | None, high: int | None, now: Sequence[int]
) -> list[int]:
    """Columns for things in this order.

    `wants` holds for each thing (column, weight) pairs; `steps[i]` is the least distance from thing i to thing i + 1;
    `low` bounds the first, `high` the last (they must leave room for the steps); `now` is where things stand already,
    which decides where several columns are equally good.
    Source: pooling of adjacent violators, the textbook method for isotonic regression, here with weighted medians.
    """
    shift, shifts = 0, []
    pools: list[tuple[list[Want], int, list[int]]] = []
    for index, thing in enumerate(wants):
        shifts.append(shift)
        own = [(column - shift, weight) for column, weight in thing]
        own.sort()
        here = [now[index] - shift]
        value = _middle(own, here)
        pool = (own, value, here)
        while pools and pools[-1][1] > pool[1]:
            earlier = pools.pop()
            joined = sorted(earlier[0] + pool[0])
            places = earlier[2] + pool[2]
            pool = (joined, _middle(joined, places), places)
        pools.append(pool)
        if index < len(steps):
            shift += steps[index]
    flat = [value for _, value, places in pools for _ in places]
    if high is not None:
        flat = [min(value, high - shift) for value in flat]
    if low is not None:
        flat = [max(value, low) for value in flat]
    return [value + shift for value, shift in zip(flat, shifts, strict=True)]


def _middle(wants: list[Want], now: list[int]) -> int:
    if not wants:
        return now[len(now) // 2]
    if len(wants) == 1:
        return wants[0][0]
    total = 0
    for want in wants:
        total += want[1]
    passed = 0
    for index, (column, weight) in enumerate(wants):
        passed += weight
        if 2 * passed > total:
            return column
        if 2 * passed == total:
            return min(max(column, now[len(now) // 2]), wants[index + 1][0])
    return wants[-1][0]
