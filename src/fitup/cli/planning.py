"""Commands that plan: the run sheet of a session and the bench list for it."""

from __future__ import annotations

from argparse import Namespace

from fitup.cli.answer import Answer, table
from fitup.cli.values import parse_figure, parse_temperature, parse_whole
from fitup.desk import Desk
from fitup.model.amounts import clock, day_clock, local_iso, number, parse_instant, stretch
from fitup.model.sheet import Question, Wishes


def question(desk: Desk, args: Namespace) -> Question:
    """Return the planner's question that the session options make."""
    wishes = Wishes(
        start=None if args.start is None else parse_instant(args.start, "--from"),
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


def bench(desk: Desk, args: Namespace) -> Answer:
    """Answer with what must lie on the bench for the session's run sheet."""
    listed = desk.bench(desk.session(question(desk, args)))
    items = {"consumables": listed.consumables, "parts": listed.parts}
    data: dict[str, object] = {
        "tools": [{"tool": row.tool, "title": row.title, "minute": row.minute} for row in listed.tools],
        "fasteners": [
            {
                "part_number": row.part_number,
                "count": row.count,
                "lay_out": row.lay_out,
                "have": row.have,
                "short": row.short,
            }
            for row in listed.fasteners
        ],
        "temporary": [
            {"size": r.size, "now": r.now, "out": r.out, "have": r.have, "short": r.short, "peak": r.peak}
            for r in listed.temporary
        ],
        "takes": list(listed.takes),
        "cautions": list(listed.cautions),
    }
    for name, rows in items.items():
        data[name] = [
            {
                "item": row.item,
                "title": row.title,
                "unit": row.unit,
                "quantity": row.quantity,
                "lay_out": row.lay_out,
                "have": row.have,
                "short": row.short,
                "expires": row.expires,
            }
            for row in rows
        ]
    lines = [f"SHORT: {', '.join(listed.short)}"] if listed.short else []
    lines += ["Tools, in order of first use:", *(f"  {row.title}" for row in listed.tools)] if listed.tools else []
    lines += ["Fasteners:"] if listed.fasteners else []
    lines += table(
        [
            [
                f"  {row.part_number}",
                f"{number(row.count)} to drive",
                f"lay out {number(row.lay_out)}",
                "not counted in stock" if row.have is None else f"have {number(row.have)}",
            ]
            for row in listed.fasteners
        ]
    )
    lines += ["Clecos and clamps:"] if listed.temporary else []
    lines += table(
        [
            [
                f"  {r.size}",
                f"now {r.now}",
                f"out {r.out}",
                f"peak {r.peak}",
                f"have {r.have}",
                f"short {r.short}" if r.short else "",
            ]
            for r in listed.temporary
        ]
    )
    for title, rows in (("Consumables:", listed.consumables), ("Parts:", listed.parts)):
        lines += [title] if rows else []
        lines += table(
            [
                [
                    f"  {row.title}",
                    f"{number(row.quantity)} {row.unit}",
                    f"lay out {number(row.lay_out)}",
                    f"have {number(row.have)}",
                    f"expires {row.expires}" if row.expires else "",
                ]
                for row in rows
            ]
        )
    lines += [f"Also: {text}" for text in listed.takes]
    lines += [f"CAUTION: {caution}" for caution in listed.cautions]
    return Answer(data, lines or ["nothing is needed: the run sheet is empty"])
