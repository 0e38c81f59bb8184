"""What to order by when, so that nothing stalls: the plan walked forward over the usual sessions.

The walk is list scheduling, one builder at the bench. In each usual session it takes, of the tasks
whose holds are lifted by then and for which there is room, the one with the longest chain of work
and cures behind it (the order of latest finish, see `Chain`); work once begun is gone on
with first, what is wanted late comes last. Tasks take their likely minutes, and each kind of work
its set-up and clean-up once a session; what may not be split waits for a session with room for it.
Cures run by the clock, visits happen on their day. Deliveries are taken to come in time, so that
the day on which work wants an item never depends on when it comes; the helper's evenings are left
out, since nobody has promised them. Work then comes rather too early than too late, and so do the
dates to order by.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from heapq import heappop, heappush
from math import ceil

from fitup.estimate import clean_up_of, set_up_of
from fitup.model.amounts import local_day
from fitup.model.pattern import DAYS, Pattern, parse_pattern
from fitup.model.plan import Item, Lot
from fitup.model.progress import Project
from fitup.readiness import tails_of
from fitup.readiness.judging import Judging
from fitup.trade.clocks import cured_at
from fitup.trade.fasteners import used_by

LONGEST = timedelta(weeks=520)
"""Nobody orders for work that is ten years away."""
ANY_EVENING = ", ".join(f"{day} 19:00-22:00" for day in DAYS)
"""Sessions reckoned with where the plan names no usual ones."""
_ROUNDING = 1e-9
_WORTH_STARTING = 15.0
"""Minutes of room below which splittable work is left for the next session. Common practice, no source."""

_Turn = tuple[int, int, float, int, str]
"""What puts tasks in order: begun or not, wanted late or not, minus the chain behind, place in the plan, id."""


@dataclass(frozen=True, slots=True)
class Order:
    """An item to order: `quantity` with its spare, by `order_by`, for the work that begins on `needed`."""

    item: str
    title: str
    unit: str
    supplier: str
    quantity: float
    order_by: date
    needed: date
    tasks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GoingOff:
    """Part of a lot that goes out of date before the work that needs the item: `task`, on `needed`."""

    item: str
    title: str
    unit: str
    quantity: float
    expires: date
    task: str
    needed: date


@dataclass(frozen=True, slots=True)
class Late:
    """What is on order and comes (`expected`, None: nobody knows) after the work `task` wants it, on `needed`."""

    item: str
    title: str
    unit: str
    quantity: float
    expected: date | None
    task: str
    needed: date


@dataclass(frozen=True, slots=True)
class Orders:
    """What to order, soonest first, what goes out of date unused, and what comes late; all as far as `until`."""

    orders: tuple[Order, ...]
    going_off: tuple[GoingOff, ...]
    late: tuple[Late, ...]
    until: date
    by_pattern: bool


@dataclass(frozen=True, slots=True)
class _Want:
    day: date
    quantity: float
    task: str


def orders(project: Project, now: datetime, remaining: Mapping[str, float], weeks: float) -> Orders:
    """Return what must be ordered within `weeks` from now.

    `remaining` are likely minutes still to do, by task. What is in stock in date on the day it is
    needed and what is on order counts; quantities are rounded up for fasteners and parts.
    """
    today = local_day(now)
    until = _later(today, timedelta(days=min(weeks * 7, LONGEST.days)))
    usual = parse_pattern(project.plan.sessions)
    begins = first_days(project, now, remaining, usual if usual.stretches else parse_pattern(ANY_EVENING))
    wants = _wants(project, begins)
    found: list[Order] = []
    going_off: list[GoingOff] = []
    late: list[Late] = []
    for item in project.plan.items:
        if item.id in wants:
            short, left, coming = _draw_on_stock(project, item, wants[item.id])
            late += _late(project, item, coming, until)
            going_off += _going_off(item, left, wants[item.id], today, until)
            lead = timedelta(days=min(item.lead_days, LONGEST.days))
            due = [want for want in short if want.day - lead <= until]
            if due:
                found.append(_order(item, due, lead))
    found.sort(key=lambda order: order.order_by)
    return Orders(tuple(found), tuple(going_off), tuple(late), until, bool(usual.stretches))


def first_days(project: Project, now: datetime, remaining: Mapping[str, float], pattern: Pattern) -> dict[str, date]:
    """Return the day on which each unfinished task is begun, in the order of the walk."""
    walk = _Walk(project, now, remaining, pattern.longest_minutes)
    begins: dict[str, date] = {}
    for begin, end in _sessions(pattern, now):
        if not walk.waiting:
            break
        _work_through(walk, begin, end, begins)
    return begins


def _work_through(walk: _Walk, begin: datetime, end: datetime, begins: dict[str, date]) -> None:
    """Fill one session: task by task what is most pressing of what may begin and has room."""
    at, set_up_for = begin, set[str]()
    while walk.waiting and (moment := walk.next_at(at)) < end:
        chosen = walk.take(moment, end, set_up_for, fresh=moment == begin)
        if chosen is None:
            following = walk.next_clock()
            if following is None or following >= end:
                return
            at = following
            continue
        task_id, set_up = chosen
        begins.setdefault(task_id, local_day(moment))
        # tools that take longer to get out than the session lasts would else never be used
        at = moment + min(timedelta(minutes=set_up), (end - moment) / 2)
        worked = min(walk.left[task_id], (end - at) / timedelta(minutes=1))
        at += timedelta(minutes=worked)
        walk.work(task_id, worked, at)


class _Walk:
    """Open tasks on their way through the sessions: those that a clock holds, and those that may begin."""

    def __init__(self, project: Project, now: datetime, remaining: Mapping[str, float], longest: float) -> None:
        self._judging = Judging(project, now)
        self._project, self._now, self._longest = project, now, longest
        self._earliest: dict[str, datetime] = {}
        self._missing: dict[str, int] = {}
        self._clocked: list[tuple[datetime, _Turn]] = []
        self._free: list[_Turn] = []
        self._turns = _turns(project, tails_of(project, remaining))
        self.left: dict[str, float] = {}
        for task_id in self._judging.book.order:
            if task_id not in self._judging.done:
                self.left[task_id] = remaining.get(task_id, 0.0)
                self._earliest[task_id] = self._outside(task_id)
                self._missing[task_id] = len(self._before(task_id))
                if not self._missing[task_id]:
                    heappush(self._clocked, (self._earliest[task_id], self._turns[task_id]))

    @property
    def waiting(self) -> bool:
        """Whether a task is left that may begin some time."""
        return bool(self._clocked or self._free)

    def next_at(self, at: datetime) -> datetime:
        """Return when the next task may begin, at `at` or later."""
        while self._clocked and self._clocked[0][0] <= at:
            insort(self._free, heappop(self._clocked)[1])
        return at if self._free else self._clocked[0][0]

    def next_clock(self) -> datetime | None:
        """Return when the next clock lets a task go, None where no clock holds one."""
        return self._clocked[0][0] if self._clocked else None

    def take(self, at: datetime, end: datetime, set_up_for: set[str], fresh: bool) -> tuple[str, float] | None:
        """Return the most pressing task that has room from `at` to `end`, and its minutes of set-up.

        What may not be split needs room for all of it; where it is longer than any session it is
        begun with a `fresh` one, and goes on before all else.
        """
        self.next_at(at)
        room = (end - at) / timedelta(minutes=1)
        for place, turn in enumerate(self._free):
            task = self._project.plan.task[turn[-1]]
            set_up = 0.0
            if task.work not in set_up_for:
                set_up = set_up_of(self._project.plan, task) + clean_up_of(self._project.plan, task)
            needed, whole = self.left[task.id], not self._project.plan.splits(task)
            if not whole:
                needed = min(needed, _WORTH_STARTING)
            if set_up + needed <= room or (fresh and set_up + needed > self._longest):
                del self._free[place]
                if task.minutes is None:
                    set_up_for.add(task.work)
                return task.id, set_up
        return None

    def work(self, task_id: str, minutes: float, at: datetime) -> None:
        """Take so many minutes off a task by `at`; what is left of it is gone on with first."""
        self.left[task_id] -= minutes
        if self.left[task_id] > _ROUNDING:
            insort(self._free, (-1, *self._turns[task_id][1:]))
        else:
            self.finish(task_id, at)

    def finish(self, task_id: str, at: datetime) -> None:
        """Let go what waits for a task finished at `at`; cures then begin to run."""
        for waiter in self._judging.book.waiters[task_id]:
            if waiter not in self._missing or task_id not in self._before(waiter):
                continue
            ends = [at]
            for hold in self._judging.book.holds[waiter]:
                if hold.until == task_id and hold.kind == "cure":
                    hours = self._judging.hours(waiter, hold)
                    ends.append(cured_at(at, hours, self._project.progress.temperatures, hold.law))
            self._earliest[waiter] = max(self._earliest[waiter], *ends)
            self._missing[waiter] -= 1
            if not self._missing[waiter]:
                heappush(self._clocked, (self._earliest[waiter], self._turns[waiter]))

    def _before(self, task_id: str) -> set[str]:
        """Return the unfinished tasks whose holds stand on a task."""
        return {
            hold.until
            for hold in self._judging.book.holds[task_id]
            if hold.until is not None
            and hold.until not in self._judging.done
            and self._judging.word(task_id, hold) == "standing"
        }

    def _outside(self, task_id: str) -> datetime:
        """Return the earliest instant that visits and running cures leave."""
        earliest = self._now
        for hold in self._judging.book.holds[task_id]:
            if hold.kind == "sign-off" and hold.expected and self._judging.word(task_id, hold) == "standing":
                earliest = max(earliest, datetime.combine(hold.expected, time()).astimezone())
            if hold.kind == "cure" and hold.until in self._judging.done:
                earliest = max(earliest, self._judging.cured(task_id, hold))
        return earliest


def _turns(project: Project, tails: Mapping[str, float]) -> dict[str, _Turn]:
    """Return in whose turn each task is: what is begun, then the longest chain behind it, then plan order."""
    return {
        task.id: (
            0 if project.progress.of(task.id).done else 1,
            int(task.late),
            -tails.get(task.id, 0.0),
            place,
            task.id,
        )
        for place, task in enumerate(project.plan.tasks)
    }


def _sessions(pattern: Pattern, now: datetime) -> Iterator[tuple[datetime, datetime]]:
    """Yield the usual sessions from now on, the running one with what is left of it."""
    running = pattern.running(now)
    at = now
    if running is not None:
        yield now, running[1]
        at = running[1]
    last = _later(local_day(now), LONGEST)
    while local_day(at) < last:
        begin = pattern.next_start(at)
        session = None if begin is None else pattern.running(begin)
        if begin is None or session is None:
            return
        yield begin, session[1]
        at = session[1]


def _later(day: date, span: timedelta) -> date:
    """Return the day so much later, or the calendar's last one."""
    return date.fromordinal(min(day.toordinal() + span.days, date.max.toordinal() - 2))


