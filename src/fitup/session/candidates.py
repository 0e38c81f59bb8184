"""From plan to candidates: what could stand on this session's sheet, and nothing else.

One pass in the order of work keeps a task when everything that stands on it can be lifted inside
the session: by another candidate, or by a clock that runs out in time. What can be shown not to fit
(too late to begin, no helper window long enough, stock or temporary fasteners that cannot be there,
an incomplete one-go group) is dropped, and the pass repeated until nothing changes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from math import ceil, floor

from fitup.estimate import clean_up_of, cure_minutes, set_up_of, unit_likely, unit_time
from fitup.estimate.times import AS_TABLE
from fitup.model.amounts import local_day
from fitup.model.holds import TASK_KINDS, hold_book
from fitup.model.plan import Hold, Task
from fitup.model.progress import Project
from fitup.model.sheet import Question
from fitup.readiness import HoldState, Readiness
from fitup.session.links import link
from fitup.session.problem import Candidate, Problem
from fitup.session.worth import Scale, going_on, scale_of
from fitup.trade.clocks import outside, outside_humidity

WORTH_STARTING = 15
"""Minutes of work that a part of a splittable task has at least, where the plan gives no least count."""

NEVER = 10**9


@dataclass(slots=True)
class _Draft:
    """A task on its way to becoming a candidate."""

    task: Task
    open: int
    least: int
    minutes: int
    least_minutes: int
    two: bool
    alone: bool
    latest: int
    fixed: int
    before: list[tuple[str, int]]
    begin: int = 0
    ancestors: int = 0


@dataclass
class _Limits:
    """The session's limits, every one divided by `squeeze`."""

    question: Question
    squeeze: float = 1.0
    usable: int = field(init=False)
    quiet: int = field(init=False)
    helper: tuple[tuple[int, int], ...] = field(init=False)

    def __post_init__(self) -> None:
        question = self.question
        self.usable = floor(question.usable / self.squeeze)
        self.quiet = NEVER if question.quiet_from is None else floor(question.quiet_from / self.squeeze)
        joined: list[tuple[int, int]] = []
        for begin, end in sorted(question.helper):
            if joined and begin <= joined[-1][1]:
                joined[-1] = (joined[-1][0], max(joined[-1][1], end))
            else:
                joined.append((begin, end))
        cut = ((max(0, begin), min(self.usable, floor(end / self.squeeze))) for begin, end in joined)
        self.helper = tuple((begin, end) for begin, end in cut if begin < end)


def problem_of(
    project: Project,
    question: Question,
    pace: Mapping[str, float] = AS_TABLE,
    readiness: Readiness | None = None,
    squeeze: float = 1.0,
    prune: bool = True,
    scale: Scale | None = None,
) -> Problem:
    """Return the problem of one session.

    `squeeze` divides every limit (length, helper's end, quiet hour, windows) for a sheet that is more
    likely to be finished; `prune` False keeps everything that holds alone allow.
    """
    scale = scale or scale_of(project, question, pace, readiness)
    limits = _Limits(question, squeeze)
    drafts = _Pruning(scale, limits, prune).run()
    index = {name: place for place, name in enumerate(drafts)}
    candidates = tuple(_candidate(scale, index, draft) for draft in drafts.values())
    return link(scale, candidates, usable=limits.usable, helper=limits.helper, squeeze=squeeze)


