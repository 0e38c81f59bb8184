"""The command that plans: the run sheet of a session."""

from __future__ import annotations

from argparse import Namespace

from fitup.cli.answer import Answer, table
from fitup.cli.values import parse_figure, parse_moment, parse_temperature, parse_whole
from fitup.desk import Desk
from fitup.model.amounts import clock, day_clock, local_iso, parse_instant, stretch
from fitup.model.sheet import Question, Wishes


def question(desk: Desk, args: Namespace) -> Question:
    """Return the planner's question that the session options make."""
    wishes = Wishes(
        start=None if args.start is None else parse_moment(args.start, "--from", desk.now()),
        minutes=None if args.minutes is None else parse_whole(args.minutes, "--minutes"),
        helper=tuple(part for given in args.helper for part in given.split(",")),
        quiet_from=args.quiet_from,
        celsius=None if args.temperature is None else parse_temperature(args.temperature),
        humidity=None if args.humidity is None else parse_figure(args.humidity.rstrip("%"), "--humidity"),
        clean_up=parse_whole(args.clean_up, "--clean-up"),
        sure=None if args.sure is None else parse_figure(args.sure, "--sure"),
        first=tuple(args.first),
        without=tuple(args.without),
        next_start=None if args.next is None else parse_instant(args.next, "--next"),
        limit=parse_figure(args.limit, "--limit"),
    )
    return desk.question(wishes)


def session(desk: Desk, args: Namespace) -> Answer:
    """Answer with the run sheet of a session."""
    asked = question(desk, args)
    sheet = desk.session(asked)
    plan = desk.project.plan
    data = {
        "from": asked.start,
        "lines": [
            {
                "task": line.task,
                "title": plan.task[line.task].title,
                "count": line.count,
                "begin": asked.instant(line.begin),
                "end": asked.instant(line.end),
                "set_up_minutes": line.set_up,
                "clean_up_minutes": line.clean_up,
                "crew": line.crew,
                "who": line.who,
                "terms": dict(line.terms),
                "why": line.why,
            }
            for line in sheet.lines
        ],
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
    end = asked.instant(asked.minutes)
    lines = [
        f"Session {local_iso(asked.start).replace('T', ' ')} to {clock(end)}, {stretch(sheet.usable_minutes)} usable"
    ]
    lines += table(
        [
            [
                f"{clock(asked.instant(line.begin))}-{clock(asked.instant(line.end))}",
                line.task,
                f"{line.count}" if plan.task[line.task].count > 1 else "",
                "two" if line.who == "both" else line.who,
                f"{plan.task[line.task].title}: {line.why}" if line.why else plan.task[line.task].title,
            ]
            for line in sheet.lines
        ]
    ) or ["nothing fits in this session"]
    lines.append(
        f"chance of finishing all of it: {sheet.chance:.0%}" + ("" if sheet.proven else "; not yet proven best")
    )
    lines += [f"waits until {day_clock(w.until, asked.start)}: {w.task}" for w in sheet.waiting]
    lines += ["", "Left out:"] if sheet.left_out else []
    lines += [f"  {left.task}: {left.why}" for left in sheet.left_out]
    return Answer(data, lines)
