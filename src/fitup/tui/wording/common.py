"""Wording that several pages share: marks of states and holds, counts, a hold as a sentence, a task's detail."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import TYPE_CHECKING

from fitup.desk_holds import told_once
from fitup.model.amounts import clock, counted, day_clock, number, stretch
from fitup.model.marks import HOLDS, STATES, VERDICTS
from fitup.model.plan import Check, Task
from fitup.model.progress import Measurement
from fitup.tui.rows import Row, Run, cut, row, say, wrapped

if TYPE_CHECKING:
    from fitup.readiness import HoldState
    from fitup.tui.board import Board

CHAIN = 60
"""Holds that are told of one task at most, nearest first: nobody reads more, and thousands take time."""

STATE_ROLES = {"ready": "good", "held": "warn", "under way": "accent", "done": "dim"}
_VERDICT_ROLES = {"pass": "good", "fail": "bad", "too close to call": "warn"}


_ID = re.compile(r"(?<![\w.-])[a-z0-9]+(?:[.-][a-z0-9]+)*(?![\w-]|\.\w)")
_NAMING = re.compile(r"Mind: |counted from |cure[sd] (until|since) ")
_BEFORE = ("Mind: ", " for ", " of ", " holds ", " and ", ", ", "; ", ": ")
_TITLE = 60
"""Cells that a title takes at most where it stands for an id in a sentence."""


def titled(board: Board, sentence: str) -> str:
    """Return a sentence with tasks named by title instead of id, for people who never type an id.

    An id that is a plain word may be meant as one: it is taken for an id at the beginning only, before its title, or
    where our own sentences about waivers and clocks name a task.
    """
    parts: list[str] = []
    done = 0
    for found in _ID.finditer(sentence):
        task = board.task(found.group())
        if task is None or found.start() < done:
            continue
        told = f" ({task.title})"
        before_title = sentence.startswith(told, found.end())
        lead = sentence[: found.start()]
        begins = not lead.strip() or (_NAMING.match(sentence) and lead.endswith(_BEFORE))
        if before_title or begins or "." in task.id or "-" in task.id:
            parts += [sentence[done : found.start()], task.title if before_title else cut(task.title, _TITLE)]
            done = found.end() + (len(told) if before_title else 0)
    return "".join([*parts, sentence[done:]])


def state_glyph(state: str, ascii_only: bool) -> Run:
    """Return the mark of a task's state."""
    return say(STATES[state].shown(ascii_only), STATE_ROLES[state])


def state_words(board: Board, task_id: str) -> Run:
    """Return mark and word of a task's state, with its flags."""
    state = board.readiness().states[task_id]
    progress = board.project.progress.of(task_id)
    words = f"{STATES[state].shown(board.ascii_only)} {STATES[state].word}"
    if progress.reopened:
        words += ", reopened"
    if progress.look_again:
        words += ", look again"
    if progress.before_holds:
        words += ", done before its hold"
    return say(words, STATE_ROLES[state])


def hold_glyph(kind: str, ascii_only: bool) -> Run:
    """Return the mark of a kind of hold."""
    return say(HOLDS[kind].shown(ascii_only), "warn")


def progress_words(board: Board, task: Task) -> str:
    """Return how far a task is: "47 of 118", "118", "done"."""
    done = board.project.progress.of(task.id).done
    if done >= task.count:
        return f"{task.count} done"
    return f"{done} of {task.count}" if done else f"{task.count}"


def expected_words(expected: date | datetime | None, now: datetime) -> str:
    """Return when something is expected, in clock time where it is a matter of hours."""
    if expected is None:
        return ""
    if isinstance(expected, datetime):
        return day_clock(expected, now)
    days = (expected - now.astimezone().date()).days
    if days < 0:
        return f"was due {expected.day} {expected:%b}"
    return "today" if days == 0 else f"{expected.day} {expected:%b}"


def hold_words(board: Board, hold: HoldState) -> str:
    """Return a hold as a sentence: what it is, what lifts it, why, since when."""
    word = HOLDS[hold.kind].word
    text = f"{word} {hold.lifts.removesuffix(' is done')}" if hold.kind == "after" else f"{word}: {hold.lifts}"
    expected = expected_words(hold.expected, board.now)
    if expected and expected not in hold.lifts:
        text += f" ({expected})"
    if hold.why:
        text += f" - on purpose, because {hold.why}" if hold.kind == "leave-off" else f" - {hold.why}"
    if hold.since is not None:
        text += f" - since {day_clock(hold.since, board.now)}"
    return text


def chain_rows(board: Board, task_id: str, width: int) -> list[Row]:
    """Return the standing holds from a task down to what can be acted on, one sentence each."""
    rows: list[Row] = []
    chain = told_once(board.desk.why_held(task_id))
    for hold in chain[:CHAIN]:
        own = hold.task == task_id
        named = "" if own else f"{board.title(hold.task)} - "
        mark = HOLDS[hold.kind].shown(board.ascii_only)
        lead = f" {mark} " if own else f"   {mark} "
        rows += wrapped(named + hold_words(board, hold), width, "warn" if own else "dim", lead, "warn")
    if len(chain) > CHAIN:
        rows.append(row(say(f"   and {len(chain) - CHAIN} more further away", "dim")))
    return rows


