"""The Holds page: what stands is told once, in the words of the work, and is acted on from its row."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.tui.screens import choose, fill, press, screens, text_of

from fitup.model.asks import AskTick
from fitup.model.plan import Bay, Plan


def two_bays(plan: Plan) -> Plan:
    """Return the plan with a second bay that the same task closes, and the wire inside both."""
    both = ("box", "nose")
    tasks = tuple(
        replace(task, inside=both) if task.id == "wire" else replace(task, closes=both) if task.id == "rivet" else task
        for task in plan.tasks
    )
    return replace(plan, bays=(*plan.bays, Bay("nose", "the nose")), tasks=tasks)


async def test_one_act_awaited_for_two_bays_is_one_row_that_names_both(tmp_path: Path) -> None:
    async with screens(tmp_path, (120, 40), two_bays) as (app, pilot):
        await press(pilot, "3")
        rows = [key for key in app.list._keys if key.startswith("hold rivet\naccess")]
        assert rows == ["hold rivet\naccess\nwire", "hold rivet\naccess\nglue-rib"]
        await choose(app, pilot, "Holds", rows[0])
        detail = " ".join(app.side._draw(index).text.strip() for index in range(app.side.count))
        assert "it closes inside of the tab and the nose" in detail
        await press(pilot, "w")
        await fill(app, pilot, None, "seen from behind", None, "yes")
        assert app.panel.form is None, app.panel.trouble
        assert rows[0] not in app.list._keys


async def test_each_row_can_be_chosen_by_walking_down(tmp_path: Path) -> None:
    async with screens(tmp_path, change=two_bays) as (app, pilot):
        await press(pilot, "3", "home")
        keys = [key for key in app.list._keys if key]
        assert len(keys) == len(set(keys))
        walked = [app.list.chosen]
        for _ in keys[1:]:
            await press(pilot, "down")
            walked.append(app.list.chosen)
        assert walked == keys


async def test_a_cure_that_runs_says_when_it_is_over(tmp_path: Path) -> None:
    async with screens(tmp_path, (120, 40)) as (app, pilot):
        app.board.desk.do(AskTick("glue-rib"))
        app.board.replan()
        await press(pilot, "3")
        assert "cured 21:00" in text_of(app)
