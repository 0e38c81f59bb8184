"""Forms about the work itself: tick, measure, decide, reopen, again, note, photo."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitup.model.asks import Ask, AskAgain, AskMeasure, AskNote, AskPhoto, AskReopen, AskTick
from fitup.model.plan import Check, Task
from fitup.model.progress import Measurement
from fitup.model.refusal import Refused
from fitup.tui.forms import Answers, Field, Form, read_count, read_number, read_past
from fitup.tui.rows import Row, row, say
from fitup.tui.wording.common import cautions, check_words, hold_words, progress_words, verdict_words

if TYPE_CHECKING:
    from fitup.tui.board import Board

YES_NO = (("no", "no"), ("yes", "yes"))


def starts_clock(board: Board, task: Task) -> bool:
    """Return whether something waits for this task by the clock: a cure, or a time window."""
    for waiter in board.desk.waiters(task.id):
        later = board.project.plan.task[waiter]
        if any(hold.kind == "cure" and hold.until == task.id for hold in later.holds):
            return True
        if any(window.of == task.id for window in later.within):
            return True
    return False


def warnings(board: Board, task: Task) -> tuple[Row, ...]:
    """Return what to know before starting: cautions, and what holds the task."""
    rows = [row(say("Caution: ", "strong"), say(text, "warn")) for text in cautions(board, task)]
    held = board.standing(task.id)
    if held:
        rows.append(row(say("Held: ", "strong"), say(hold_words(board, held[0]), "bad")))
    return tuple(rows)


def tick_form(board: Board, task: Task) -> Form:
    """Ask how much is done, in how many minutes, finished when."""
    left = board.project.open_count(task.id)
    clocked = starts_clock(board, task)
    fields = [Field("minutes", "minutes it took", empty="not timed")]
    if left > 1:
        fields.insert(0, Field("count", f"how many of {left}", str(left)))
    when = Field("when", "finished when?", "now")
    fields.insert(0, when) if clocked else fields.append(when)

    def go(answers: Answers) -> AskTick:
        return AskTick(
            task.id,
            read_count(answers.get("count", ""), "count"),
            read_number(answers["minutes"], "minutes"),
            read_past(answers["when"], board.now),
        )

    title = f"Tick: {task.title} ({progress_words(board, task)})"
    lines = warnings(board, task)
    if clocked:
        lines = (*lines, row(say("A clock starts when this is finished; others wait for it.", "accent")))
    return Form(title, fields, go, lines)


def _reading_fields(check: Check) -> list[Field]:
    unit = f" {check.unit}" if check.unit else ""
    if check.kind == "yes-no":
        return [Field("reading", check.question or "is it so", "no", choices=YES_NO)]
    if check.kind == "spread":
        faces = check.faces or ("a", "b")
        return [
            Field(f"{at} {face}", f"{station}, {face}{unit}")
            for at, station in enumerate(check.stations)
            for face in range_names(faces)
        ] or [Field("reading", "readings", "", "root=402.5/402.0 tip=402.4/402.3", wide=True)]
    if check.kind == "straight":
        return [Field("reading", f"place=reading{unit}", "", "0=5.9 0.9=5.4 1.8=4.4", wide=True)]
    many = f"{check.n} readings" if check.n else "readings"
    return [Field("reading", f"{many}{unit}, spaces between", "", "402.5 402.6", wide=True)]


def range_names(faces: tuple[str, ...]) -> tuple[str, ...]:
    """Return the names of a station's faces, each once."""
    return tuple(dict.fromkeys(faces))


def _reading_words(check: Check, answers: Answers) -> list[str]:
    """Return the answers in the form in which readings are written on the command line."""
    if check.kind != "spread" or "reading" in answers:
        return answers["reading"].split()
    faces = range_names(check.faces or ("a", "b"))
    return [
        f"{station}=" + "/".join(_figure(answers[f"{at} {face}"], f"{station}, {face}") for face in faces)
        for at, station in enumerate(check.stations)
    ]


