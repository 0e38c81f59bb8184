"""Building blocks that the session's exact model and the whole plan's have in common.

The model is handed in, so that nothing here needs the solver that will work on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

SEED = 1


def following(model: Any, begin: Any, since: Any, lag: int = 0, when: Sequence[Any] = ()) -> None:
    """Keep `begin` at least `lag` minutes after `since` where all of `when` hold."""
    rule = model.add(begin >= since + lag)
    if when:
        rule.only_enforce_if(list(when))


def cumulated(model: Any, intervals: Sequence[Any], amounts: Sequence[int], have: int) -> None:
    """Let the intervals together never use more than there is; one at a time where there is one."""
    if sum(amounts) <= have:
        return
    if all(2 * amount > have for amount in amounts) and max(amounts) <= have:
        model.add_no_overlap(list(intervals))
    else:
        model.add_cumulative(list(intervals), list(amounts), have)


def reservoir(model: Any, times: Sequence[Any], changes: Sequence[int], stock: int) -> None:
    """Keep a store, in which `stock` lies at first, from going below nothing; `changes` happen at `times`."""
    taken = -sum(change for change in changes if change < 0)
    if taken > stock:
        model.add_reservoir_constraint([0, *times], [stock, *changes], 0, stock + sum(c for c in changes if c > 0))


def solver_of(cp: Any, limit: float, workers: int) -> Any:
    """Return a solver that stops after `limit` seconds; with one worker the same model is always solved alike."""
    solver = cp.CpSolver()
    solver.parameters.max_time_in_seconds = limit
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = SEED
    return solver


def linear_solver_of(cp: Any, limit: float, level: int, workers: int = 1, as_written: bool = False) -> Any:
    """Return a solver for models whose linear relaxation says most of what there is to say.

    `level` is how much of the model is relaxed: 0 nothing, 1 the rows, 2 all that can be. Several `workers`
    share one search tree and what they learn, and nothing else is tried beside. The model is tidied up
    beforehand, by which sheets are found sooner; but rows of two choices become clauses, of which the
    relaxation at level 1 knows nothing, so that to prove that there are none it is better left `as_written`.
    Measured on seeded sessions: without cuts, probing and tidying up what was learnt proofs come by far the
    soonest, and in a shared tree sooner without each telling the other what follows at its nodes.
    """
    solver = solver_of(cp, limit, workers)
    parameters = solver.parameters
    parameters.linearization_level = level
    parameters.cut_level = 0
    parameters.cp_model_probing_level = 0
    parameters.cp_model_presolve = not as_written
    if workers > 1 or as_written:
        parameters.use_sat_inprocessing = False
    if workers > 1:
        parameters.shared_tree_num_workers = workers
        parameters.share_glue_clauses = True
        parameters.shared_tree_worker_enable_trail_sharing = False
        parameters.ignore_subsolvers.extend(["fj", "fs_random", "ls"])
    return solver
