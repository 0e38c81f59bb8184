"""Crossings in the drawings of Graphviz dot 2.43.0 (Debian 12), typed in so that nothing needs Graphviz.

Source: `dot -Tplain` on the graphs of `plans.plan(size, density, seed)`, nodes as boxes of one size;
counted where the drawn curves pass from rank to rank. `python -m tests.bench.dot` counts them again.
"""

DOT: dict[tuple[int, float], tuple[int, ...]] = {
    # (tasks, edges a task): crossings for seeds 1, 2, ...
    (60, 1.3): (25, 16, 29, 43, 26, 23),
    (60, 1.6): (79, 47, 55, 122, 93, 72),
    (60, 2.0): (263, 243, 332, 157, 230, 291),
    (300, 1.3): (265, 590, 363, 558, 523, 501),
    (300, 1.6): (994, 1446, 1049, 1436, 1273, 1091),
    (300, 2.0): (1612, 2090, 2147, 2047, 2219, 2080),
    (2000, 1.3): (12631,),
    (2000, 1.6): (27750,),
    (2000, 2.0): (34497,),
}


def allowed(dot: int) -> int:
    """The most crossings that one drawing may have where dot's has `dot`."""
    return int(1.1 * dot + 2)
