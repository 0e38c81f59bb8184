"""Run sheets at once: the best of many that a hurried but careful builder might put together.

Each sheet is filled line by line with what brings most for its minutes at that moment, waiting and
set-up counted; small seeded changes in the order of preference give many sheets, of which the best
is kept and varied further. The same question always gives the same sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from fitup.session.draft import Draft
from fitup.session.problem import Candidate, Frame
from fitup.session.rules import Rules
from fitup.session.worth import PER_EARLY_MINUTE, PER_SET_UP_MINUTE, WINDOW_SAVED

SEED = 20
LEAST_RUNS, MOST_RUNS = 24, 250
PROMISING = 80
"""How many candidates are looked at while sheets are varied; the rest may fill what is left."""

EFFORT = 2400
"""Runs times candidates, about: fewer runs where each takes longer."""

NOISE = (0.95, 0.35, 0.7)
"""By how much preferences are changed, in turn: from the start afresh, and twice from the best so far."""

ASKED = 10_000.0
"""Added to the worth per minute of what the builder asks to do first."""

DEADLINE = 1e9

BEHIND = 0.3
"""Share of the worth per minute of what waits for a candidate that counts as its own."""

Rank = tuple[int, int]
"""Minutes of what was asked for, then worth: the order of sheets."""


@dataclass(frozen=True, slots=True)
class Job:
    """Candidates that are put down one right after another, or not at all."""

    members: tuple[int, ...]
    before: tuple[int, ...]


@dataclass(slots=True)
class Mood:
    """One order of preference: worth per minute of each candidate, and how the helper's time is used.

    `by_deadline`: what saves a window comes first, in the order in which the windows close.
    `thrifty`: nothing is put down whose set-up costs more than it brings.
    """

    keys: list[float]
    by_deadline: bool = True
    pair_first: bool = True
    keep_free: bool = True
    helper_alone: bool = True
    thrifty: bool = True
    all: bool = False


class Greedy:
    """All that the runs on one problem share."""

    def __init__(self, problem: Frame, seed: int = SEED) -> None:
        self.problem, self.rules = problem, Rules(problem)
        self.random = Random(seed)
        self.base = _values(problem, self.rules)
        self.jobs = self._jobs()
        self.asked = [c.index for c in problem.candidates if c.asked]
        self.shares = self._shares()
        self.must_begin = {index: self._must_begin(index) for index in problem.saves}
        self.pairs = {c.index for c in problem.candidates if c.two}
        self.alone = {c.index for c in problem.candidates if c.alone and not c.group}
        self.singles = {c.index for c in problem.candidates if not c.group}
        self.promising = self._promising()
        self.facts = [
            (c.work, c.timed, c.set_up + c.clean_up, c.least == c.open, c.two, -1 if c.before else c.release)
            for c in problem.candidates
        ]

    def best(self, runs: int | None = None) -> Draft:
        """Return the best draft of a number of runs (by default fewer where there are many candidates)."""
        size = max(1, min(PROMISING, len(self.problem.candidates)))
        runs = runs or max(LEAST_RUNS, min(MOST_RUNS, EFFORT // size))
        mood = Mood(self.base)
        best = self.run(mood)
        rank = self.rank(best)
        kept = mood
        for turn in range(1, runs):
            mood = self._varied(kept if turn % 3 else Mood(self.base), NOISE[turn % 3], best)
            draft = self.run(mood)
            found = self.rank(draft)
            if found > rank or (found == rank and draft.builder < best.builder):
                best, rank, kept = draft, found, mood
        return self._topped_up(best, kept)

    def filled(self, draft: Draft) -> Draft:
        """Return a draft with what is left of the session filled, as long as that is worth something."""
        return self._topped_up(draft, Mood(self.base))

    def _topped_up(self, draft: Draft, mood: Mood) -> Draft:
        """Fill what is left of the session from all candidates, as long as that is worth something."""
        mood = replace(mood, all=True)
        rank, kept = self.rank(draft), len(draft.entries)
        while self._step(draft, mood, self.problem.usable):
            found = self.rank(draft)
            if found <= rank:
                while len(draft.entries) > kept:
                    draft.take_back()
                break
            rank, kept = found, len(draft.entries)
        return draft

    def _promising(self) -> set[int]:
        """Return the candidates with most worth per minute and what has to be done before them, without groups."""
        candidates = self.problem.candidates
        found: set[int] = set()
        for index in sorted(range(len(candidates)), key=lambda index: (-self.base[index], index)):
            todo = [index]
            while todo:
                here = todo.pop()
                if here not in found:
                    found.add(here)
                    todo.extend(before for before, _ in candidates[here].before)
            if len(found) >= PROMISING:
                break
        return found & self.singles

    def _varied(self, mood: Mood, noise: float, best: Draft) -> Mood:
        draw = self.random.random
        # a triangular change of the logarithm is as good as a normal one here, and quicker
        keys = [key * (1 + noise * (draw() + draw() - 1)) for key in mood.keys]
        if draw() < 0.5:
            # without some of what was chosen last time, other work gets its chance
            for entry in best.entries:
                if draw() < 0.2:
                    keys[entry.candidate] *= 0.02
        if self.asked and draw() < 0.4:
            for index in self.asked:
                keys[index] = self.base[index] - ASKED
        return self.mood(keys)

    def mood(self, keys: list[float]) -> Mood:
        """Return a mood of these preferences, the rest of it drawn."""
        draw = self.random.random
        return Mood(keys, draw() < 0.8, draw() < 0.7, draw() < 0.6, draw() < 0.7, draw() < 0.7)

    def rank(self, draft: Draft) -> Rank:
        """Return what the draft is worth, by the same sum as `worth.py`."""
        candidates, rules = self.problem.candidates, self.rules
        worth = asked = 0
        freed: dict[int, int] = {}
        for entry in draft.entries:
            c = candidates[entry.candidate]
            minutes = entry.end - entry.begin - entry.set_up - entry.clean_up
            worth += minutes * c.per_minute - PER_SET_UP_MINUTE * (entry.set_up + entry.clean_up)
            if c.asked:
                asked += minutes + c.begun
            if entry.count >= c.open:
                worth += c.finished + c.clock
                for place in rules.rewards[c.index]:
                    freed[place] = freed.get(place, 0) + 1
                for closes in self.problem.saves.get(c.index, ()):
                    worth += WINDOW_SAVED if entry.end <= closes else 0
            if c.early and not any(draft.at[later] for later in self.problem.needed_by[c.index]):
                worth -= PER_EARLY_MINUTE * minutes
        for place, count in freed.items():
            reward = self.problem.rewards[place]
            if count == len(reward.needs) and (reward.candidate is None or draft.at[reward.candidate] is None):
                worth += reward.worth
        return asked, worth

    # -- one run ---------------------------------------------------------------------------------

    def run(self, mood: Mood) -> Draft:
        """Return a draft filled by one order of preference: other work first, fillers into what is left."""
        draft = Draft(self.rules)
        usable = self.problem.usable
        limit = usable
        while True:
            appointment = self._appointment(draft, mood)
            limit = min(usable, appointment) if appointment is not None else usable
            if self._step(draft, mood, limit):
                continue
            if limit < usable and self._step(draft, mood, usable):
                continue
            return draft

    def _appointment(self, draft: Draft, mood: Mood) -> int | None:
        """Return the minute at which the helper comes, if two-person work is ready for it."""
        if not mood.keep_free:
            return None
        comes = next((begin for begin, end in self.problem.helper if begin > draft.builder), None)
        if comes is None:
            return None
        return comes if self.pairs & draft.free else None

    def _step(self, draft: Draft, mood: Mood, limit: int) -> bool:
        """Put down the next line or block that brings most for its time; False when nothing fits."""
        if self.problem.helper and mood.helper_alone and self._helper_step(draft, mood):
            return True
        offers = self._offers(draft, mood, limit)
        offers.sort(reverse=True)
        for score, job, index in offers:
            if score <= 0 and mood.thrifty:
                return False
            if job >= 0:
                if self._block(draft, self.jobs[job], limit):
                    return True
            elif self._single(draft, index, limit):
                return True
        return False

    def _offers(self, draft: Draft, mood: Mood, limit: int) -> list[tuple[float, int, int]]:
        """Return (worth per minute of the builder's time, job or -1, candidate) of all that may come next."""
        offers = []
        candidates, at = self.problem.candidates, draft.at
        builder, work, tools_out = draft.builder, draft.work, draft.timed is not None
        full, keys, facts, must_begin = self.rules.full, mood.keys, self.facts, self.must_begin
        room = limit - builder
        helper_wait = self._helper_wait(draft) if self.pairs else 0
        for index in draft.free & (self.singles if mood.all else self.promising):
            kind, timed, set_up, whole, two, release = facts[index]
            if not timed or (tools_out and kind == work):
                set_up = 0
            minutes = full[index]
            if minutes + set_up > room:
                if not whole:
                    minutes = max(1, room - set_up)
                elif minutes > room:
                    continue
            wait = (release if release >= 0 else draft.earliest(candidates[index])) - builder
            if two and helper_wait > wait:
                wait = helper_wait
            spent = minutes + set_up + (wait if wait > 0 else 0)
            score = (keys[index] * minutes - PER_SET_UP_MINUTE * set_up) / spent
            if must_begin and mood.by_deadline and index in must_begin:
                score = DEADLINE - must_begin[index]
            offers.append((score, -1, index))
        for place, job in enumerate(self.jobs):
            if at[job.members[0]] is None and all(self._finished(draft, index) for index in job.before):
                minutes = sum(full[index] for index in job.members)
                set_up = sum(facts[index][2] for index in job.members if facts[index][1])
                worth = sum(keys[index] * full[index] for index in job.members) - PER_SET_UP_MINUTE * set_up
                wait = max(0, draft.earliest(candidates[job.members[0]]) - builder)
                score = worth / (minutes + set_up + wait)
                if mood.by_deadline:
                    score = max((DEADLINE - at for at in self._latest_begins(job)), default=score)
                offers.append((score, place, -1))
        return offers

    def _shares(self) -> dict[int, int]:
        """Return the most to do of each splittable task under way so that all of them can be gone on with."""
        begun = [c for c in self.problem.candidates if c.begun]
        least = {c.index: c.set_up + c.minutes(c.least) + c.clean_up for c in begun}
        room = self.problem.usable - sum(least.values())
        return {
            c.index: max(c.least, min(c.open, c.least + int(max(0, room) / self.rules.unit[c.index])))
            for c in begun
            if c.splits and len(begun) > 1
        }

    def _must_begin(self, index: int) -> float:
        """Return the latest begin at which a candidate still meets the windows opened earlier."""
        c = self.problem.candidates[index]
        spread = sum(c.spread * c.open + w.margin for w in self.rules.ends.get(index, ()) if w.closes is not None)
        return min(self.problem.saves[index]) - self.rules.full[index] - c.set_up - c.clean_up - spread

    def _latest_begins(self, job: Job) -> Iterator[float]:
        before = 0
        for index in job.members:
            if index in self.must_begin:
                yield self.must_begin[index] - before
            before += self.rules.full[index] + self.problem.candidates[index].set_up

    def _helper_wait(self, draft: Draft) -> int:
        now = max(draft.builder, draft.helper)
        for begin, end in self.problem.helper:
            if now < end:
                return max(now, begin) - draft.builder
        return 0

    def _finished(self, draft: Draft, index: int) -> bool:
        entry = draft.at[index]
        return entry is not None and entry.count >= self.problem.candidates[index].open

    def _single(self, draft: Draft, index: int, limit: int) -> bool:
        if draft.put(index, limit, count=self.shares.get(index, 0)):
            return True
        closure = self.closures.get(index)
        return closure is not None and self._block(draft, closure, limit)

    def _block(self, draft: Draft, job: Job, limit: int) -> bool:
        """Put down all members one after another, or none; every window they open has to be met."""
        down = 0
        good = all(self._finished(draft, index) for index in job.before)
        for index in job.members if good else ():
            if draft.missing[index] or draft.at[index] is not None or not draft.put(index, limit, block=True):
                good = False
                break
            down += 1
            entry = draft.at[index]
            if entry is None or entry.count < self.problem.candidates[index].open:
                good = False
                break
        if good and all(draft.met(w) for index in job.members for w in self.rules.opens.get(index, ())):
            return True
        for _ in range(down):
            draft.take_back()
        return False

    def _helper_step(self, draft: Draft, mood: Mood) -> bool:
        """Give the helper, where free no later than the builder, something to do alone."""
        window = next(((b, e) for b, e in self.problem.helper if max(b, draft.helper) < e), None)
        if window is None or max(window[0], draft.helper) > draft.builder:
            return False
        if mood.pair_first and self.pairs & draft.free:
            return False
        offers = sorted(((mood.keys[index], index) for index in self.alone & draft.free), reverse=True)
        return any(draft.put(index, self.problem.usable, helped=True) for _, index in offers)

    # -- blocks ----------------------------------------------------------------------------------

    def _jobs(self) -> list[Job]:
        """Make the blocks: one per one-go group, and one per candidate that opens a window, with its chain."""
        self.closures: dict[int, Job] = {}
        jobs = []
        for members in self.problem.groups.values():
            job = self._closed(members)
            if job is not None:
                jobs.append(job)
        grouped = {index for members in self.problem.groups.values() for index in members}
        for index in self.rules.opens:
            if index not in grouped:
                closed = self._closed((index,))
                if closed is not None:
                    self.closures[index] = closed
        return jobs

    def _closed(self, start: Sequence[int]) -> Job | None:
        """Return the block of these with every chain and group that comes with them; None when it cannot be."""
        members = set(start)
        todo = list(start)
        while todo:
            index = todo.pop()
            more: set[int] = set(self.problem.groups.get(self.problem.candidates[index].group, ()))
            for window in self.rules.opens.get(index, ()):
                if window.last is None:
                    continue
                more.update(link[0] for link in window.chain if link[0] is not None)
            todo.extend(more - members)
            members |= more
        candidates = self.problem.candidates
        before = {b for index in members for b, _ in candidates[index].before} - members
        return Job(tuple(sorted(members)), tuple(sorted(before)))


def _values(problem: Frame, rules: Rules) -> list[float]:
    """Return per candidate its worth per minute when finished, or that of what it opens the way for."""
    value = []
    for c in problem.candidates:
        minutes = rules.full[c.index]
        worth = minutes * (c.per_minute - c.early) + c.finished + c.clock
        worth += WINDOW_SAVED * len(problem.saves.get(c.index, ()))
        for place in rules.rewards[c.index]:
            reward = problem.rewards[place]
            worth += reward.worth // len(reward.needs)
        value.append(float(worth))
    density = [worth / rules.full[index] for index, worth in enumerate(value)]
    for c in reversed(problem.candidates):
        density[c.index] = max(density[c.index], _behind(c, rules, density))
        if c.asked:
            density[c.index] += ASKED + c.begun
    return density


def _behind(c: Candidate, rules: Rules, density: Sequence[float]) -> float:
    """Return the worth per minute that comes within reach when the candidate is finished."""
    return max((BEHIND * density[later] for later in rules.followers[c.index]), default=0.0)
