"""Forms about the shop and the session: temperature, stock, minutes, helper, start, the tasks' filter, the palette."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from fitup.model.amounts import clock, local_iso, number
from fitup.model.asks import AskArrived, AskStock, AskTemperature
from fitup.model.marks import STATES
from fitup.model.refusal import Refused
from fitup.tui.board import Filter
from fitup.tui.forms import (
    Answers,
    Field,
    Form,
    percent,
    read_celsius,
    read_chance,
    read_count,
    read_day,
    read_number,
    read_start,
)
from fitup.tui.rows import Row, row, say
from fitup.tui.wording.bench import stock_rows
from fitup.tui.wording.tasks import CRITICAL
from fitup.tui.work_forms import YES_NO

if TYPE_CHECKING:
    from fitup.tui.board import Board


def temperature_form(board: Board, after: Callable[[], None]) -> Form:
    """Ask for the shop's temperature: a reading for the record, or only a supposition for this plan."""
    readings = board.project.progress.temperatures
    last = number(readings[-1].celsius) if readings else ""
    fields = [
        Field("celsius", "shop now, C (or 64F)", last),
        Field("low", "coldest since the last reading", empty="unknown"),
        Field("only", "only try it on this plan, keep no reading", "no", choices=YES_NO),
    ]

    def go(answers: Answers) -> AskTemperature | None:
        celsius = read_celsius(answers["celsius"])
        if celsius is None:
            raise Refused("give a temperature, such as 18, 18C or 64F")
        if answers["only"] == "yes":
            board.wish(replace(board.wishes, celsius=celsius), None, None)
            after()
            return None
        board.wishes = replace(board.wishes, celsius=None)
        return AskTemperature(celsius, read_celsius(answers["low"], "low"))

    return Form("Shop temperature", fields, go)


def minutes_form(board: Board, after: Callable[[], None]) -> Form:
    """Ask for the length of the session, its clean-up, and how sure it should be that all gets finished."""
    question = board.question
    given = question.minutes if question else 180
    fields = [
        Field("minutes", f"minutes from {clock(question.start)}" if question else "minutes", str(given)),
        Field("clean", "of these for clean-up", str(board.wishes.clean_up)),
        Field("sure", "sure to finish, %", percent(board.wishes.sure), "80", empty="as it comes"),
    ]

    def go(answers: Answers) -> None:
        minutes = read_count(answers["minutes"], "minutes")
        clean_up = read_count(answers["clean"], "clean-up")
        sure = read_chance(answers["sure"], "sure to finish")
        wishes = replace(board.wishes, clean_up=10 if clean_up is None else clean_up, sure=sure)
        begin = question.start if question else None
        board.wish(wishes, begin, minutes if minutes is not None else given)
        after()

    return Form("How long is this session?", fields, go)


def helper_form(board: Board, after: Callable[[], None]) -> Form:
    """Ask when a second pair of hands is there."""
    given = " ".join(board.wishes.helper)
    question = board.question
    example = f"{clock(question.start)}-{clock(question.instant(60))}" if question else "09:00-10:30"
    fields = [Field("helper", "helper there", given, example, wide=True, empty="nobody")]

    def go(answers: Answers) -> None:
        windows = tuple(part for part in answers["helper"].replace(",", " ").split() if part)
        board.wish(replace(board.wishes, helper=windows), None, None)
        after()

    lines = (row(say("From and until by the clock; with a space between where the helper comes twice.", "dim")),)
    return Form("Who helps?", fields, go, lines)


def start_form(board: Board, after: Callable[[], None]) -> Form:
    """Ask when the session begins."""
    question = board.question
    given = local_iso(question.start) if question else "now"
    fields = [Field("start", "starts", given, "now, 09:00, sat 09:00", wide=True)]

    def go(answers: Answers) -> None:
        begin = read_start(answers["start"], board.now)
        if begin is None:
            board.begin = board.end = None
            board.wish(replace(board.wishes, start=None, minutes=None), None, None)
        else:
            board.wish(board.wishes, begin, None)
        after()

    lines = (row(say("now, a clock time, a day with a clock time, or 2026-11-28T09:00.", "dim")),)
    return Form("When does the session start?", fields, go, lines)


def _item_choices(board: Board, first: Sequence[str], only_ordered: bool) -> tuple[tuple[str, str], ...]:
    items = board.project.plan.item
    order = dict.fromkeys((*first, *items))
    wanted = [i for i in order if i in items and not (only_ordered and board.project.stock(i).on_order is None)]
    return tuple((i, items[i].title) for i in wanted)


def stock_form(board: Board, first: Sequence[str]) -> Form:
    """Ask what was counted, added or taken of an item."""
    choices = _item_choices(board, first, only_ordered=False)
    if not choices:
        raise Refused("this project keeps no stock: its plan has no items")
    fields = [
        Field("item", "item", choices=choices, wide=True),
        Field("amount", "came in +50, used -20, or counted 170", ""),
        Field("expires", "good to", "", "2027-03-01", empty="no date"),
    ]

    def go(answers: Answers) -> AskStock:
        text = answers["amount"]
        value = read_number(text.removeprefix("="), "amount")
        if value is None:
            raise Refused("give an amount: +50 came in, -20 was used, 170 is there")
        expires = read_day(answers["expires"], "expires")
        if text.startswith(("+", "-")):
            return AskStock(answers["item"], change=value, expires=expires)
        return AskStock(answers["item"], total=value, expires=expires)

    return Form("Stock", fields, go, says=lambda answers: stock_rows(board, answers["item"], 76))


def arrived_form(board: Board, first: Sequence[str]) -> Form:
    """Ask which order has arrived, and how long it keeps."""
    choices = _item_choices(board, first, only_ordered=True)
    if not choices:
        raise Refused("nothing is on order; enter what came with k (stock)")
    fields = [
        Field("item", "arrived", choices=choices, wide=True),
        Field("expires", "good to", "", "2027-03-01", empty="no date"),
    ]

    def go(answers: Answers) -> AskArrived:
        return AskArrived(answers["item"], read_day(answers["expires"], "expires"))

    return Form("An order has arrived", fields, go, says=lambda answers: stock_rows(board, answers["item"], 76))


def filter_form(board: Board, after: Callable[[], None]) -> Form:
    """Narrow the task list while typing."""
    plan = board.project.plan
    before = replace(board.filter)
    used = dict.fromkeys(task.work for task in plan.tasks)
    states = (("", "any"), *((state, mark.word) for state, mark in STATES.items()), (CRITICAL, "critical chain"))
    assemblies = (("", "any"), *((assembly.id, assembly.title) for assembly in plan.assemblies))
    works = (("", "any"), *((work, plan.work[work].title if work in plan.work else work) for work in used))
    fields = [
        Field("words", "find", before.words, wide=True, empty="part of a title, id or assembly"),
        Field("state", "state", before.state, choices=states),
        Field("assembly", "assembly", before.assembly, choices=assemblies),
        Field("work", "work", before.work, choices=works),
    ]

    def live(answers: Answers) -> None:
        board.filter = Filter(answers["words"], answers["state"], answers["assembly"], answers["work"])
        after()

    def left() -> None:
        board.filter = before
        after()

    def go(answers: Answers) -> None:
        live(answers)

    return Form("Which tasks?", fields, go, live=live, left=left)


def palette_form(options: Callable[[str], Sequence[Row]], pick: Callable[[str], None]) -> Form:
    """Find a command by typing."""
    return Form(
        "Commands", [Field("words", "find", wide=True)], lambda answers: None, options=options, pick=pick,
        enter=lambda key: "go there" if key.startswith("task ") else "run it",
    )  # fmt: skip
