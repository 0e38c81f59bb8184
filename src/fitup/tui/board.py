"""What is looked at and wished for: the desk, the session being planned, and its run sheet.

The pages read from here and the commands write here. A board knows nothing of the terminal.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from fitup.desk import Desk
from fitup.model.plan import Task
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.model.sheet import Question, Sheet, Wishes

if TYPE_CHECKING:
    from fitup.bench import BenchList
    from fitup.desk_proof import Proof, Proofs
    from fitup.drawing import Graph
    from fitup.readiness import HoldState, Readiness

SHORTEST = 15
"""Minutes left of a session below which a new one is planned. Common practice, no source."""


LOOK_IN = 0.1
"""Seconds between two looks at a proof that runs."""

AT_WORK = timedelta(minutes=5)
"""How long after the begin of the first line it counts as begun. Common practice, no source."""

AHEAD = timedelta(hours=2)
"""How long before a usual session its run sheet is planned instead of one from now. Common practice, no source."""


@dataclass(eq=False, repr=False, slots=True)
class Filter:
    """Which tasks are listed: by words in id, title or assembly, state, assembly, kind of work."""

    words: str = ""
    state: str = ""
    assembly: str = ""
    work: str = ""

    @property
    def set(self) -> bool:
        """Whether anything is left out."""
        return bool(self.words or self.state or self.assembly or self.work)


@dataclass(frozen=True, slots=True)
class Planned:
    """What came of planning: the run sheet, its bench list and the proof that runs, or why there is none."""

    sheet: Sheet | None = None
    bench: BenchList | None = None
    proof: Proof | None = None
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """What a proof has found: the sheet in view before, and what is to be in view now with its bench list."""

    proof: Proof
    before: Sheet
    sheet: Sheet
    bench: BenchList | None


@dataclass(eq=False, repr=False)
class Board:
    """An open desk and what its screens are about.

    `begin` and `end` are those of the session as wished; what is left of it is planned anew after
    each act, so that its end stays where it is. `trouble` says why there is no run sheet. With
    `proofs` every sheet is proven behind the screens; `proof` is the one that runs or has run.

    With `later` a session is not planned at once: `asked` is then the question to be planned, and `later` has
    somebody call `plan` and `take`. The sheet before it stays in view until then.
    """

    desk: Desk
    ascii_only: bool = False
    begin: datetime | None = None
    end: datetime | None = None
    wishes: Wishes = Wishes()  # noqa: RUF009
    sheet: Sheet | None = None
    bench: BenchList | None = None
    trouble: str = ""
    filter: Filter = field(default_factory=Filter)
    assembly: str = ""
    freed: frozenset[str] = frozenset()
    proofs: Proofs | None = None
    proof: Proof | None = None
    asked: Question | None = None
    later: Callable[[], None] | None = None
    _judged: Readiness | None = None
    _graphs: dict[str, tuple[Readiness, Graph]] = field(default_factory=dict)

    @property
    def now(self) -> datetime:
        """The present instant."""
        return self.desk.now()

    @property
    def project(self) -> Project:
        """The project as last read."""
        return self.desk.project

    @property
    def question(self) -> Question | None:
        """The question that the run sheet answers."""
        return self.sheet.question if self.sheet else None

    def readiness(self) -> Readiness:
        """Return the states of all tasks, judged at the last change or turn of the minute that mattered."""
        if self._judged is None:
            self._judged = self.desk.readiness()
        return self._judged

    def graph(self, page: str) -> Graph:
        """Return what a view of the Graph page draws: all tasks, the assemblies, or the opened one's tasks."""
        judged = self.readiness()
        name = f"{page} {self.assembly}" if page == "Inside" else page
        kept = self._graphs.get(name)
        if kept is not None and kept[0] is judged:
            return kept[1]
        from fitup import desk_graphs

        if page == "Whole":
            made = desk_graphs.assembly_graph(self.desk, self.ascii_only, judged)
        elif page == "Inside":
            made = desk_graphs.inside_graph(self.desk, self.assembly, self.ascii_only, judged)
        else:
            made = desk_graphs.task_graph(self.desk, self.ascii_only, judged)
        self._graphs[name] = (judged, made)
        return made

    def standing(self, task_id: str) -> tuple[HoldState, ...]:
        """Return the standing holds of one task."""
        return self.readiness().standing(task_id)

    def task(self, task_id: str) -> Task | None:
        """Return a task of the plan, or None."""
        return self.project.plan.task.get(task_id)

    def title(self, task_id: str) -> str:
        """Return a task's title, or the id of one that is no longer in the plan."""
        task = self.task(task_id)
        return task.title if task else task_id

    # -- planning ----------------------------------------------------------------------------

    def replan(self) -> None:
        """Have what is left of the session planned anew. A session that cannot be is told in `trouble`."""
        self._judged = None
        self.asked = None
        try:
            question = self.desk.question(self._current_wishes())
        except Refused as refused:
            self._show(Planned(trouble=str(refused)))
            return
        if self.begin is None:
            self.begin = question.start
            self.end = question.instant(question.minutes)
        if self.sheet is not None and any(self.task(line.task) is None for line in self.sheet.lines):
            self.sheet = self.bench = None
        self.asked, self.trouble = question, ""
        if self.later is None:
            self.take(question, self.plan(question, self.project))
        else:
            self.later()

    def plan(self, question: Question, project: Project) -> Planned:
        """Return the run sheet for a question; changes nothing here, so that it may run in a thread."""
        try:
            former = self.sheet.lines if self.sheet is not None else ()
            proof = self.proofs.start(self.desk, question, project, former) if self.proofs is not None else None
            sheet = proof.sheet if proof is not None else self.desk.session(question, project)
            return Planned(sheet, self.desk.bench(sheet, project), proof)
        except Refused as refused:
            return Planned(trouble=str(refused))

    def take(self, question: Question, planned: Planned) -> bool:
        """Put what was planned in view, unless something else was asked for since; return whether it is in view."""
        if question is not self.asked:
            return False
        self.asked = None
        self._show(planned)
        return True

    def _show(self, planned: Planned) -> None:
        self.sheet, self.bench, self.proof = planned.sheet, planned.bench, planned.proof
        self.trouble = planned.trouble

    @property
    def waiting(self) -> bool:
        """Whether there is no run sheet because none has been planned yet."""
        return self.sheet is None and not self.trouble

    @property
    def proving(self) -> bool:
        """Whether a better sheet, or the proof of this one, may still come."""
        return self.proof is not None and self.proof.running

    def find(self) -> Found | None:
        """Return what the proof has found since, without waiting; changes nothing here, so that it may run in a thread.

        Judging a better sheet and giving its reasons takes up to half a second on a plan of two thousand tasks.
        """
        proof, sheet, bench, project = self.proof, self.sheet, self.bench, self.project
        if self.asked is not None or proof is None or sheet is None:
            return None
        proof.poll()
        better = proof.sheet
        if better is sheet:
            return None
        if better.lines != sheet.lines:
            bench = self.desk.bench(better, project)
        return Found(proof, sheet, better, bench)

    def take_found(self, found: Found) -> bool:
        """Put a better sheet in view, unless something else was asked for since; return whether it is in view."""
        if self.asked is not None or self.proof is not found.proof or self.sheet is not found.before:
            return False
        self.sheet, self.bench = found.sheet, found.bench
        return True

    def _current_wishes(self) -> Wishes:
        """Return the wishes for what is left of the session, or for a new one when it is over."""
        known = self.project.plan.task
        self.wishes = replace(
            self.wishes,
            first=tuple(task for task in self.wishes.first if task in known),
            without=tuple(task for task in self.wishes.without if task in known),
        )
        if self.begin is None or self.end is None:
            return replace(self.wishes, start=self._usual_start())
        now = _next_five(self.now)
        start = max(self.begin, now)
        minutes = round((self.end - start).total_seconds() / 60)
        if start > self.begin and minutes < SHORTEST:
            self.begin = self.end = None
            self.wishes = replace(self.wishes, start=None, minutes=None, helper=(), first=(), without=(), celsius=None)
            return self.wishes
        clean_up = min(self.wishes.clean_up, max(0, minutes - 1))
        return replace(self.wishes, start=start, minutes=minutes, clean_up=clean_up, under_way=self._begun())

    def _begun(self) -> tuple[str, ...]:
        """Return what, by the run sheet in view, the builder has been at for some minutes: its first line."""
        if self.sheet is None or not self.sheet.lines:
            return ()
        line = self.sheet.lines[0]
        begun = self.now - self.sheet.question.instant(line.begin) >= AT_WORK
        return (line.task,) if begun and line.who != "helper" else ()

    def _usual_start(self) -> datetime | None:
        """Return the begin of a usual session that is about to begin, or None for now."""
        coming = self.desk.pattern().next_start(self.now)
        return coming if coming is not None and coming - self.now <= AHEAD else None

    def wish(self, wishes: Wishes, begin: datetime | None, minutes: int | None) -> None:
        """Plan with other wishes; `begin` and `minutes` None leave the session's own.

        Raises `Refused`, with everything as it was, for a session that cannot be.
        """
        before = (self.wishes, self.begin, self.end)
        shown, asked = Planned(self.sheet, self.bench, self.proof, self.trouble), self.asked
        start = begin or self.begin
        if start is not None and (minutes is not None or begin is not None):
            length = minutes if minutes is not None else self._length()
            self.begin, self.end = start, start + timedelta(minutes=length)
        self.wishes = wishes
        self.replan()
        if self.trouble:
            trouble = self.trouble
            self.wishes, self.begin, self.end = before
            self._show(shown)
            self.asked = asked
            raise Refused(trouble)

    def _length(self) -> int:
        if self.begin is None or self.end is None:
            return 180
        return round((self.end - self.begin).total_seconds() / 60)

    # -- keeping up --------------------------------------------------------------------------

    def catch_up(self) -> str:
        """Take in what another terminal wrote and what time has changed; return "", "time" or "written"."""
        if self.desk.refresh():
            self.replan()
            return "written"
        before = self._judged
        judged = self.desk.readiness()
        if before is None or judged is before:
            self._judged = judged
            return ""
        if dict(judged.states) == dict(before.states) and _held(judged) == _held(before):
            self._judged = judged
            return ""
        self.replan()
        return "time"

    def changed(self) -> None:
        """Judge anew after an act that the run sheet does not depend on."""
        self._judged = None


def _held(readiness: Readiness) -> list[tuple[tuple[str, str, str], str]]:
    """Return which holds stand, to tell two judgements apart."""
    return [(hold.key, hold.state) for holds in readiness.holds.values() for hold in holds]


def _next_five(now: datetime) -> datetime:
    """Return `now` rounded up to the next five minutes."""
    floor = now.replace(second=0, microsecond=0)
    floor -= timedelta(minutes=floor.minute % 5)
    return floor if floor == now else floor + timedelta(minutes=5)