def check_words(check: Check) -> str:
    """Return a check's rule in words."""
    unit = f" {check.unit}" if check.unit else ""
    sure = f", reading uncertain by {number(check.uncertainty)}{unit}" if check.uncertainty else ""
    low = "" if check.low is None else number(check.low)
    high = "" if check.high is None else number(check.high)
    between = f"between {low} and {high}{unit}" if low and high else f"at least {low}{unit}" if low else ""
    between = between or (f"at most {high}{unit}" if high else "")
    limit = "" if check.limit is None else f"{number(check.limit)}{unit}"
    if check.kind == "yes-no":
        return check.question or "yes or no"
    if check.kind == "spread":
        return f"the faces differ by at most {limit} at each station{sure}"
    if check.kind == "straight":
        return f"straight within {limit} from peak to valley{sure}"
    if check.kind == "sample":
        return f"{check.n} readings {between}, at most {check.allow} outside{sure}"
    return f"each reading {between}{sure}"


def verdict_words(measurement: Measurement, check: Check | None, ascii_only: bool) -> Run:
    """Return a verdict with its figure and limit."""
    mark = VERDICTS[measurement.verdict]
    unit = f" {check.unit}" if check and check.unit else ""
    text = f"{mark.shown(ascii_only)} {mark.word}"
    if measurement.figure is not None and (check is None or check.kind != "yes-no"):
        text += f": {number(measurement.figure)}{unit}"
        if measurement.limit is not None:
            text += f" against {number(measurement.limit)}{unit}"
    if measurement.decided:
        text += f", decided by {measurement.by}: {measurement.why}"
    return say(text, _VERDICT_ROLES[measurement.verdict])


def cautions(board: Board, task: Task) -> list[str]:
    """Return what can hurt someone at a task, the plan's own words first, the handbooks' with their source."""
    return list(board.desk.cautions(task.id))


def detail_rows(board: Board, task_id: str, width: int, why: str = "") -> list[Row]:
    """Return all about one task: where it is said, how far it is, what holds it, cautions, notes."""
    task = board.task(task_id)
    if task is None:
        return []
    rows = wrapped(task.title, width, "title")
    rows += _facts(board, task, width)
    if why:
        rows += wrapped(why, width, "", "On the sheet: ")
    rows += [line for text in cautions(board, task) for line in wrapped(text, width, "warn", "Caution: ", "strong")]
    held = board.readiness().states[task.id] == "held"
    if held:
        rows.append(row(say("Held by", "section")))
        rows += chain_rows(board, task.id, width)
    for hold in board.readiness().holds[task.id]:
        if hold.state == "waived":
            rows += wrapped(f"waived: {HOLDS[hold.kind].word}, {hold.why}", width, "warn", " ! ", "warn")
    rows += _happened(board, task, width)
    waiters = board.desk.waiters(task.id)
    if waiters:
        names = "; ".join(board.title(waiter) for waiter in waiters[:6])
        more = f"; {len(waiters) - 6} more" if len(waiters) > 6 else ""
        rows += wrapped(names + more, width, "dim", "Waiting for it: ")
    return rows


def _facts(board: Board, task: Task, width: int) -> list[Row]:
    plan = board.project.plan
    work = plan.work_of(task)
    chain = board.desk.chain()
    minutes = board.desk.remaining().get(task.id, 0)
    facts = [state_words(board, task.id).text, progress_words(board, task)]
    if minutes:
        facts.append(f"about {stretch(minutes)} left")
    slack = chain.float_hours.get(task.id)
    if task.id in chain.critical:
        facts.append("on the critical chain")
    elif slack is not None:
        facts.append(f"{stretch(slack * 60)} float")
    rows = wrapped(", ".join(facts), width)
    where = ", ".join(part for part in (task.ref, f"{work.title} {task.size}".strip(), task.id) if part)
    rows += wrapped(where, width, "dim")
    needs = [f"{counted(q, plan.item[i].unit)} {plan.item[i].title}" for i, q in task.needs if i in plan.item]
    fasteners = board.desk.part_number(task.id)
    if fasteners:
        needs.insert(0, f"{board.project.open_count(task.id) or task.count} {fasteners}")
    if needs:
        rows += wrapped(", ".join(needs), width, "", "Takes: ")
    wants = []
    if plan.crew_of(task) > 1:
        wants.append("two people throughout")
    bays = {bay.id: bay.title for bay in plan.bays}
    if task.closes:
        wants.append(f"closes {' and '.join(bays.get(bay, bay) for bay in task.closes)}")
    if task.photo and not board.project.progress.photographed(task.id):
        wants.append("a photo is owed")
    for window in task.within:
        wants.append(f"to be finished within {number(window.hours)} h of {window.start} of {board.title(window.of)}")
    if wants:
        rows += wrapped(", ".join(wants), width, "strong")
    if task.check:
        rows += wrapped(check_words(task.check), width, "", "Check: ")
    if task.note:
        rows += wrapped(task.note, width, "", "Plan: ")
    return rows


def _happened(board: Board, task: Task, width: int) -> list[Row]:
    """Return the latest verdict, notes and times of a task."""
    progress = board.project.progress
    rows: list[Row] = []
    latest = progress.latest(task.id)
    if latest is not None:
        verdict = verdict_words(latest, task.check, board.ascii_only)
        rows += wrapped(f"{verdict.text} ({day_clock(latest.at, board.now)}, {latest.by})", width, verdict.role)
    running = progress.clocks.get(task.id)
    if running:
        rows += wrapped(f"the clock runs since {clock(running[0])}", width, "accent")
    for note in [note for note in progress.notes if note.task == task.id][-3:][::-1]:
        rows += wrapped(f"{note.text} ({note.by}, {day_clock(note.at, board.now)})", width, "", "Note: ")
    mine = progress.of(task.id)
    if mine.ticked_at is not None:
        timed = f", {stretch(mine.minutes)} at the bench" if mine.minutes else ""
        rows += wrapped(f"last worked at {day_clock(mine.ticked_at, board.now)}{timed}", width, "dim")
    return rows
