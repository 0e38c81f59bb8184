"""Forms about holds: lift, waive, stop, sign, correct a cure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitup.desk_holds import told_once
from fitup.model.asks import AskCure, AskLift, AskSign, AskStop, AskWaive
from fitup.model.marks import HOLDS
from fitup.model.plan import Task
from fitup.model.refusal import Refused
from fitup.tui.forms import Answers, Field, Form, read_number, read_past
from fitup.tui.rows import Row, cut, row, say
from fitup.tui.wording.common import hold_words, titled
from fitup.tui.work_forms import YES_NO

if TYPE_CHECKING:
    from fitup.readiness import HoldState
    from fitup.tui.board import Board

WAIVABLE = ("after", "check", "access", "leave-off", "supply", "sign-off", "within")


def liftable(hold: HoldState) -> bool:
    """Return whether a person's word lifts this hold."""
    return hold.kind == "stop" or (hold.kind == "cure" and hold.hold.witness)


def waivable(hold: HoldState) -> bool:
    """Return whether this hold may be set aside at all."""
    return hold.kind in WAIVABLE and not (hold.kind == "sign-off" and hold.hold.by == "inspector")


def _choices(board: Board, holds: Sequence[HoldState]) -> tuple[tuple[str, str], ...]:
    return tuple((str(at), cut(hold_words(board, hold), 56)) for at, hold in enumerate(holds))


def _pick(holds: Sequence[HoldState], answers: Answers, nothing: str) -> HoldState:
    if not holds:
        raise Refused(nothing)
    return holds[int(answers["hold"])]


def _ordered(holds: list[HoldState], first: HoldState | None) -> list[HoldState]:
    return sorted(holds, key=lambda hold: first is None or hold.key != first.key)


def _first_open(holds: Sequence[HoldState]) -> int:
    """Return the field to begin with: where there is only one hold to choose, what is typed is the reason."""
    return 1 if len(holds) == 1 else 0


def lift_form(board: Board, task: Task, first: HoldState | None) -> Form:
    """Ask which hold is lifted by word, and on what ground."""
    holds = _ordered([hold for hold in told_once(board.standing(task.id)) if liftable(hold)], first)
    fields = [Field("hold", "hold", "0", choices=_choices(board, holds))] if holds else []
    fields.append(Field("why", "reason", wide=True))

    def go(answers: Answers) -> AskLift:
        hold = _pick(holds, answers, f"{task.id} has no hold that is lifted by word (a stop, a witness sample)")
        return AskLift(task.id, hold.kind, answers["why"], hold.key[2] if hold.kind == "cure" else None)

    return Form(f"Lift a hold of: {task.title}", fields, go, at=_first_open(holds))


def waive_form(board: Board, task: Task, first: HoldState | None) -> Form:
    """Ask which hold is set aside and why; a check asks for a second person, a closing for a sure word.

    What the task would wait for no more is said beforehand, for the hold that is chosen.
    """
    holds = _ordered([hold for hold in told_once(board.standing(task.id)) if waivable(hold)], first)
    kinds = {hold.kind for hold in holds}
    fields = [Field("hold", "hold", "0", choices=_choices(board, holds))] if holds else []
    fields.append(Field("why", "reason", wide=True))
    if "check" in kinds:
        fields.append(Field("second", "second person" + ("" if kinds == {"check"} else " (for a check)")))
    if "access" in kinds:
        fields.append(Field("sure", "sure to close it in", "no", choices=YES_NO))

    def go(answers: Answers) -> AskWaive:
        hold = _pick(holds, answers, f"{task.id} has no hold that may be waived: hours are corrected, stops lifted")
        second = answers.get("second", "") if hold.kind == "check" else ""
        sure = answers.get("sure") == "yes"
        return AskWaive(task.id, hold.kind, answers["why"], hold.key[2] or None, second, sure)

    def says(answers: Answers) -> list[Row]:
        minds = board.desk.let_go(holds[int(answers["hold"])]) if holds else ()
        return [
            *(row(say(titled(board, mind), "bad")) for mind in minds),
            row(say("A waived hold is shown in every record afterwards.", "warn")),
        ]

    return Form(f"Waive a hold of: {task.title}", fields, go, says=says, at=_first_open(holds))


def stop_form(task: Task) -> Form:
    """Ask why a task, or everything on its drawing, is not to go on."""
    which = [("task", "this task")]
    if task.ref:
        which.append(("ref", f"every task of {task.ref}"))
    fields = [
        Field("why", "not until", "", "I have asked the kit maker about the flange", wide=True),
        Field("which", "stops", "task", choices=tuple(which)),
    ]

    def go(answers: Answers) -> AskStop:
        if answers["which"] == "ref":
            return AskStop(answers["why"], ref=task.ref)
        return AskStop(answers["why"], task=task.id)

    return Form(f"Stop: {task.title}", fields, go)


def sign_form(board: Board, task: Task) -> Form:
    """Ask in which role the task is signed, and when."""
    standing = [hold.hold.by for hold in board.standing(task.id) if hold.kind == "sign-off"]
    roles = standing or [hold.by for hold in task.holds if hold.kind == "sign-off"]
    role = Field("role", "signed as", choices=tuple((name, name) for name in roles)) if roles else Field("role", "as")
    fields = [role, Field("when", "when?", "now")]

    def go(answers: Answers) -> AskSign:
        return AskSign(task.id, answers["role"], read_past(answers["when"], board.now))

    lines = (row(say(f"Signed by {board.desk.by}.", "accent"), say(" Another person signs with --by NAME.", "dim")),)
    return Form(f"Sign: {task.title}", fields, go, lines)


def cure_form(board: Board, task: Task, first: HoldState | None) -> Form:
    """Ask for a cure's right hours, and where they come from."""
    cures = [hold for hold in task.holds if hold.kind == "cure" and hold.until]
    changed = board.project.progress.cures
    chosen = first.hold.until if first is not None and first.kind == "cure" else None
    choices = tuple((str(hold.until), board.title(str(hold.until))) for hold in cures)
    hours = 0.0
    for hold in cures:
        corrected = changed.get((task.id, str(hold.until)))
        if hold.until == (chosen or cures[0].until):
            hours = corrected.hours if corrected else hold.hours
    fields = [Field("until", "cure of", chosen or "", choices=choices)] if cures else []
    fields += [Field("hours", "hours", f"{hours:g}"), Field("why", "reason", wide=True)]

    def go(answers: Answers) -> AskCure:
        right = read_number(answers["hours"], "hours")
        if right is None:
            raise Refused("give the cure's hours, such as 36")
        return AskCure(task.id, answers.get("until", ""), right, answers["why"])

    return Form(f"{HOLDS['cure'].word.capitalize()} hours: {task.title}", fields, go)
