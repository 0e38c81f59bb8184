"""The one door between the two faces (screens, commands) and everything behind them.

A `Desk` is one open project, one person, one clock. It answers questions and takes asks; it takes
in what another process wrote before it answers or writes. Everything it returns is a frozen value.
Making projects and reading plans is in `desk_files.py`, the other half of the same door.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar, cast

from fitup.model.amounts import clean, local_day
from fitup.model.holds import hold_book
from fitup.model.plan import Assembly, Task
from fitup.model.progress import Note, Project, Readings
from fitup.model.refusal import Refused
from fitup.model.sheet import Question, Sheet, Wishes
from fitup.store.project import ProjectFile

if TYPE_CHECKING:
    from fitup.acts.outcome import Outcome
    from fitup.bench import BenchList
    from fitup.model import asks as a
    from fitup.model.edits import Act, AdoptPlan, Edit, Entry, Redo, Undo
    from fitup.model.finding import Finding
    from fitup.model.pattern import Pattern
    from fitup.ordering import Orders
    from fitup.readiness import Chain, HoldState, Readiness, Root
    from fitup.trade.rivets import Rivet

__all__ = ["Desk", "utc_now"]

T = TypeVar("T")

_AS_USUAL = Wishes()


def utc_now() -> datetime:
    """Return the present instant, to the second."""
    return datetime.now(UTC).replace(microsecond=0)


class Desk:
    """One open project file, worked at by one person."""

    def __init__(self, file: ProjectFile, by: str, clock: Callable[[], datetime] = utc_now) -> None:
        """Wrap an open project file; `by` signs every entry, `clock` tells the time."""
        self._file = file
        self.by = by
        self._clock = clock
        self._kept: dict[str, tuple[Project, object, object]] = {}

    @classmethod
    def open(cls, path: Path, by: str, clock: Callable[[], datetime] = utc_now) -> Desk:
        """Open a project file; raises `Refused` when it is not there or not ours."""
        return cls(ProjectFile.open(path), by, clock)

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()

    @staticmethod
    def warm() -> None:
        """Import what the first write needs, so that it does not wait for it; meant for a thread."""
        import fitup.acts.resolve
        import fitup.store.writing  # noqa: F401

    @property
    def path(self) -> Path:
        """The project file."""
        return self._file.path

    @property
    def project(self) -> Project:
        """The project as last read; `refresh` takes in what others wrote."""
        return self._file.project

    @property
    def last_entry(self) -> int:
        """Number of the latest journal entry taken in."""
        return self._file.last_entry

    def now(self) -> datetime:
        """Return the present instant."""
        return self._clock()

    def refresh(self) -> bool:
        """Take in what another process wrote; return whether there was anything."""
        if not self._file.changed():
            return False
        before = self._file.last_entry
        self._file.reload()
        return self._file.last_entry != before

    # -- asks --------------------------------------------------------------------------------

    def do(self, ask: a.Ask) -> Outcome:
        """Carry out one ask and write it down; raises `Refused` with nothing changed.

        The edit is made inside the write lock from the newest project, so what another terminal
        wrote a moment ago is judged too.
        """
        from fitup.model import asks as a
        from fitup.model.edits import Redo, Undo

        if isinstance(ask, a.AskUndo):
            return self._step_back(Undo())
        if isinstance(ask, a.AskRedo):
            return self._step_back(Redo())
        task = getattr(ask, "task", None)
        return self._write(lambda project: self._resolve(project, ask), task if isinstance(task, str) else None)

    def adopt(self, edit: AdoptPlan) -> Outcome:
        """Take an edited plan into the project; all progress is kept."""
        return self._write(lambda project: edit, None)

    def _resolve(self, project: Project, ask: a.Ask) -> Edit:
        from fitup.acts.resolve import resolve
        from fitup.files.photos import photo_digest
        from fitup.model.asks import AskPhoto
        from fitup.model.edits import AddPhoto

        edit = resolve(project, ask, self.by, self.now())
        if isinstance(edit, AddPhoto) and isinstance(ask, AskPhoto) and ask.must_exist:
            return replace(edit, sha256=photo_digest(Path(ask.file)))
        return edit

    def _write(self, make: Callable[[Project], Edit], task: str | None) -> Outcome:
        from fitup.acts.telling import tell
        from fitup.model.apply import apply

        now = self.now()
        before = self.project

        def turn(project: Project) -> tuple[Act, Project]:
            nonlocal before
            before = project
            edit = make(project)
            return edit, apply(project, edit, self.by, now)

        entry = self._file.write(turn, self.by, now)
        return self._outcome(entry, tell(self.project, entry.act), before, task, entry.act)

    def _step_back(self, act: Undo | Redo) -> Outcome:
        from fitup.acts.telling import tell
        from fitup.model.edits import Undo

        before = self.project
        target: Entry | None = None

        def turn() -> Act:
            nonlocal target, before
            before = self.project
            target = self._file.undo_target() if isinstance(act, Undo) else self._file.redo_target()
            if target is None:
                raise Refused(f"there is nothing to {'undo' if isinstance(act, Undo) else 'redo'}")
            return act

        entry = self._file.step(turn, self.by, self.now())
        assert target is not None
        verb = "taken back" if isinstance(act, Undo) else "made again"
        after = before if isinstance(act, Undo) else self.project
        says = f"{verb}: {tell(after, target.act)} (entry {target.number} by {clean(target.by)})"
        task = getattr(target.act, "task", None)
        made = Undo() if isinstance(act, Undo) else target.act
        return self._outcome(entry, says, before, task if isinstance(task, str) and task else None, made)

    def _outcome(self, entry: Entry, says: str, before: Project, task: str | None, made: Act) -> Outcome:
        """Tell what the entry came to; `made` is the act that holds since, that of a redo made again."""
        from fitup.acts.outcome import make_outcome

        return make_outcome(entry, says, before, self.project, task, made, self.readiness())

    def parse_readings(self, task_id: str, words: Sequence[str]) -> Readings:
        """Read what was typed for a check task; raises `Refused` with how it is written."""
        from fitup.acts.lookup import find_task
        from fitup.acts.readings import parse_readings

        task = find_task(self.project, task_id)
        if task.check is None:
            raise Refused(f"{task.id} has no check to measure for; tick it instead")
        return parse_readings(task.id, task.check, words)

    # -- questions ---------------------------------------------------------------------------

    def readiness(self) -> Readiness:
        """Return every task's state and holds, judged now, to the minute."""
        from fitup.readiness import judge

        minute = self.now().replace(second=0, microsecond=0)
        return self._keep("readiness", minute, lambda: judge(self.project, self.now()))

    def remaining(self) -> Mapping[str, float]:
        """Return likely minutes still to do, by task."""
        from fitup.estimate import remaining_minutes

        return self._keep("remaining", None, lambda: remaining_minutes(self.project))

    def chain(self) -> Chain:
        """Return the critical chain and every task's float."""
        from fitup.readiness import critical_chain

        now = self.readiness().now
        return self._keep("chain", now, lambda: critical_chain(self.project, self.remaining(), now))

    def roots(self) -> tuple[Root, ...]:
        """Return what can be acted on to free held work, most minutes first."""
        from fitup.readiness import roots

        readiness = self.readiness()
        return self._keep("roots", readiness.now, lambda: roots(self.project, readiness, self.remaining()))

    def why_held(self, task_id: str) -> tuple[HoldState, ...]:
        """Return the standing holds from a task down to what can be acted on; unknown ids are refused."""
        from fitup.acts.lookup import find_task
        from fitup.readiness import chain

        return chain(self.readiness(), find_task(self.project, task_id).id)

    def let_go(self, hold: HoldState) -> tuple[str, ...]:
        """Say what would hold the task no more, or does so already, when this hold of it is waived."""
        from fitup.readiness import let_go, mind

        readiness = self.readiness()
        return mind(let_go(readiness, hold), readiness.now)

    def find_task(self, task_id: str) -> Task:
        """Return the task of that id; raises `Refused` with the nearest known id."""
        from fitup.acts.lookup import find_task

        return find_task(self.project, task_id)

    def find_assembly(self, assembly_id: str) -> Assembly:
        """Return the assembly of that id; raises `Refused` with the known ones."""
        for assembly in self.project.plan.assemblies:
            if assembly.id == assembly_id:
                return assembly
        known = ", ".join(assembly.id for assembly in self.project.plan.assemblies)
        raise Refused(f"there is no assembly {clean(assembly_id)!r} in this project; it has {known}")

    def waiters(self, task_id: str) -> tuple[str, ...]:
        """Return the tasks that wait for this one."""
        return hold_book(self.project.plan).waiters[task_id]

    def part_number(self, task_id: str) -> str:
        """Return the part number of a task's fasteners, "" for none."""
        from fitup.bench import part_number_of

        return part_number_of(self.project.plan, self.project.plan.task[task_id])

    def cautions(self, task_id: str) -> tuple[str, ...]:
        """Return what can hurt someone at a task, with the handbook it comes from where there is one."""
        from fitup.bench import cautions_of

        return cautions_of(self.project.plan, self.project.plan.task[task_id])

    def rivet(self, task_id: str) -> Rivet | None:
        """Return the rivet of a task's fasteners with its protrusion, warnings and source; None for none."""
        from fitup.trade.fasteners import rivet_of

        return rivet_of(self.project.plan, self.project.plan.task[task_id])

    def orders(self, weeks: float) -> Orders:
        """Return what to order within so many weeks so that nothing stalls, and what goes out of date unused."""
        from fitup.ordering import orders

        minute = self.now().replace(second=0, microsecond=0)
        return self._keep("orders", (minute, weeks), lambda: orders(self.project, minute, self.remaining(), weeks))

    def switched_off(self) -> tuple[tuple[str, str], ...]:
        """Return the review rules that this project's plan switches off, each with its reason."""
        from fitup.review import switched_off

        return switched_off(self.project.plan)

    def roots_of(self, task_id: str) -> tuple[str, ...]:
        """Return the ids of the roots of one held task."""
        from fitup.readiness import roots_of

        return roots_of(self.project, self.readiness(), task_id)

    def pattern(self) -> Pattern:
        """Return the usual weekly sessions; an empty pattern where the plan has none."""
        from fitup.model.pattern import parse_pattern

        return parse_pattern(self.project.plan.sessions)

    def question(self, wishes: Wishes = _AS_USUAL) -> Question:
        """Return the planner's question for a session; what is not wished is filled in as usual.

        Raises `Refused` for what cannot be.
        """
        from fitup.acts.asking import make_question

        return make_question(self.project, self.now(), wishes)

    def session(self, question: Question, project: Project | None = None) -> Sheet:
        """Return a run sheet for the question; `project` is the one to plan for where that may not be the newest."""
        from fitup.session import plan_session

        return plan_session(project or self.project, question)

    def bench(self, sheet: Sheet, project: Project | None = None) -> BenchList:
        """Return what must lie on the bench for a run sheet of the newest project, or of another."""
        from fitup.bench import bench_list

        return bench_list(project or self.project, sheet)

    def review(self) -> tuple[Finding, ...]:
        """Return what the plan review finds in this project's plan, and what its waivers have let go."""
        from fitup.review import review, waived

        readiness = self.readiness()
        found = self._keep("review", None, lambda: review(self.project.plan))
        return self._keep("findings", readiness.now, lambda: (*found, *waived(self.project, readiness)))

    def next_notes(self) -> tuple[Note, ...]:
        """Return the notes left for the next session: those made since the last work before today."""
        today = local_day(self.now())
        marked = [note for note in self.project.progress.notes if note.next_time]
        if not marked:
            return ()
        latest = max(local_day(note.at) for note in marked)
        return tuple(note for note in marked if local_day(note.at) == latest and latest >= today - timedelta(days=14))

    def journal(self) -> Sequence[Entry]:
        """Return all journal entries, oldest first."""
        return self._file.journal()

    def told_journal(self) -> Iterator[tuple[Entry, Act, str]]:
        """Yield every entry, the edit that it is about, and one sentence on it, oldest first.

        An undo or redo is about the edit that it took back or made again.
        """
        from fitup.acts.telling import tell
        from fitup.model.edits import Redo, Undo

        past: list[Entry] = []
        future: list[Entry] = []
        for entry in self._file.journal():
            about, verb = entry, ""
            if isinstance(entry.act, Undo):
                about, verb = past.pop(), "taken back: "
                future.append(about)
            elif isinstance(entry.act, Redo):
                about, verb = future.pop(), "made again: "
                past.append(about)
            else:
                past.append(entry)
                future.clear()
            yield entry, about.act, verb + tell(self.project, about.act)

    def check_file(self) -> Sequence[str]:
        """Return everything wrong with the file, one sentence each; empty when it is sound."""
        return self._file.check()

    def backup(self, to: Path | None = None) -> Path:
        """Write a dated copy of the project file and return its path."""
        return self._file.backup(to, self.now())

    def _keep(self, name: str, turn: object, make: Callable[[], T]) -> T:
        """Return `make()`, kept until the project or `turn` changes."""
        kept = self._kept.get(name)
        if kept is not None and kept[0] is self.project and kept[1] == turn:
            return cast(T, kept[2])
        made = make()
        self._kept[name] = (self.project, turn, made)
        return made
