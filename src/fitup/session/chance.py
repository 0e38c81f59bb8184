"""The chance that everything on a sheet is finished in time.

The sheet is worked through many times with times drawn at random: every line's own spread, and one
pace for the whole day common to all lines (`estimate.PACE_SD`). Order and hands stay as planned,
nothing begins before it may; a run counts as failed when the session's end, the helper's leaving,
the quiet hour or a time window is passed. The draws are seeded: the same sheet, the same chance.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from random import Random
from statistics import NormalDist

from fitup.estimate import PACE_SD, log_sd, work_time
from fitup.model.sheet import Line
from fitup.session.problem import Candidate, Problem

RUNS = 400
_SEED = 7
_NORMAL = NormalDist()


def chance_of(problem: Problem, lines: Sequence[Line], runs: int = RUNS) -> float:
    """Return the chance (0..1) that all lines are finished within the limits of `problem`."""
    if not lines:
        return 1.0
    race = _Race(problem, lines)
    random = Random(_SEED)
    # the common pace is taken at evenly spread points, which leaves less to luck
    good = sum(race.run(exp(PACE_SD * _NORMAL.inv_cdf((turn + 0.5) / runs)), random) for turn in range(runs))
    return good / runs


class _Race:
    """One sheet, made ready to be worked through again and again."""

    def __init__(self, problem: Problem, lines: Sequence[Line]) -> None:
        index = {c.task: c for c in problem.candidates}
        self.problem = problem
        self.lines = tuple(lines)
        self.place = {index[line.task].index: place for place, line in enumerate(lines)}
        plan = problem.project.plan
        self.times: list[tuple[float, float, int]] = []
        self.starts: list[tuple[int, tuple[tuple[int, int], ...]]] = []
        self.limits: list[int] = []
        for line in lines:
            c = index[line.task]
            task = plan.task[line.task]
            time = work_time(plan, task, line.count, problem.scale.pace.get(task.work, 1.0))
            self.times.append((time.likely, log_sd(time), line.set_up + line.clean_up))
            before = tuple((self.place[b], lag) for b, lag in c.before if b in self.place)
            self.starts.append((self._from(c, line), before))
            self.limits.append(self._until(c, line))
        self.windows = self._windows()

    def _from(self, c: Candidate, line: Line) -> int:
        if line.who == "builder":
            return c.release
        return max(c.release, next((a for a, b in self.problem.helper if a <= line.begin < b), 0))

    def _until(self, c: Candidate, line: Line) -> int:
        closes = [w.closes for w in self.problem.windows if w.last == c.index and w.closes is not None]
        limit = min([c.latest, *closes]) if line.count >= c.open else c.latest
        if line.who == "builder":
            return limit
        return min(limit, next((b for a, b in self.problem.helper if a <= line.begin < b), limit))

    def _windows(self) -> list[tuple[int, int, bool, int]]:
        candidates = self.problem.candidates
        return [
            (self.place[w.first], self.place[w.last], w.from_finish, w.span)
            for w in self.problem.windows
            if w.first in self.place
            and w.last in self.place
            and self.lines[self.place[w.last]].count >= candidates[w.last].open
        ]

    def run(self, pace: float, random: Random) -> bool:
        """Work through the sheet once at this pace; return whether every limit was kept."""
        builder = helper = 0.0
        begins: list[float] = []
        ends: list[float] = []
        for place, line in enumerate(self.lines):
            release, before = self.starts[place]
            begin = float(release)
            for earlier, lag in before:
                begin = max(begin, ends[earlier] + lag)
            if line.who != "helper":
                begin = max(begin, builder)
            if line.who != "builder":
                begin = max(begin, helper)
            likely, spread, fixed = self.times[place]
            end = begin + fixed + likely * pace * (exp(random.gauss(0, spread)) if spread else 1.0)
            if end > self.limits[place]:
                return False
            begins.append(begin)
            ends.append(end)
            if line.who != "helper":
                builder = end
            if line.who != "builder":
                helper = end
        return all(
            ends[last] <= (ends[first] if finish else begins[first]) + span
            for first, last, finish, span in self.windows
        )