def _wants(project: Project, begins: Mapping[str, date]) -> dict[str, list[_Want]]:
    """Return per item what the walk takes of it, spare included, in the order of the days."""
    wants: dict[str, list[_Want]] = {}
    for task_id, day in begins.items():
        for item, quantity in used_by(project.plan, project.plan.task[task_id], project.open_count(task_id)):
            if quantity > 0:
                spare = 1 + project.plan.item[item].spare
                wants.setdefault(item, []).append(_Want(day, quantity * spare, task_id))
    return wants


def _draw_on_stock(project: Project, item: Item, wants: list[_Want]) -> tuple[list[_Want], list[Lot], list[_Want]]:
    """Take an item's lots, soonest to expire first, then what is on order.

    Returns what is short, what is left of the lots, and what has to come from the order on its way.
    """
    stock = project.stock(item.id)
    lots = sorted(stock.lots, key=lambda lot: lot.expires or date.max)
    have = [lot.have for lot in lots]
    on_order = stock.on_order.quantity if stock.on_order is not None else 0.0
    short: list[_Want] = []
    coming: list[_Want] = []
    for want in wants:
        open_quantity = want.quantity
        for place, lot in enumerate(lots):
            if lot.expires is None or lot.expires >= want.day:
                taken = min(open_quantity, have[place])
                have[place] -= taken
                open_quantity -= taken
        taken = min(open_quantity, on_order)
        on_order -= taken
        if taken > _ROUNDING:
            coming.append(_Want(want.day, taken, want.task))
        if open_quantity - taken > _ROUNDING:
            short.append(_Want(want.day, open_quantity - taken, want.task))
    return short, [Lot(left, lot.expires) for left, lot in zip(have, lots, strict=True)], coming


