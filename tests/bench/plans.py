"""Seeded graphs shaped like build plans, for measuring drawings.

A plan is put together the way an airframe is: an assembly is a handful of smaller assemblies that are joined and then
finished; the smallest ones are short runs of work. Cross links between tasks of like depth stand for shared jigs and
checks. What other edges imply is left out, as in a plan whose review is clean.
"""

import random

Edges = list[tuple[int, int]]


def plan(size: int, density: float, seed: int) -> tuple[int, Edges]:
    """About `size` tasks with about `density` edges a task: (number of tasks, edges from earlier to later task)."""
    rng = random.Random(f"{size}/{density}/{seed}")
    edges: Edges = []
    total = _assembly(rng, 0, size, edges)
    edges = lean(total, edges)
    for _ in range(20):
        missing = round(density * total) - len(edges)
        if missing <= 0:
            break
        depth = depths(total, edges)
        rows: dict[int, list[int]] = {}
        for task, at in enumerate(depth):
            rows.setdefault(at, []).append(task)
        for _ in range(missing):
            early = rng.randrange(total)
            later = rows.get(depth[early] + rng.choice((1, 1, 1, 2, 2, 3)), [])
            if later:
                later = sorted(later, key=lambda task: abs(task - early))
                edges.append((early, later[min(int(rng.expovariate(0.35)), len(later) - 1)]))
        edges = lean(total, edges)
    return total, edges


def _assembly(rng: random.Random, first: int, size: int, edges: Edges) -> int:
    """Add an assembly of `size` tasks numbered from `first`, ending with its last. Returns the next free number."""
    if size <= 4:
        edges.extend((task, task + 1) for task in range(first, first + size - 1))
        return first + size
    finish = rng.randint(1, min(3, size - 3))
    parts = min(rng.choice((2, 2, 2, 3, 3, 4)), size - finish)
    cuts = sorted(rng.sample(range(1, size - finish), parts - 1))
    here, ends, heads = first, [], []
    for low, high in zip([0, *cuts], [*cuts, size - finish], strict=True):
        heads.append(here)
        here = _assembly(rng, here, high - low, edges)
        ends.append(here - 1)
    edges.extend((end, here) for end in ends)
    if rng.random() < 0.4:
        edges.extend((ends[0], head) for head in heads[1:] if rng.random() < 0.6)
    edges.extend((task, task + 1) for task in range(here, here + finish - 1))
    return here + finish


def depths(total: int, edges: Edges) -> list[int]:
    """Longest path to each task, in edges."""
    depth = [0] * total
    order, out = _sorted(total, edges)
    for task in order:
        for later in out[task]:
            depth[later] = max(depth[later], depth[task] + 1)
    return depth


def _sorted(total: int, edges: Edges) -> tuple[list[int], list[list[int]]]:
    out: list[list[int]] = [[] for _ in range(total)]
    waits = [0] * total
    for early, later in edges:
        out[early].append(later)
        waits[later] += 1
    order = [task for task in range(total) if not waits[task]]
    for task in order:
        for later in out[task]:
            waits[later] -= 1
            if not waits[later]:
                order.append(later)
    return order, out


def lean(total: int, edges: Edges) -> Edges:
    """The edges that no other path implies."""
    order, out = _sorted(total, sorted(set(edges)))
    place = {task: index for index, task in enumerate(order)}
    reach = [0] * total
    kept: Edges = []
    for task in reversed(order):
        seen = 0
        for later in sorted(out[task], key=place.__getitem__):
            if not seen >> later & 1:
                kept.append((task, later))
                seen |= reach[later] | 1 << later
        reach[task] = seen
    return sorted(kept)
