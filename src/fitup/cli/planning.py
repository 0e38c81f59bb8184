"""The command that plans: the run sheet of a session."""

from __future__ import annotations

from argparse import Namespace

from fitup import desk_proof
from fitup.cli.answer import Answer, table
from fitup.cli.values import parse_figure, parse_moment, parse_whole
from fitup.desk import Desk
from fitup.desk_prepare import preparations
from fitup.model.amounts import clock, day_clock, local_iso, parse_celsius, parse_instant, stretch
from fitup.model.sheet import Line, Question, Sheet, Wishes


def question(desk: Desk, args: Namespace) -> Question:
    """Return the planner's question that the session options make."""
    wishes = Wishes(
        start=None if args.start is None else parse_moment(args.start, "--from", desk.now()),
        minutes=None if args.minutes is None else parse_whole(args.minutes, "--minutes"),
        helper=tuple(part for given in args.helper for part in given.split(",")),
        quiet_from=args.quiet_from,
        celsius=None if args.temperature is None else parse_celsius(args.temperature, "--temperature"),
        humidity=None if args.humidity is None else parse_figure(args.humidity.rstrip("%"), "--humidity"),
        clean_up=parse_whole(args.clean_up, "--clean-up"),
        sure=None if args.sure is None else parse_figure(args.sure, "--sure"),
        first=tuple(args.first),
        without=tuple(args.without),
        next_start=None if args.next is None else parse_instant(args.next, "--next"),
        limit=parse_figure(args.limit, "--limit"),
    )
    return desk.question(wishes)


def planned(desk: Desk, asked: Question) -> Sheet:
    """Return the sheet that the session and bench commands both answer with."""
    return desk_proof.settled_session(desk, asked)


def _why_lines(sheet: Sheet, found: desk_proof.WhyNot) -> list[str]:
    """Return what taking a task onto the sheet comes to."""
    lines = [f"{found.task}: {found.why}"]
    if found.instead is None or found.loss is None:
        return lines
    kept = {line.task for line in found.instead.lines}
    dropped = [line.task for line in sheet.lines if line.task not in kept]
    exact = "" if found.proven else ", by the best sheets found"
    lines.append(f"  with it the sheet would be worth {found.instead.worth} instead of {sheet.worth}{exact}")
    return [*lines, f"  and without {', '.join(dropped)}"] if dropped else lines


def session(desk: Desk, args: Namespace) -> Answer:
    """Answer with the run sheet of a session."""
    sheet = planned(desk, question(desk, args))
    prepare = preparations(desk, sheet)
    data = _sheet_data(desk, sheet) | {"prepare": list(prepare)}
    lines = [*_sheet_lines(desk, sheet), *prepare]
    if args.why is not None:
        found = desk_proof.why_not(desk, sheet, args.why)
        data["why_not"] = {"task": found.task, "why": found.why, "loss": found.loss, "proven": found.proven}
        lines += ["", *_why_lines(sheet, found)]
    lines += [f"waits until {day_clock(w.until, sheet.question.start)}: {w.task}" for w in sheet.waiting]
    lines += ["", "Left out:"] if sheet.left_out else []
    lines += [f"  {left.task}: {left.why}" for left in sheet.left_out]
    return Answer(data, lines)


def _sheet_data(desk: Desk, sheet: Sheet) -> dict[str, object]:
    return {
        "from": sheet.question.start,
        "lines": [_line_data(desk, sheet, line) for line in sheet.lines],
        "worth": sheet.worth,
        "sheet_terms": dict(sheet.sheet_terms),
        "bound": sheet.bound,
        "proven": sheet.proven,
        "likely_minutes": round(sheet.likely_minutes, 2),
        "chance": round(sheet.chance, 4),
        "usable_minutes": sheet.usable_minutes,
        "left_out": [{"task": left.task, "why": left.why} for left in sheet.left_out],
        "waiting": [{"task": waiting.task, "until": waiting.until} for waiting in sheet.waiting],
        "two_people_minutes": sheet.two_people_minutes,
    }


def _line_data(desk: Desk, sheet: Sheet, line: Line) -> dict[str, object]:
    return {
        "task": line.task,
        "title": desk.project.plan.task[line.task].title,
        "count": line.count,
        "begin": sheet.question.instant(line.begin),
        "end": sheet.question.instant(line.end),
        "set_up_minutes": line.set_up,
        "clean_up_minutes": line.clean_up,
        "crew": line.crew,
        "who": line.who,
        "terms": dict(line.terms),
        "why": line.why,
    }


def _sheet_lines(desk: Desk, sheet: Sheet) -> list[str]:
    """Return the sheet itself: from when to when, its lines in columns, and how good it is."""
    asked = sheet.question
    begin, end = local_iso(asked.start).replace("T", " "), clock(asked.instant(asked.minutes))
    rows = table([_line_cells(desk, sheet, line) for line in sheet.lines])
    return [
        f"Session {begin} to {end}, {stretch(sheet.usable_minutes)} usable",
        *(rows or ["nothing fits in this session"]),
        f"chance of finishing all of it: {sheet.chance:.0%}; {desk_proof.standing_words(sheet)}",
    ]


def _line_cells(desk: Desk, sheet: Sheet, line: Line) -> list[str]:
    task = desk.project.plan.task[line.task]
    begin, end = sheet.question.instant(line.begin), sheet.question.instant(line.end)
    return [
        f"{clock(begin)}-{clock(end)}",
        line.task,
        f"{line.count}" if task.count > 1 else "",
        "two" if line.who == "both" else line.who,
        f"{task.title}: {line.why}" if line.why else task.title,
    ]
