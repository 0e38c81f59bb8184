"""Commands that answer about one open project: tasks, show, holds, log."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from fitup.cli.answer import Answer, table
from fitup.desk import Desk
from fitup.desk_holds import told_once
from fitup.model.amounts import counted, day_clock, local_iso, number, stretch
from fitup.model.marks import HOLDS, STATES
from fitup.model.plan import Task

if TYPE_CHECKING:
    from fitup.readiness import HoldState


def tasks(desk: Desk, args: Namespace) -> Answer:
    """List all tasks, or those of one state or assembly."""
    plan, progress = desk.project.plan, desk.project.progress
    states, remaining, chain = desk.readiness().states, desk.remaining(), desk.chain()
    if args.assembly is not None:
        desk.find_assembly(args.assembly)
    rows = []
    for task in plan.tasks:
        state = progress.of(task.id)
        wanted = args.state in (None, states[task.id]) or (args.state == "reopened" and state.reopened)
        if not wanted or args.assembly not in (None, task.assembly):
            continue
        rows.append(
            {
                "id": task.id,
                "title": task.title,
                "assembly": task.assembly,
                "work": task.work,
                "state": states[task.id],
                "reopened": state.reopened,
                "before_its_hold": list(state.before_holds),
                "look_again": state.look_again,
                "count": task.count,
                "done": state.done,
                "remaining_minutes": round(remaining[task.id], 2),
                "critical": task.id in chain.critical,
                "float_hours": chain.float_hours[task.id],
            }
        )
    lines = table([_task_row(desk, str(row["id"])) for row in rows])
    return Answer({"tasks": rows}, [*lines, f"{len(rows)} of {counted(len(plan.tasks), 'task')}"])


def _task_row(desk: Desk, task_id: str) -> list[str]:
    task = desk.project.plan.task[task_id]
    state = desk.project.progress.of(task_id)
    word = desk.readiness().states[task_id]
    flags = [flag for flag, is_so in (("critical", task_id in desk.chain().critical), *_flags(desk, task)) if is_so]
    done = f"{state.done}/{task.count}" if task.count > 1 else ""
    left = stretch(desk.remaining()[task_id]) if word != "done" else ""
    return [f"{STATES[word].ascii} {word}", task_id, done, left, "; ".join([task.title, *flags])]


def _flags(desk: Desk, task: Task) -> tuple[tuple[str, bool], ...]:
    state = desk.project.progress.of(task.id)
    return (
        ("reopened", state.reopened),
        ("look again", state.look_again),
        ("done before its hold", bool(state.before_holds)),
    )


def show(desk: Desk, args: Namespace) -> Answer:
    """Tell all about one task."""
    task = desk.find_task(args.task)
    return Answer(_task_data(desk, task), _task_lines(desk, task))


def _task_data(desk: Desk, task: Task) -> dict[str, object]:
    progress, chain = desk.project.progress, desk.chain()
    state = progress.of(task.id)
    latest = progress.latest(task.id)
    return {
        "id": task.id,
        "title": task.title,
        "assembly": task.assembly,
        "work": task.work,
        "ref": task.ref,
        "state": desk.readiness().states[task.id],
        "reopened": state.reopened,
        "before_its_hold": list(state.before_holds),
        "look_again": state.look_again,
        "count": task.count,
        "done": state.done,
        "minutes": state.minutes,
        "remaining_minutes": round(desk.remaining()[task.id], 2),
        "critical": task.id in chain.critical,
        "float_hours": chain.float_hours[task.id],
        "holds": [hold_data(desk, hold) for hold in desk.readiness().holds[task.id]],
        "roots": list(desk.roots_of(task.id)),
        "waited_for_by": list(desk.waiters(task.id)),
        "verdict": latest.verdict if latest else None,
        "figure": latest.figure if latest else None,
        "cautions": list(desk.cautions(task.id)),
        "rivet": _rivet(desk, task),
        "notes": [
            {"at": note.at, "by": note.by, "text": note.text, "next": note.next_time}
            for note in progress.notes
            if note.task == task.id
        ],
        "photos": [
            {"at": photo.at, "by": photo.by, "file": photo.file, "sha256": photo.sha256}
            for photo in progress.photos
            if photo.task == task.id
        ],
    }


def _task_lines(desk: Desk, task: Task) -> list[str]:
    progress, now = desk.project.progress, desk.now()
    word = desk.readiness().states[task.id]
    float_hours = desk.chain().float_hours[task.id]
    latest = progress.latest(task.id)
    work = desk.project.plan.work_of(task)
    lines = [
        f"{task.title}  [{task.id}]",
        f"{word}, {progress.of(task.id).done} of {task.count} done: {work.title}",
        *(f"{label}: {text}" for label, text in _facts(desk, task) if text),
    ]
    if word != "done":
        slack = "" if float_hours is None else f", {number(round(float_hours, 1))} h of float"
        lines.append(f"left: {stretch(desk.remaining()[task.id])}{slack}")
    lines += [line for hold in told_once(desk.readiness().holds[task.id]) for line in hold_lines(desk, hold)]
    if latest:
        lines.append(f"measured {day_clock(latest.at, now)} by {latest.by}: {latest.verdict}")
    lines += [
        f"note {day_clock(note.at, now)} by {note.by}: {note.text}" for note in progress.notes if note.task == task.id
    ]
    lines += [f"photo {day_clock(photo.at, now)}: {photo.file}" for photo in progress.photos if photo.task == task.id]
    lines += [f"waited for by {waiter}" for waiter in desk.waiters(task.id)]
    lines += [f"CAUTION: {caution}" for caution in desk.cautions(task.id)]
    return lines


def _rivet(desk: Desk, task: Task) -> dict[str, object] | None:
    rivet = desk.rivet(task.id)
    if rivet is None:
        return None
    return {
        "part_number": rivet.part_number,
        "protrusion_d": None if rivet.protrusion_d is None else round(rivet.protrusion_d, 3),
        "warnings": list(rivet.warnings),
        "source": rivet.source,
    }


def _fasteners(desk: Desk, task: Task) -> str:
    rivet = desk.rivet(task.id)
    if rivet is None:
        return ""
    stands_out = "" if rivet.protrusion_d is None else f", tail {rivet.protrusion_d:.2f} D before driving"
    source = f" ({rivet.source})" if rivet.source else ""
    return " ".join([f"{rivet.part_number}{stands_out}{source}", *(f"! {warning}" for warning in rivet.warnings)])


def _facts(desk: Desk, task: Task) -> Iterator[tuple[str, str]]:
    plan, state = desk.project.plan, desk.project.progress.of(task.id)
    yield "see", task.ref
    yield "flags", ", ".join(flag for flag, is_so in _flags(desk, task) if is_so)
    yield "crew", "two people" if plan.crew_of(task) == 2 else ""
    yield "tools", ", ".join(plan.tools_of(task))
    yield "needs", ", ".join(f"{counted(q, plan.item[i].unit)} {plan.item[i].title}" for i, q in task.needs)
    yield "fasteners", _fasteners(desk, task)
    yield "clecos", ", ".join(f"{loan.count} of {loan.size} until {loan.until}" for loan in task.clecos)
    yield "window", ", ".join(f"within {number(w.hours)} h of the {w.start} of {w.of}" for w in task.within)
    yield "one go", task.one_go
    yield "inside", ", ".join(task.inside)
    yield "closes", ", ".join(task.closes)
    yield "photo", "owed" if task.photo and not desk.project.progress.photographed(task.id) else ""
    yield "logged", stretch(state.minutes) if state.minutes else ""
    yield "note", task.note


def hold_data(desk: Desk, hold: HoldState) -> dict[str, object]:
    """Return a judged hold with the keys of `holds --json`."""
    return {
        "task": hold.task,
        "kind": hold.kind,
        "until": hold.hold.until,
        "state": hold.state,
        "why": hold.why,
        "lifts": hold.lifts,
        "expected": hold.expected,
        "since": hold.since,
        "warnings": list(desk.let_go(hold)) if hold.state == "waived" else [],
    }


def hold_lines(desk: Desk, hold: HoldState) -> list[str]:
    """Return a judged hold as a line, and under a waived one what it has let go, and who waived it and why."""
    if hold.state != "waived":
        return [hold_line(hold)]
    waiver = desk.project.progress.waivers.get(hold.key)
    lines = [hold_line(hold)]
    if waiver is not None:
        second = f", seen by {waiver.second}" if waiver.second else ""
        lines.append(f"      waived {day_clock(waiver.at, desk.now())} by {waiver.by}{second}: {waiver.why}")
    return [*lines, *(f"      {says}" for says in desk.let_go(hold))]


def hold_line(hold: HoldState) -> str:
    """Return a judged hold as one line."""
    mark = HOLDS[hold.kind]
    why = f", {hold.why}" if hold.why else ""
    lifts = f"; {hold.lifting}" if hold.state == "standing" and hold.lifts else ""
    until = f" {hold.hold.until}" if hold.hold.until else ""
    word = "supply" if hold.kind == "supply" and hold.state == "lifted" else mark.word
    return f"  {mark.ascii} {word}{until}: {hold.state}{why}{lifts}"


def holds(desk: Desk, args: Namespace) -> Answer:
    """List standing holds and what would free most; for one task, the chain down to its roots."""
    readiness = desk.readiness()
    if args.task is not None:
        task = desk.find_task(args.task)
        found = readiness.holds[task.id] if args.all else desk.why_held(task.id)
        of_task = set(desk.roots_of(task.id))
        roots = [root for root in desk.roots() if root.id in of_task]
        known = {root.id for root in roots}
        extra = [root for root in desk.roots_of(task.id) if root not in known]
    else:
        judged = [hold for held in readiness.holds.values() for hold in held]
        open_tasks = {task for task, state in readiness.states.items() if state != "done"}
        found = tuple(h for h in judged if args.all or (h.state == "standing" and h.task in open_tasks))
        roots, extra = list(desk.roots()), []
    root_data = [{"id": root.id, "frees_minutes": round(root.frees_minutes, 2)} for root in roots]
    root_data += [{"id": root, "frees_minutes": 0.0} for root in extra]
    lines = ["Act on these to free held work:"] if roots else []
    lines += [f"  {root.id}: frees {stretch(root.frees_minutes)}" for root in roots if root.frees_minutes or args.task]
    lines += [""] if roots else []
    last = ""
    for hold in told_once(found):
        if hold.task != last:
            lines.append(f"{hold.task}  {desk.project.plan.task[hold.task].title}")
            last = hold.task
        lines += hold_lines(desk, hold)
    return Answer({"holds": [hold_data(desk, hold) for hold in found], "roots": root_data}, lines or ["nothing stands"])


def log(desk: Desk, args: Namespace) -> Answer:
    """List the journal's entries, oldest first, all or those of one assembly."""
    plan = desk.project.plan
    if args.assembly is not None:
        desk.find_assembly(args.assembly)
    rows: list[dict[str, object]] = []
    lines: list[list[str]] = []
    for entry, act, says in desk.told_journal():
        named = getattr(act, "tasks", None) or (getattr(act, "task", ""),)
        there = {plan.task[task].assembly for task in named if task in plan.task}
        if args.assembly is not None and args.assembly not in there:
            continue
        rows.append({"entry": entry.number, "at": entry.at, "by": entry.by, "act": entry.name, "says": says})
        lines.append([str(entry.number), local_iso(entry.at), entry.by, says])
    return Answer({"entries": rows}, table(lines) or ["no entries"])
