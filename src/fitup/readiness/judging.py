"""Judges every hold of a plan at an instant, and the state of every task.

Everything is judged anew after each act: no counters are kept, so none can go wrong. The pass over
the plan only settles what stands; the sentences about a task's holds are made when they are read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta

from fitup.model.amounts import local_day
from fitup.model.holds import hold_book
from fitup.model.plan import Hold, Plan, Task, Within
from fitup.model.progress import Progress, Project, Stop
from fitup.readiness import telling
from fitup.readiness.values import HoldState, HoldWord, Readiness, TaskState
from fitup.trade.clocks import cured_at, cured_hours

_WHOLE = 1e-9
"""Stock that falls short by less than this is rounding, not shortage."""

NEVER_WAIVED = ("cure", "stop")
"""Kinds of hold that no waiver sets aside: a cure's hours are corrected, a stop is lifted."""


def judge(project: Project, now: datetime) -> Readiness:
    """Judge every hold of the project at `now`; tasks keep the plan's order."""
    judging = Judging(project, now)
    states: dict[str, TaskState] = {}
    waits_for: dict[str, tuple[str, ...]] = {}
    own_roots: dict[str, tuple[str, ...]] = {}
    done, tasks = judging.done, project.progress.tasks
    for task_id in project.plan.task:
        if task_id in done:
            states[task_id] = "done"
            continue
        waits, own = judging.standing_on(task_id)
        if waits or own:
            states[task_id] = "held"
            waits_for[task_id], own_roots[task_id] = _each_once(waits), _each_once(own)
        else:
            progress = tasks.get(task_id)
            states[task_id] = "under way" if progress is not None and progress.done > 0 else "ready"
    return Readiness(now, states, _Told(judging), waits_for, own_roots)


def _each_once(names: list[str]) -> tuple[str, ...]:
    return tuple(names) if len(names) < 2 else tuple(dict.fromkeys(names))


def closed_bays(project: Project) -> frozenset[str]:
    """Return the bays whose closing tasks are all done; a bay that nothing closes stays open."""
    closing: dict[str, bool] = {}
    for task in project.plan.tasks:
        for bay in task.closes:
            closing[bay] = closing.get(bay, True) and project.done(task.id)
    return frozenset(bay for bay, closed in closing.items() if closed)


