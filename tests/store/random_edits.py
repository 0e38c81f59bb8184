"""Random edits that make sense for a project, of every kind."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

from hypothesis import strategies as st
from tests.strategies import plans

from fitup.model import edits as e
from fitup.model.progress import Project, VerdictWord

START = datetime(2026, 9, 5, 8, 0, tzinfo=UTC)
TEXTS = st.text(st.characters(codec="utf-8"), max_size=8)
FIGURES = st.floats(-1e6, 1e6)
INSTANTS = st.integers(0, 10**6).map(lambda seconds: START + timedelta(seconds=seconds, microseconds=seconds % 7))
DAYS = st.none() | st.dates(date(2026, 1, 1), date(2028, 1, 1))
VERDICTS: tuple[VerdictWord, ...] = ("pass", "fail", "too close to call")
KINDS = st.sampled_from(("after", "cure", "within", "supply"))
Make = Callable[[st.DrawFn, Project], e.Edit]


@st.composite
def edits(draw: st.DrawFn, project: Project) -> e.Edit:
    """Draw one edit that `apply` can trust."""
    return draw(st.sampled_from(_possible(project)))(draw, project)


def _possible(project: Project) -> list[Make]:
    makes: list[Make] = [_plan, _temperature, _lay_out, _stock, _arrive]
    if _open(project):
        makes += [_tick, _tick]
    if any(state.done for task, state in project.progress.tasks.items() if task in project.plan.task):
        makes.append(_reopen)
    if project.plan.tasks:
        makes += [_about, _about, _put_stop, _clock_start]
    if any(task.check for task in project.plan.tasks):
        makes.append(_measure)
    if project.progress.stops:
        makes.append(_lift_stop)
    if project.progress.clocks:
        makes.append(_clock_stop)
    return makes


def _open(project: Project) -> list[str]:
    return [task.id for task in project.plan.tasks if project.open_count(task.id) and task.check is None]


def _any(draw: st.DrawFn, project: Project) -> str:
    return draw(st.sampled_from(project.plan.tasks)).id


def _item(draw: st.DrawFn, project: Project) -> str:
    return draw(st.sampled_from(project.plan.items)).id


def _plan(draw: st.DrawFn, project: Project) -> e.Edit:
    return e.AdoptPlan(draw(plans(most=5)))


def _tick(draw: st.DrawFn, project: Project) -> e.Edit:
    task = draw(st.sampled_from(_open(project)))
    count = draw(st.integers(1, project.open_count(task)))
    used = draw(st.sampled_from(((), ((_item(draw, project), draw(st.floats(0.1, 100))),))))
    at = draw(INSTANTS)
    return e.Tick(task, count, at, at + timedelta(minutes=5), draw(st.none() | st.floats(0, 600)), used)


def _measure(draw: st.DrawFn, project: Project) -> e.Edit:
    task = draw(st.sampled_from([task.id for task in project.plan.tasks if task.check]))
    figures = st.lists(FIGURES, max_size=3).map(tuple)
    readings = draw(st.lists(st.tuples(TEXTS, figures), max_size=3).map(tuple))
    verdict = draw(st.sampled_from(VERDICTS))
    figure = draw(st.none() | FIGURES)
    return e.Measure(task, readings, verdict, figure, figure, draw(INSTANTS), draw(st.booleans()), draw(TEXTS))


def _reopen(draw: st.DrawFn, project: Project) -> e.Edit:
    done = {t: s.done for t, s in project.progress.tasks.items() if s.done and t in project.plan.task}
    task = draw(st.sampled_from(sorted(done)))
    return e.Reopen(task, draw(st.integers(1, done[task])), draw(TEXTS))


def _about(draw: st.DrawFn, project: Project) -> e.Edit:
    """Draw an edit that concerns one task and asks for nothing else."""
    task, until, why = _any(draw, project), _any(draw, project), draw(TEXTS)
    acts: tuple[e.Edit, ...] = (
        e.Again(task),
        e.LiftHold(task, "stop", "", why),
        e.Waive(task, draw(KINDS), until, why, draw(TEXTS)),
        e.Sign(task, draw(TEXTS), draw(INSTANTS)),
        e.SetCure(task, until, draw(st.integers(0, 96)), why),
        e.AddPhoto(task, draw(TEXTS), draw(TEXTS)),
        e.AddNote(task, why, draw(st.booleans())),
    )
    return draw(st.sampled_from(acts))


def _put_stop(draw: st.DrawFn, project: Project) -> e.Edit:
    tasks = draw(st.lists(st.sampled_from([task.id for task in project.plan.tasks]), min_size=1, unique=True))
    return e.PutStop(tuple(tasks), draw(TEXTS))


def _lift_stop(draw: st.DrawFn, project: Project) -> e.Edit:
    task, number = draw(st.sampled_from(sorted(project.progress.stops)))
    return e.LiftStop(task, number, draw(TEXTS))


def _temperature(draw: st.DrawFn, project: Project) -> e.Edit:
    return e.TakeTemperature(draw(st.integers(-20, 40)), draw(st.none() | FIGURES), draw(INSTANTS))


def _clock_start(draw: st.DrawFn, project: Project) -> e.Edit:
    return e.StartClock(draw(st.sampled_from(("", _any(draw, project)))), draw(INSTANTS))


def _clock_stop(draw: st.DrawFn, project: Project) -> e.Edit:
    return e.StopClock(draw(st.sampled_from(sorted(project.progress.clocks))), draw(INSTANTS))


def _stock(draw: st.DrawFn, project: Project) -> e.Edit:
    item, amount = _item(draw, project), draw(st.floats(0, 1e4))
    counted = draw(st.booleans())
    return e.ChangeStock(item, None if counted else amount - 5e3, amount if counted else None, draw(DAYS))


def _arrive(draw: st.DrawFn, project: Project) -> e.Edit:
    return e.Arrive(_item(draw, project), draw(DAYS))


def _lay_out(draw: st.DrawFn, project: Project) -> e.Edit:
    return e.LayOut(draw(st.sampled_from(("tools/rivet-gun", "parts/rib"))), draw(st.booleans()))
