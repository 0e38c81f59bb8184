"""Acts on the holds themselves: lift, waive, stop, sign, and a cure's hours.

Which hold may be set aside, by whom and with what, is decided here and nowhere else.
"""

from __future__ import annotations

from datetime import datetime

from fitup.acts.lookup import find_task
from fitup.model import edits as e
from fitup.model.amounts import blank, clean, counted, day_clock
from fitup.model.asks import AskCure, AskLift, AskSign, AskStop, AskWaive
from fitup.model.plan import HOLD_KINDS
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.readiness import HoldState, judge, let_go


def _reason(task_id: str, why: str, act: str) -> str:
    if blank(why):
        raise Refused(f"{task_id}: {act} needs a reason (--why)")
    return why


def _pick(project: Project, task_id: str, kind: str, until: str | None, now: datetime) -> HoldState:
    """Return the one standing hold of a kind on a task that a person means."""
    if kind not in (*HOLD_KINDS, "within"):
        raise Refused(f"there is no hold of kind {clean(kind)!r}; kinds are {', '.join(HOLD_KINDS)}, and within")
    states = judge(project, now).holds[task_id]
    of_kind = [
        s for s in states if s.kind == kind or (s.kind == "within" and kind == "after" and until == s.hold.until)
    ]
    if until is not None:
        of_kind = [s for s in of_kind if until in (s.hold.until, s.key[2])]
    standing = [state for state in of_kind if state.state == "standing"]
    where = f"{kind} hold" + (f" until {clean(until)}" if until else "")
    if not standing:
        now_is = f" (it is {of_kind[0].state})" if of_kind else ""
        raise Refused(f"{task_id} has no standing {where}{now_is}")
    keys = dict.fromkeys(state.key for state in standing)  # a task that closes two bays waits twice by one key
    if len(keys) > 1 and kind != "stop":
        choice = ", ".join(until for _, _, until in keys)
        raise Refused(f"{task_id} has {len(keys)} standing {kind} holds; say which with --until: {choice}")
    return standing[0]


def resolve_lift(project: Project, ask: AskLift, by: str, now: datetime) -> e.Edit:
    """Lift a stop, or a cure whose hours are over and whose witness sample is cured."""
    task = find_task(project, ask.task)
    if ask.kind not in ("stop", "cure"):
        raise Refused(
            f"only a stop or a cure with a witness sample is lifted by word; a hold of kind "
            f"{clean(ask.kind)!r} is lifted by what it waits for, or waived with a reason"
        )
    state = _pick(project, task.id, ask.kind, ask.until, now)
    _reason(task.id, ask.why, "lifting a hold")
    if ask.kind == "cure":
        if not state.hold.witness:
            raise Refused(
                f"{task.id}: this cure is lifted by its hours alone; correct them if they are wrong (fitup cure)"
            )
        if isinstance(state.expected, datetime) and state.expected > now:
            raise Refused(
                f"{task.id}: the hours of this cure run until {day_clock(state.expected, now)}; "
                "the witness sample is judged after that"
            )
        return e.LiftHold(task.id, "cure", state.key[2], ask.why)
    stops = [stop for (stopped, _), stop in project.progress.stops.items() if stopped == task.id]
    if not stops:
        return e.LiftHold(task.id, "stop", "", ask.why)
    own = [stop for stop in stops if stop.by == by]
    if not own:
        raise Refused(f"{task.id} was stopped by {clean(stops[0].by)}, who alone lifts it (--by)")
    return e.LiftStop(task.id, own[0].number, ask.why)


def resolve_waive(project: Project, ask: AskWaive, by: str, now: datetime) -> e.Edit:
    """Set a hold aside; each kind asks for what makes that bearable, two kinds allow it never."""
    task = find_task(project, ask.task)
    state = _pick(project, task.id, ask.kind, ask.until, now)
    kind = state.kind
    if kind == "cure":
        raise Refused(f"{task.id}: a cure is not waived; correct its hours if they are wrong (fitup cure)")
    if kind == "stop":
        raise Refused(f"{task.id}: a stop is lifted by its author (fitup lift {task.id} stop), not waived")
    if kind == "sign-off" and state.hold.by == "inspector":
        raise Refused(f"{task.id}: an inspector's sign-off is not waived")
    _reason(task.id, ask.why, "waiving a hold")
    if kind == "check" and (blank(ask.second) or ask.second.strip() == by):
        raise Refused(f"{task.id}: waiving a check needs a second person's name (--second)")
    if kind == "access" and not ask.sure_to_close:
        raise Refused(f"{task.id}: {state.hold.until} would be shut in; say so if that is meant (--sure-to-close)")
    let = let_go(judge(project, now), state)
    return e.Waive(task.id, kind, state.key[2], ask.why, ask.second, let.names)


def resolve_stop(project: Project, ask: AskStop, by: str, now: datetime) -> e.Edit:
    """Stop one task, or every task that refers to one drawing."""
    if (ask.task is None) == (ask.ref is None):
        raise Refused("stop takes either a task or --ref with a drawing reference")
    if ask.task is not None:
        task = find_task(project, ask.task)
        _reason(task.id, ask.why, "a stop")
        return e.PutStop((task.id,), ask.why)
    ref = (ask.ref or "").strip()
    _reason(ref, ask.why, "a stop")
    tasks = tuple(task.id for task in project.plan.tasks if ref and _refers(task.ref, ref))
    if not tasks:
        raise Refused(f"no task refers to {clean(ref)!r}")
    return e.PutStop(tasks, ask.why)


def _refers(task_ref: str, ref: str) -> bool:
    """Return whether a task's reference is the given one or a part of it: "drawing 4" holds "drawing 4, sheet 2"."""
    there, wanted = task_ref.casefold().strip(), ref.casefold()
    return there.startswith(wanted) and not there[len(wanted) :][:1].isalnum()


def resolve_sign(project: Project, ask: AskSign, by: str, now: datetime) -> e.Edit:
    """Sign a task's sign-off in the role that it asks for."""
    task = find_task(project, ask.task)
    roles = [hold.by for hold in task.holds if hold.kind == "sign-off"]
    if not roles:
        raise Refused(f"{task.id} waits for no sign-off")
    if ask.role not in roles:
        raise Refused(f"{task.id} waits for a sign-off as {', '.join(roles)}, not as {clean(ask.role)}")
    if (task.id, ask.role) in project.progress.signatures:
        raise Refused(f"{task.id} is already signed as {ask.role}")
    signed = ask.at or now
    if signed > now:
        raise Refused(f"{task.id} cannot have been signed at {day_clock(signed, now)}: that is still to come")
    return e.Sign(task.id, ask.role, signed)


def resolve_cure(project: Project, ask: AskCure, by: str, now: datetime) -> e.Edit:
    """Correct the hours of a cure."""
    task = find_task(project, ask.task)
    cures = [hold.until for hold in task.holds if hold.kind == "cure"]
    if ask.until not in cures:
        known = f"its cures wait for {', '.join(str(c) for c in cures)}" if cures else "it has no cure"
        raise Refused(f"{task.id} has no cure of {clean(ask.until)!r}: {known}")
    if not 0 <= ask.hours <= 24 * 365:
        raise Refused(f"{task.id}: {counted(ask.hours, 'hour')} is not a cure; give 0 to 8760")
    _reason(task.id, ask.why, "correcting a cure")
    return e.SetCure(task.id, ask.until, ask.hours, ask.why)