def _figure(text: str, what: str) -> str:
    """Return a figure as the command line writes it; raises `Refused` that names the field and no command."""
    if read_number(text, what) is None:
        raise Refused(f"{what}: a figure is needed")
    return text.replace(",", ".")


def measure_form(board: Board, task: Task) -> Form:
    """Ask for the readings of a check; the verdict comes at once. Raises `Refused` for a task that is none."""
    check = task.check
    if check is None:
        raise Refused(f"{task.title} is no check; t ticks it")
    fields = [*_reading_fields(check), Field("when", "taken when?", "now")]

    def go(answers: Answers) -> AskMeasure:
        readings = board.desk.parse_readings(task.id, _reading_words(check, answers))
        return AskMeasure(task.id, readings, at=read_past(answers["when"], board.now))

    lines = (row(say(check_words(check))), *warnings(board, task))
    return Form(f"Measure: {task.title}", fields, go, lines)


def close_call_form(board: Board, ask: Ask, measured: Measurement | None) -> Form | None:
    """Return the form that follows a measurement too close to call, None after anything else."""
    task = board.task(measured.task) if measured is not None else None
    if not isinstance(ask, AskMeasure) or measured is None or task is None or measured.verdict != "too close to call":
        return None
    return decide_form(board, task, measured)


def decide_form(board: Board, task: Task, close: Measurement) -> Form:
    """Ask a person to call a figure that is too close to call, with a reason; measuring again is the other way."""
    choices = (("again", "measure again"), ("pass", "call it a pass"), ("fail", "call it a fail"))
    fields = [Field("decide", "what now", "again", choices=choices), Field("why", "reason", wide=True)]

    def go(answers: Answers) -> AskMeasure | None:
        if answers["decide"] == "pass":
            return AskMeasure(task.id, close.readings, "pass", answers["why"], close.at)
        if answers["decide"] == "fail":
            return AskMeasure(task.id, close.readings, "fail", answers["why"], close.at)
        return None

    verdict = verdict_words(close, task.check, board.ascii_only)
    return Form(f"Too close to call: {task.title}", fields, go, (row(verdict),))


def reopen_form(board: Board, task: Task) -> Form:
    """Ask how much of done work is no longer done, and why."""
    done = board.project.progress.of(task.id).done
    fields = [Field("count", f"how many of {done} done", str(done)), Field("why", "reason", wide=True)]

    def go(answers: Answers) -> AskReopen:
        return AskReopen(task.id, answers["why"], read_count(answers["count"], "count"))

    lines = (row(say("Nothing is deleted; what came after it and is done gets a mark.", "dim")),)
    return Form(f"Reopen: {task.title}", fields, go, lines)


def again_form(task: Task) -> Form:
    """Ask whether a mix is started afresh."""
    fields = [Field("sure", "start it afresh", "yes", choices=YES_NO[::-1])]

    def go(answers: Answers) -> AskAgain | None:
        return AskAgain(task.id) if answers["sure"] == "yes" else None

    return Form(f"Again: {task.title}", fields, go, (row(say("For a mix that is made anew: no marks on others.")),))


def note_form(task: Task, next_time: bool) -> Form:
    """Ask for a remark, and whether it is shown first next time."""
    fields = [
        Field("text", "note", wide=True),
        Field("next", "show first next time", "yes" if next_time else "no", choices=YES_NO),
    ]

    def go(answers: Answers) -> AskNote:
        return AskNote(task.id, answers["text"], answers["next"] == "yes")

    return Form(f"Note: {task.title}", fields, go)


def photo_form(task: Task) -> Form:
    """Ask for the file of a photo."""
    fields = [Field("file", "photo file", "", "/home/me/photos/rib-3.jpg", wide=True)]

    def go(answers: Answers) -> AskPhoto:
        return AskPhoto(task.id, _home(answers["file"]))

    return Form(f"Photo: {task.title}", fields, go)


def _home(path: str) -> str:
    from os.path import expanduser

    return expanduser(path)