class _Pruning:
    """The passes over the open part of the plan."""

    def __init__(self, scale: Scale, limits: _Limits, prune: bool) -> None:
        self.scale, self.limits, self.prune = scale, limits, prune
        self.project, self.plan, self.question = scale.project, scale.project.plan, scale.question
        self.holds = hold_book(self.plan).holds
        self.day = local_day(self.question.start)
        self.banned: set[str] = set(self.question.without)
        self.known: dict[str, _Draft | None] = {}
        self.lenders = [task for task in self.plan.tasks if task.clecos]
        self.groups: dict[str, list[str]] = {}
        for task in self.plan.tasks:
            if task.one_go and scale.readiness.states[task.id] != "done":
                self.groups.setdefault(task.one_go, []).append(task.id)

    def run(self) -> dict[str, _Draft]:
        """Return the candidates in the order of work, each after what it waits for."""
        names = [name for name in hold_book(self.plan).order if self.scale.readiness.states[name] != "done"]
        while True:
            kept = self._pass(names)
            dropped = set(self._incomplete(kept))
            if self.prune:
                dropped.update(self._unfastened(kept))
            if not dropped:
                return kept
            self.banned |= dropped
            # what fell out with more around it stays out with less
            names = list(kept)

    def _pass(self, names: Iterable[str]) -> dict[str, _Draft]:
        kept: dict[str, _Draft] = {}
        order: list[_Draft] = []
        states, waits = self.scale.readiness.states, self.scale.readiness.waits_for
        for name in names:
            if name in self.banned:
                continue
            if states[name] == "held" and not all(map(kept.__contains__, waits.get(name, ()))):
                continue
            draft = self.known[name] if name in self.known else self._draft(name)
            if draft is not None and self._times(draft, kept, order):
                kept[name] = draft
                order.append(draft)
        return kept

    def _draft(self, name: str) -> _Draft | None:
        """Return the task with all that does not depend on other candidates; None when it can never be one."""
        task = self.plan.task[name]
        before: list[tuple[str, int]] = []
        fixed = 0
        made: _Draft | None = None
        held = self.scale.readiness.states[name] == "held"
        for found in self._lifted(task) if held else ():
            if found is None:
                break
            if isinstance(found, int):
                fixed = max(fixed, found)
            else:
                before.append(found)
        else:
            if fixed <= self.limits.usable and self._workable(task):
                made = self._figures(task, before, fixed)
        self.known[name] = made
        return made

    def _lifted(self, task: Task) -> Iterator[tuple[str, int] | int | None]:
        """Yield what lifts each standing hold: (task, minutes after its finish), a minute, or None for neither."""
        readiness = self.scale.readiness
        if readiness.own_roots.get(task.id) or self.project.progress.waivers:
            for state in readiness.standing(task.id):
                yield self._lifting(task, state)
            return
        # unfinished tasks alone hold it, and to have those holds put into words would take longer than all else here
        waits = readiness.waits_for[task.id]
        for hold in self.holds[task.id]:
            if hold.until is not None and hold.until in waits:
                yield self._after(task, hold, hold.until)

    def _lifting(self, task: Task, state: HoldState) -> tuple[str, int] | int | None:
        until = state.hold.until
        if state.kind in TASK_KINDS and until is not None and not self.project.done(until):
            return self._after(task, state.hold, until)
        if state.kind == "cure" and state.hold.witness:
            return None
        if state.kind == "cure" and isinstance(state.expected, datetime):
            return max(0, ceil(self.question.minute(state.expected)))
        return None

    def _after(self, task: Task, hold: Hold, until: str) -> tuple[str, int] | None:
        if hold.kind != "cure":
            return until, 0
        if hold.witness:
            return None
        lag = cure_minutes(self.project, task.id, hold, self.question.celsius)
        return (until, lag) if lag <= self.limits.usable or not self.prune else None

    def _workable(self, task: Task) -> bool:
        """Return whether warmth, humidity and stock allow the least of it."""
        celsius, humidity = self.question.celsius, self.question.humidity
        if celsius is None and humidity is None:
            return True
        items = [self.plan.item[item] for item, _ in task.needs if item in self.plan.item]
        if celsius is not None:
            ranges = (task.temperature, self.plan.work_of(task).temperature, *(item.temperature for item in items))
            if any(outside(limits, celsius) for limits in ranges):
                return False
        if humidity is not None:
            damp = (task.humidity, *(item.humidity for item in items))
            if any(outside_humidity(limits, humidity) for limits in damp):
                return False
        return True

    def _figures(self, task: Task, before: list[tuple[str, int]], fixed: int) -> _Draft | None:
        left = self.project.open_count(task.id)
        least = left if task.one_go or not self.plan.splits(task) else least_count(self.scale, task, left)
        two = self.plan.crew_of(task) >= 2
        if self.prune and ((two and not self.limits.helper) or not self._stocked(task, least)):
            return None
        latest = self.limits.usable
        if self.plan.loud(task):
            latest = min(latest, self.limits.quiet)
        minutes = self.scale.minutes(task, left)
        return _Draft(
            task=task,
            open=left,
            least=least,
            minutes=minutes,
            least_minutes=minutes if least == left else self.scale.minutes(task, least),
            two=two,
            alone=not two and self.plan.work_of(task).helper_alone and bool(self.limits.helper),
            latest=latest,
            fixed=fixed,
            before=before,
        )

    def _stocked(self, task: Task, count: int) -> bool:
        if not task.needs:
            return True
        waivers = self.project.progress.waivers
        return all(
            quantity * count / max(1, task.count) <= self.project.stock(item).in_date(self.day) + 1e-9
            for item, quantity in task.needs
            if item in self.plan.item and (task.id, "supply", item) not in waivers
        )

    def _times(self, draft: _Draft, kept: Mapping[str, _Draft], order: list[_Draft]) -> bool:
        """Work out the earliest begin; return whether the least of the task still fits."""
        begin, ancestors = draft.fixed, 0
        for until, lag in draft.before:
            other = kept[until]
            begin = max(begin, other.begin + other.minutes + lag)
            ancestors |= other.ancestors
        draft.ancestors = ancestors | 1 << len(order)
        draft.begin = begin
        if not self.prune:
            return True
        if ancestors:
            begin = max(begin, self._one_person(ancestors, order))
        if draft.two:
            fits = (max(begin, a) for a, b in self.limits.helper if max(begin, a) + draft.least_minutes <= b)
            begin = min(fits, default=NEVER)
        draft.begin = begin
        return begin + draft.least_minutes <= draft.latest

    def _one_person(self, ancestors: int, order: list[_Draft]) -> int:
        """Return the earliest minute by which the builder, with what help there is, can be through all ancestors."""
        alone = together = 0
        while ancestors:
            low = ancestors & -ancestors
            other = order[low.bit_length() - 1]
            together += other.minutes
            if not other.alone:
                alone += other.minutes
            ancestors ^= low
        help_minutes = sum(end - begin for begin, end in self.limits.helper)
        return max(alone, together - help_minutes)

    def _incomplete(self, kept: Mapping[str, _Draft]) -> Iterable[str]:
        """Yield candidates of one-go groups that lack an open member."""
        for names in self.groups.values():
            if any(name in kept for name in names) and not all(name in kept for name in names):
                yield from (name for name in names if name in kept)

    def _unfastened(self, kept: Mapping[str, _Draft]) -> Iterable[str]:
        """Yield candidates whose temporary fasteners cannot be there even if all that can come back does."""
        have = {row.size: row.have for row in self.plan.clecos}
        stuck: dict[str, int] = {}
        done = self.project.progress.of
        if not any(draft.task.clecos for draft in kept.values()):
            return
        for task in self.lenders:
            for loan in task.clecos:
                if done(task.id).done and loan.until not in kept and loan.until in self.plan.task:
                    out = outstanding(loan.count, done(loan.until).done, self.plan.task[loan.until].count)
                    stuck[loan.size] = stuck.get(loan.size, 0) + out
        for place, (name, draft) in enumerate(kept.items()):
            if not done(name).done:
                for loan in draft.task.clecos:
                    if loan.until in kept and not kept[loan.until].ancestors >> place & 1:
                        # what gives them back need not come later, and then nothing is taken
                        continue
                    out = outstanding(loan.count, done(loan.until).done, self.plan.task[loan.until].count)
                    if out > have.get(loan.size, 0) - stuck.get(loan.size, 0):
                        yield name
                        break


