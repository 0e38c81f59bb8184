"""On which level each node stands: above everything that waits for it, and no farther from it than it must be."""

from collections.abc import Sequence

GROUP = 25
"""Nodes that are moved together at most."""


def without_circles(count: int, edges: Sequence[tuple[int, int]]) -> tuple[list[tuple[int, int]], list[bool]]:
    """The edges with those turned round that close a circle, and which ones were turned.

    A depth-first walk in node order; the edge that leads back to a node still being walked is turned.
    """
    out: list[list[int]] = [[] for _ in range(count)]
    for index, (above, _) in enumerate(edges):
        out[above].append(index)
    colour = [0] * count
    turned = [False] * len(edges)
    for root in range(count):
        if colour[root]:
            continue
        colour[root] = 1
        walk = [(root, iter(out[root]))]
        while walk:
            node, rest = walk[-1]
            for index in rest:
                below = edges[index][1]
                if colour[below] == 1:
                    turned[index] = True
                elif colour[below] == 0:
                    colour[below] = 1
                    walk.append((below, iter(out[below])))
                    break
            else:
                colour[node] = 2
                walk.pop()
    straight = [(b, a) if turned[i] else (a, b) for i, (a, b) in enumerate(edges)]
    return straight, turned


def in_order(count: int, edges: Sequence[tuple[int, int]]) -> list[int]:
    """Nodes so that every edge leads forward; the edges must be free of circles."""
    out: list[list[int]] = [[] for _ in range(count)]
    waits = [0] * count
    for above, below in edges:
        out[above].append(below)
        waits[below] += 1
    order = [node for node in range(count) if not waits[node]]
    for node in order:
        for below in out[node]:
            waits[below] -= 1
            if not waits[below]:
                order.append(below)
    return order


def levels(count: int, edges: Sequence[tuple[int, int]], rounds: int = 6) -> list[int]:
    """Level of each node, 0 at the top: longest path from the top, then each node pulled to where its edges are short.

    A node with more edges below than above moves down as far as it may, one with more above moves up; a node with as
    many of each moves to the less crowded end. The edges must be free of circles.
    """
    order = in_order(count, edges)
    up: list[list[int]] = [[] for _ in range(count)]
    down: list[list[int]] = [[] for _ in range(count)]
    for above, below in edges:
        down[above].append(below)
        up[below].append(above)
    level = [0] * count
    for node in order:
        for above in up[node]:
            if level[above] >= level[node]:
                level[node] = level[above] + 1
    crowd = [0] * (max(level, default=0) + 1)
    for node in range(count):
        crowd[level[node]] += 1
    for _ in range(rounds):
        moved = False
        for node in reversed(order):
            if not down[node] and not up[node]:
                continue
            target = _pulled(level, up[node], down[node], level[node], crowd)
            if target != level[node]:
                crowd[level[node]] -= 1
                crowd[target] += 1
                level[node] = target
                moved = True
        order.reverse()
        if not moved:
            break
    for _ in range(rounds):
        down_moves = [_shift_group(node, level, up, down, 1) for node in reversed(order) if down[node]]
        up_moves = [_shift_group(node, level, down, up, -1) for node in order if up[node]]
        if not any(down_moves) and not any(up_moves):
            break
    used = sorted(set(level))
    renumbered = {old: new for new, old in enumerate(used)}
    return [renumbered[old] for old in level]


def _pulled(level: list[int], up: list[int], down: list[int], now: int, crowd: list[int]) -> int:
    if len(down) > len(up):
        return min(level[below] for below in down) - 1
    if len(up) > len(down):
        return max(level[above] for above in up) + 1
    low = max(level[above] for above in up) + 1
    high = min(level[below] for below in down) - 1
    best = now
    for candidate in range(low, high + 1):
        if crowd[candidate] + (candidate != now) < crowd[best] + (best != now):
            best = candidate
    return best


def _shift_group(node: int, level: list[int], behind: list[list[int]], ahead: list[list[int]], way: int) -> bool:
    """Move the node, with all that it pushes, as far `way` (1 down, -1 up) as makes edges shorter in sum.

    What it pushes is what hangs on it by edges of length 1. Moving is worth it when more edges lead out of the group
    ahead (they get shorter) than come into it from behind.
    """
    group, pushed = {node}, [node]
    for member in pushed:
        tight = level[member] + way
        for other in ahead[member]:
            if level[other] == tight and other not in group:
                group.add(other)
                pushed.append(other)
        if len(pushed) > GROUP:
            return False
    gaps = [
        (level[other] - level[member]) * way - 1 for member in pushed for other in ahead[member] if other not in group
    ]
    if not gaps or len(gaps) <= sum([other not in group for member in pushed for other in behind[member]]):
        return False
    slack = min(gaps) * way
    for member in pushed:
        level[member] += slack
    return True
