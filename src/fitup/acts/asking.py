"""Makes the planner's question of what a person says about a session, filling in the usual."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from fitup.acts.lookup import find_task
from fitup.model.amounts import clean, counted
from fitup.model.pattern import parse_pattern
from fitup.model.progress import Project
from fitup.model.refusal import Refused
from fitup.model.sheet import Question, Wishes

USUAL_MINUTES = 180
"""Length of a session where neither the asker nor the weekly pattern says one."""

_AT_IT = timedelta(minutes=15)
"""How far ahead of now a session may begin for a running clock to tell what is being worked at then."""

_FRESH = timedelta(hours=36)
"""How old a temperature reading may be to stand for the session."""

_MORNING = 6
"""The hour at which a quiet night is over (common practice, no source)."""

_STRETCH = re.compile(r"(\d{1,2}:\d{2})\s*-\s*(\d{1,2}:\d{2})")


def make_question(project: Project, now: datetime, wishes: Wishes) -> Question:
    """Return the question; raises `Refused` for a session that cannot be."""
    begin = wishes.start or _next_five(now)
    pattern = parse_pattern(project.plan.sessions)
    minutes = wishes.minutes
    if minutes is None:
        running = pattern.running(begin)
        minutes = round((running[1] - begin).total_seconds() / 60) if running else USUAL_MINUTES
    _refuse_odd(minutes, wishes)
    end = begin + timedelta(minutes=minutes)
    following = wishes.next_start or pattern.next_start(end)
    if following is not None and following < end:
        raise Refused("the next session would begin before this one ends; correct its begin (--next)")
    return Question(
        start=begin,
        minutes=minutes,
        clean_up=wishes.clean_up,
        helper=_windows(begin, minutes, wishes.helper),
        celsius=_temperature(project, max(begin, now)) if wishes.celsius is None else wishes.celsius,
        humidity=wishes.humidity,
        sure=wishes.sure,
        first=tuple(find_task(project, task).id for task in wishes.first),
        without=tuple(find_task(project, task).id for task in wishes.without),
        quiet_from=_quiet(begin, minutes, wishes.quiet_from),
        next_start=None if following is None else round((following - begin).total_seconds() / 60),
        limit=wishes.limit,
        under_way=_under_way(project, begin - now, wishes),
    )


def _under_way(project: Project, ahead: timedelta, wishes: Wishes) -> tuple[str, ...]:
    """Return the open tasks that somebody is at: those with a running clock, and those said to be begun."""
    if ahead > _AT_IT:
        return ()
    found = dict.fromkeys((*project.progress.clocks, *wishes.under_way))
    open_ones = (task for task in found if task in project.plan.task and not project.done(task))
    return tuple(task for task in open_ones if task not in wishes.without)


def _refuse_odd(minutes: int, wishes: Wishes) -> None:
    """Refuse figures that make no session."""
    if not 1 <= minutes <= 16 * 60:
        raise Refused(f"a session of {counted(minutes, 'minute')} cannot be planned; give 1 to 960")
    if not 0 <= wishes.clean_up < minutes:
        raise Refused(f"a clean-up of {counted(wishes.clean_up, 'minute')} does not fit in a session of {minutes}")
    if wishes.sure is not None and not 0 < wishes.sure < 1:
        raise Refused(f"a certainty of {wishes.sure:g} cannot be; give a chance such as 0.8")
    if wishes.celsius is not None and not -60 <= wishes.celsius <= 60:
        raise Refused(f"{wishes.celsius:g} C is not a shop's temperature; write it as 18C or 64F")
    if wishes.humidity is not None and not 0 <= wishes.humidity <= 100:
        raise Refused(f"a humidity of {wishes.humidity:g} % cannot be")
    if not 0 <= wishes.limit <= 3600:
        raise Refused(f"a limit of {wishes.limit:g} seconds cannot be; give 0 to 3600")


def _next_five(now: datetime) -> datetime:
    """Return `now` rounded up to the next five minutes."""
    floor = now.replace(second=0, microsecond=0)
    floor -= timedelta(minutes=floor.minute % 5)
    return floor if floor == now else floor + timedelta(minutes=5)


def _temperature(project: Project, moment: datetime) -> float | None:
    """Return the shop's latest temperature at `moment`, or None where the reading is too old to stand for it.

    In the middle of a session that is the reading just taken, not the one from before its begin.
    """
    readings = [reading for reading in project.progress.temperatures if reading.at <= moment]
    if not readings or moment - readings[-1].at > _FRESH:
        return None
    return readings[-1].celsius


def _windows(begin: datetime, minutes: int, helper: Sequence[str]) -> tuple[tuple[int, int], ...]:
    """Return the helper's stretches in minutes from the start, cut to the session, in order."""
    windows = []
    for text in helper:
        found = _STRETCH.fullmatch(text.strip())
        if found is None:
            raise Refused(f"helper time {clean(text)!r} is not a stretch; write it as 09:00-10:30")
        come, go = (_minute_of(begin, part) for part in found.groups())
        over_midnight = go <= come
        if over_midnight:
            go = _minute_of(begin, found[2], days=1)
        if go <= 0:
            come, go = _minute_of(begin, found[1], days=1), _minute_of(begin, found[2], days=1 + over_midnight)
        come, go = max(0, come), min(minutes, go)
        if go > come:
            windows.append((come, go))
    windows.sort()
    merged: list[tuple[int, int]] = []
    for come, go in windows:
        if merged and come <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(go, merged[-1][1]))
        else:
            merged.append((come, go))
    return tuple(merged)


def _minute_of(begin: datetime, text: str, days: int = 0) -> int:
    """Return the minutes from the session's start to a clock time `days` after the start's own day; may be negative."""
    hour, minute = (int(part) for part in text.split(":"))
    if hour > 23 or minute > 59:
        raise Refused(f"{text} is not a clock time; write it as 09:00")
    day = begin.astimezone().replace(tzinfo=None, hour=hour, minute=minute, second=0, microsecond=0)
    # naive, so that the clock's own offset at that hour is taken: clocks change at night
    there = day + timedelta(days=days)
    return round((there.astimezone(UTC) - begin).total_seconds() / 60)


def _quiet(begin: datetime, minutes: int, text: str) -> int | None:
    """Return the minute from which loud work rests, or None where that is beyond the session.

    Quiet lasts till morning: a session that begins in the small hours begins in it, and an hour
    after midnight is meant for the night that follows.
    """
    if text == "none":
        return None
    if re.fullmatch(r"\d{1,2}:\d{2}", text) is None:
        raise Refused(f"quiet hour {clean(text)!r} is not a clock time; write it as 21:00, or none")
    hour, small_hours = begin.astimezone().hour, int(text.split(":")[0]) < _MORNING
    if hour < _MORNING and not small_hours:
        return 0
    quiet = _minute_of(begin, text, days=1 if small_hours and hour >= _MORNING else 0)
    return max(0, quiet) if quiet < minutes else None