def _late(project: Project, item: Item, coming: list[_Want], until: date) -> Iterator[Late]:
    on_order = project.stock(item.id).on_order
    expected = on_order.expected if on_order is not None else None
    first = next((want for want in coming if expected is None or want.day < expected), None)
    if first is not None and first.day <= until:
        quantity = sum(want.quantity for want in coming if want.day == first.day)
        yield Late(item.id, item.title, item.unit, _whole(item, quantity), expected, first.task, first.day)


def _whole(item: Item, quantity: float) -> float:
    """Return a quantity as it can be had: fasteners and parts in whole pieces."""
    return round(quantity, 3) if item.kind == "consumable" else ceil(quantity - _ROUNDING)


def _going_off(item: Item, left: list[Lot], wants: list[_Want], today: date, until: date) -> Iterator[GoingOff]:
    for lot in left:
        if lot.expires is None or lot.have <= _ROUNDING or not today <= lot.expires <= until:
            continue
        later = next((want for want in wants if want.day > lot.expires), None)
        if later is not None:
            yield GoingOff(item.id, item.title, item.unit, round(lot.have, 3), lot.expires, later.task, later.day)


def _order(item: Item, due: list[_Want], lead: timedelta) -> Order:
    quantity = _whole(item, sum(want.quantity for want in due))
    tasks = tuple(dict.fromkeys(want.task for want in due))
    return Order(item.id, item.title, item.unit, item.supplier, quantity, due[0].day - lead, due[0].day, tasks)