def outstanding(count: int, done: int, of: int) -> int:
    """Return how many of a loan are still out when `done` of `of` units of the giving task are done."""
    of = max(1, of)
    return count - count * min(done, of) // of


def least_count(scale: Scale, task: Task, left: int) -> int:
    """Return the least count of a splittable task that may be planned."""
    if task.least is not None:
        return max(1, min(task.least, left))
    unit = unit_likely(scale.project.plan, task) * scale.pace.get(task.work, 1.0)
    return left if unit <= 0 else min(left, max(1, ceil(round(WORTH_STARTING / unit, 9))))


def _candidate(scale: Scale, index: Mapping[str, int], draft: _Draft) -> Candidate:
    task, plan = draft.task, scale.project.plan
    time, pace = unit_time(plan, task), scale.pace.get(task.work, 1.0)
    waivers = scale.project.progress.waivers
    latest: dict[int, int] = {}
    for until, lag in draft.before:
        latest[index[until]] = max(lag, latest.get(index[until], 0))
    return Candidate(
        index=index[task.id],
        task=task.id,
        place=plan.position[task.id],
        work=task.work,
        timed=task.minutes is None,
        set_up=set_up_of(plan, task),
        clean_up=clean_up_of(plan, task),
        rate=time.likely,
        pace=pace,
        spread=max(0.0, time.high - time.likely) * pace,
        open=draft.open,
        least=draft.least,
        two=draft.two,
        alone=draft.alone,
        filler=plan.fills(task),
        loud=plan.loud(task),
        release=draft.fixed,
        latest=draft.latest,
        before=tuple(latest.items()),
        tools=plan.tools_of(task),
        needs=tuple(
            (item, quantity / max(1, task.count))
            for item, quantity in task.needs
            if item in plan.item and (task.id, "supply", item) not in waivers
        ),
        group=task.one_go,
        per_minute=scale.per_minute(task),
        finished=scale.finished(task),
        clock=scale.clock_started(task),
        early=6 if task.late else 0,
        asked=task.id in scale.question.wanted,
        begun=going_on(scale.question).get(task.id, 0),
    )