class Judging:
    """One project at one instant, with what the judgement of many holds has in common."""

    def __init__(self, project: Project, now: datetime) -> None:
        self.project, self.plan, self.progress, self.now = project, project.plan, project.progress, now
        self.day = local_day(now)
        self.book = hold_book(self.plan)
        self.done = _done(self.plan, self.progress)
        self.verdicts = {measurement.task: measurement.verdict for measurement in self.progress.measurements}
        self.photographed = {photo.task for photo in self.progress.photos}
        self.stops: dict[str, list[Stop]] = {}
        for (task_id, _), stop in sorted(self.progress.stops.items()):
            self.stops.setdefault(task_id, []).append(stop)
        self._ends: dict[tuple[str, Hold], datetime] = {}

    def standing_on(self, task_id: str) -> tuple[list[str], list[str]]:
        """Return what holds an unfinished task: unfinished tasks, and the ids of its own roots."""
        waits: list[str] = []
        own: list[str] = []
        done, waivers = self.done, self.progress.waivers
        for hold in self.book.holds[task_id]:
            until = hold.until
            if until is None:
                if self.word(task_id, hold) == "standing":
                    own.append(f"{hold.kind}:{task_id}")
            elif until not in done:
                if not waivers or not self._waived(task_id, hold):
                    waits.append(until)
            elif hold.kind in _FURTHER and self.word(task_id, hold) == "standing":
                own.append(f"cure:{task_id}" if hold.kind == "cure" else until)
        if task_id in self.stops:
            own.append(f"stop:{task_id}")
        for window in self.plan.task[task_id].within:
            if self.window(task_id, window) == "standing":
                own.append(window.of)
        return waits, own

    def word(self, task_id: str, hold: Hold) -> HoldWord:
        """Return whether a hold of the plan stands, is lifted or is waived."""
        if self._lifted(task_id, hold):
            return "lifted"
        return "waived" if self._waived(task_id, hold) else "standing"

    def _waived(self, task_id: str, hold: Hold) -> bool:
        if hold.kind in NEVER_WAIVED or (hold.kind == "sign-off" and hold.by == "inspector"):
            return False
        return key_of(task_id, hold) in self.progress.waivers

    def _lifted(self, task_id: str, hold: Hold) -> bool:
        kind, until = hold.kind, hold.until
        if until is not None:
            if until not in self.done:
                return False
            if kind == "check":
                return self.plan.task[until].check is None or self.verdicts.get(until) == "pass"
            if kind == "access":
                return not self.plan.task[until].photo or until in self.photographed
            return kind != "cure" or (self.now >= self.cured(task_id, hold) and self._witnessed(task_id, hold))
        if kind == "supply":
            return self.missing(task_id, hold) <= _WHOLE
        if kind == "sign-off":
            return (task_id, hold.by) in self.progress.signatures
        return (task_id, "stop", "") in self.progress.lifts

    def hours(self, task_id: str, hold: Hold) -> float:
        """Return the nominal hours of a cure: as corrected by a person, else the plan's."""
        corrected = self.progress.cures.get((task_id, hold.until or ""))
        return hold.hours if corrected is None else corrected.hours

    def cured(self, task_id: str, hold: Hold) -> datetime:
        """Return when the hours of a cure whose task is done are over, by its law and the shop's temperatures."""
        kept = self._ends.get((task_id, hold))
        if kept is not None:
            return kept
        begin = self.finished(hold.until or "")
        end = cured_at(begin, self.hours(task_id, hold), self.progress.temperatures, hold.law)
        self._ends[task_id, hold] = end
        return end

    def _gathered(self, hold: Hold) -> float:
        """Return the nominal hours of cure that the time since its task was finished amounts to, by its law."""
        return cured_hours(self.finished(hold.until or ""), self.now, self.progress.temperatures, hold.law)

    def finished(self, task_id: str) -> datetime:
        """Return when a done task was finished; where nobody knows, now: no cure is cut short."""
        state = self.progress.of(task_id)
        return state.finished_at or state.ticked_at or self.now

    def _witnessed(self, task_id: str, hold: Hold) -> bool:
        """A word about a witness sample counts for the mix it was taken from, not for a later one."""
        if not hold.witness:
            return True
        lift = self.progress.lifts.get((task_id, "cure", hold.until or ""))
        return lift is not None and lift.at >= self.finished(hold.until or "")

    def missing(self, task_id: str, hold: Hold) -> float:
        """Return how much of an item's open share is not there in date today; never below nothing."""
        count = max(1, self.plan.task[task_id].count)
        needed = hold.quantity * self.project.open_count(task_id) / count
        there = self.project.stock(hold.item).in_date(self.day) if hold.item in self.plan.item else 0.0
        return max(0.0, needed - there)

    def opened(self, window: Within) -> datetime | None:
        """Return when a time window opened: the begin or the finish of its task, or None before that."""
        opener = self.progress.tasks.get(window.of)
        if opener is None:
            return None
        if window.start == "begin":
            return opener.begun_at if opener.done > 0 else None
        return opener.finished_at if window.of in self.done else None

    def window(self, task_id: str, window: Within) -> HoldWord | None:
        """Return whether a window that ran out stands or is waived; None for one that did not run out."""
        if task_id in self.done:
            return None
        opened = self.opened(window)
        if opened is None or self.now <= opened + timedelta(hours=window.hours):
            return None
        waivers = self.progress.waivers
        waived = (task_id, "within", window.of) in waivers or (task_id, "after", window.of) in waivers
        return "waived" if waived else "standing"

    def tell(self, task_id: str) -> Iterator[HoldState]:
        """Yield all holds of a task, judged: the plan's, people's stops, windows that ran out."""
        task = self.plan.task[task_id]
        for hold in self.book.holds[task_id]:
            yield self._told(task, hold)
        for stop in self.stops.get(task_id, ()):
            hold = Hold("stop", why=stop.why, by=stop.by, own=False)
            key = (task_id, "stop", str(stop.number))
            yield HoldState(task_id, hold, "standing", "stop", stop.why, telling.stop(stop), None, stop.at, key)
        for window in task.within:
            word, opened = self.window(task_id, window), self.opened(window)
            if word is not None and opened is not None:
                ran_out = opened + timedelta(hours=window.hours)
                hold = Hold("after", until=window.of, own=False)
                why, lifts = telling.window(self.plan, window, ran_out, self.now)
                yield HoldState(
                    task_id, hold, word, "within", why, lifts, None, ran_out, (task_id, "within", window.of)
                )

    def _told(self, task: Task, hold: Hold) -> HoldState:
        word = self.word(task.id, hold)
        expected: date | datetime | None = None
        since: datetime | None = None
        if hold.kind == "cure":
            running = hold.until in self.done
            ends = self.cured(task.id, hold) if running else None
            expected = ends
            since = self.finished(hold.until or "") if running and word == "standing" else None
            lifts = telling.cure(self.plan, hold, self.hours(task.id, hold), ends, self._gathered(hold), self.now)
        elif hold.kind == "supply":
            on_order = self.project.stock(hold.item).on_order if hold.item in self.plan.item else None
            missing = self.missing(task.id, hold)
            lifts = telling.supply(self.plan, hold, missing, on_order)
            expected = on_order.expected if on_order is not None and missing > _WHOLE else None
        else:
            lifts = telling.lifts(self.plan, hold, hold.until in self.done)
            expected = hold.expected
        return HoldState(task.id, hold, word, hold.kind, hold.why, lifts, expected, since, key_of(task.id, hold))


_FURTHER = ("check", "cure", "access")
"""Kinds of hold that may stand although the task that they wait for is done."""


def key_of(task_id: str, hold: Hold) -> tuple[str, str, str]:
    """Return the name of a plan's hold in waivers and lifts; a plan's stop has no third part."""
    if hold.until is not None:
        return task_id, hold.kind, hold.until
    return task_id, hold.kind, hold.item if hold.kind == "supply" else hold.by if hold.kind == "sign-off" else ""


def _done(plan: Plan, progress: Progress) -> frozenset[str]:
    tasks = plan.task
    return frozenset(
        task_id for task_id, state in progress.tasks.items() if task_id in tasks and state.done >= tasks[task_id].count
    )


class _Told(Mapping[str, tuple[HoldState, ...]]):
    """The judged holds of each task, put into words when they are asked for."""

    def __init__(self, judging: Judging) -> None:
        self._judging = judging
        self._told: dict[str, tuple[HoldState, ...]] = {}

    def __getitem__(self, task_id: str) -> tuple[HoldState, ...]:
        if task_id not in self._told:
            self._told[task_id] = tuple(self._judging.tell(task_id))
        return self._told[task_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._judging.plan.task)

    def __len__(self) -> int:
        return len(self._judging.plan.task)
