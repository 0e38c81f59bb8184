"""Every command, as typed: exit codes, JSON keys, sentences, and nothing on standard output when refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.shop_floor import PLAN, make_project, write_plan_file

from fitup.cli.main import run
from fitup.cli.parser import build_parser

NOW = "2026-11-28T09:00"


class Shell:
    """Types commands at a project, at nine in the morning unless said otherwise."""

    def __init__(self, project: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.project = project
        self.capsys = capsys

    def __call__(self, *words: str, now: str = NOW, code: int = 0) -> str:
        """Run a command, check its exit code, and return standard output, or what a refusal says."""
        self.capsys.readouterr()
        given = run([*words, "--project", str(self.project), "--by", "Robin", "--now", now])
        out, err = self.capsys.readouterr()
        assert given == code, err or out
        if code == 2:
            assert out == ""
            assert "Traceback" not in err
            return err
        assert err == ""
        return out

    def json(self, *words: str, now: str = NOW, code: int = 0) -> Any:
        """Run a command with --json and return its answer."""
        return json.loads(self(*words, "--json", now=now, code=code))


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(make_project(tmp_path), capsys)


def test_new_makes_a_project_and_counts_what_is_in_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "made.fitup"
    assert run(["new", str(write_plan_file(tmp_path)), str(target), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["project"] == str(target)
    assert answer["tasks"] == 9
    assert answer["holds"] == 12, "7 written, 2 supplies, 1 order from a window, 2 before closing"
    assert isinstance(answer["findings"], list)
    assert target.exists()


def test_new_refuses_to_write_over_a_project(shell: Shell, tmp_path: Path) -> None:
    before = shell.project.read_bytes()
    assert run(["new", str(write_plan_file(tmp_path)), str(shell.project)]) == 2
    assert shell.project.read_bytes() == before


def test_tasks_tell_state_count_minutes_and_float(shell: Shell) -> None:
    rows = {row["id"]: row for row in shell.json("tasks")["tasks"]}
    assert list(rows) == ["cleco", "twist", "wire", "glue-rib", "mix", "bead", "rivet", "nutplates", "hinge"]
    assert {"id", "state", "reopened", "count", "done", "remaining_minutes", "critical", "float_hours"} <= set(
        rows["cleco"]
    )
    assert rows["glue-rib"]["remaining_minutes"] == 15
    assert rows["twist"]["state"] == "held"
    ready = shell.json("tasks", "--state", "ready")["tasks"]
    assert {row["id"] for row in ready} == {"cleco", "wire", "glue-rib", "mix"}
    shell("tick", "cleco")
    done = shell.json("tasks", "--state", "done")["tasks"]
    assert [(row["id"], row["remaining_minutes"], row["float_hours"]) for row in done] == [("cleco", 0, None)]


def test_holds_of_one_task_lead_down_to_its_roots(shell: Shell) -> None:
    answer = shell.json("holds", "hinge")
    kinds = {(hold["task"], hold["kind"], hold["until"]) for hold in answer["holds"]}
    assert ("hinge", "stop", None) in kinds
    assert ("rivet", "check", "twist") in kinds
    assert ("twist", "after", "cleco") in kinds
    roots = {root["id"] for root in answer["roots"]}
    assert roots == {"cleco", "glue-rib", "wire", "supply:nutplates", "sign-off:hinge", "stop:hinge"}
    expected = {hold["kind"]: hold["expected"] for hold in answer["holds"] if hold["task"] == "hinge"}
    assert expected["sign-off"] == "2026-12-12"


def test_all_holds_show_lifted_and_waived_ones_only_when_asked(shell: Shell) -> None:
    shell("tick", "cleco")
    shell("waive", "rivet", "check", "--why", "seen flat", "--second", "Sam")
    standing = shell.json("holds")["holds"]
    assert {hold["state"] for hold in standing} == {"standing"}
    every = shell.json("holds", "--all")["holds"]
    assert {hold["state"] for hold in every} == {"standing", "lifted", "waived"}


def test_session_and_bench_answer_with_the_agreed_keys(shell: Shell) -> None:
    answer = shell.json("session", "--from", NOW, "--minutes", "120")
    keys = {
        "lines",
        "worth",
        "sheet_terms",
        "bound",
        "proven",
        "likely_minutes",
        "chance",
        "usable_minutes",
        "left_out",
        "waiting",
        "two_people_minutes",
    }
    assert keys <= set(answer)
    assert answer["lines"]
    line = answer["lines"][0]
    assert {"task", "count", "begin", "end", "set_up_minutes", "crew", "who", "terms", "why"} <= set(line)
    assert line["begin"] >= NOW
    assert all(line["end"] <= "2026-11-28T10:50" for line in answer["lines"])
    listed = shell.json("bench", "--from", NOW, "--minutes", "120")
    assert {"tools", "fasteners", "temporary", "consumables", "parts"} <= set(listed)
    (clecos,) = listed["temporary"]
    expected = {"size": "3/32", "now": 20, "out": 0, "have": 30, "short": 0, "peak": 20}
    assert expected.items() <= clecos.items()


def test_acts_answer_with_their_entry_and_what_they_freed(shell: Shell) -> None:
    tick = shell.json("tick", "cleco", "--minutes", "14")
    assert {"task": "cleco", "state": "done", "done": 20, "freed": ["twist"]}.items() <= tick.items()
    assert shell.json("measure", "twist", "root=402.5/400.0", "tip=400/400", code=1)["verdict"] == "fail"
    passed = shell.json("measure", "twist", "root=402.5/402.2", "tip=400.0/400.4")
    assert passed["verdict"] == "pass"
    assert passed["limit"] == 1.0
    assert passed["figure"] == pytest.approx(0.4)
    assert shell.json("stock", "nuts", "+4")["freed"] == ["nutplates"]
    for words in (
        ["note", "wire", "grommet is in the drawer", "--next"],
        ["temperature", "64F", "--low", "6C"],
        ["clock", "start", "wire"],
        ["clock", "stop"],
        ["stock", "glue", "=90", "--expires", "2027-01-10"],
        ["arrived", "glue"],
        ["stop", "--ref", "drawing 4", "--why", "misprint"],
        ["lift", "glue-rib", "stop", "--why", "answered"],
        ["sign", "hinge", "--as", "inspector"],
        ["cure", "rivet", "--until", "glue-rib", "--hours", "24", "--why", "cold tin"],
        ["reopen", "cleco", "--count", "2", "--why", "slipped"],
        ["tick", "mix", "--at", "2026-11-28T08:50"],
        ["again", "mix"],
        ["undo"],
        ["redo"],
    ):
        answer = shell.json(*words)
        assert isinstance(answer["entry"], int)
        assert isinstance(answer["freed"], list)
    check = shell.json("check-file")
    assert check == {"ok": True, "entries": 20, "wrong": []}
    assert len(shell.json("log")["entries"]) == 20


def test_a_shop_below_zero_is_no_option(shell: Shell) -> None:
    assert "shop -5 C, low -8 C" in shell("temperature", "-5C", "--low", "-8C")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["tick", "rivet"], "rivet is held and cannot be ticked"),
        (["tick", "cleco", "--count", "many"], "--count 'many' is not a whole number"),
        (["tick", "cleco", "--at", "2026-02-30T10:00"], "is not a time"),
        (["measure", "twist"], "no readings given; write root=0.0/0.0 tip=0.0/0.0"),
        (["stock", "glue", "5"], "write +N, -N or =N"),
        (["stock", "glue", "+5", "--expires", "2026-13-01"], "is not a date of the calendar"),
        (["temperature", "warm"], "write it as 18C or 64F"),
        (["session", "--minutes", "0"], "a session of 0 minutes cannot be planned"),
        (["session", "--helper", "all day"], "write it as 09:00-10:30"),
        (["session", "--helper", "29:00-30:00"], "is not a clock time"),
        (["session", "--sure", "80"], "a certainty of 80 cannot be"),
        (["session", "--first", "rivit"], "did you mean rivet?"),
        (
            ["session", "--minutes", "30", "--clean-up", "40"],
            "40 minutes does not fit in a session of 30",
        ),
        (["tasks", "--assembly", "tail"], "there is no assembly 'tail'"),
        (["show", "\x1b[31mred"], "there is no task '[31mred'"),
        (["tick"], "the following arguments are required: TASK"),
        (["fly"], "there is no command or project 'fly'"),
        (["export", "plan", "/nowhere/at/all.toml"], "cannot be written"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_code_2(shell: Shell, words: list[str], says: str) -> None:
    err = shell(*words, code=2)
    assert says in err
    assert err.count("\n") == 1
    assert "\x1b" not in err


def test_a_plan_goes_out_and_comes_back_the_same(shell: Shell, tmp_path: Path) -> None:
    out = tmp_path / "out.toml"
    shell("export", "plan", str(out))
    assert "already there" in shell("export", "plan", str(out), code=2)
    answer = shell.json("update", str(out))
    assert answer["entry"] is None
    assert not any(answer[key] for key in ("added", "changed", "removed", "finished", "unfinished", "shut_in"))


def test_update_shows_first_and_keeps_progress(shell: Shell, tmp_path: Path) -> None:
    shell("tick", "cleco", "--count", "12")
    edited = tmp_path / "edited.toml"
    edited.write_text(PLAN.replace('title = "Lay the wire"', 'title = "Lay the wire and tie it"'), encoding="utf-8")
    shown = shell.json("update", str(edited))
    assert (shown["changed"], shown["entry"]) == (["wire"], None)
    assert shell.json("show", "wire")["title"] == "Lay the wire"
    assert shell.json("update", str(edited), "--yes")["entry"] == 3
    assert shell.json("show", "wire")["title"] == "Lay the wire and tie it"
    assert shell.json("show", "cleco")["done"] == 12
    shell("undo")
    assert shell.json("show", "wire")["title"] == "Lay the wire"


def test_review_of_a_plan_with_a_loop_is_a_no(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = write_plan_file(tmp_path, PLAN.replace('id = "cleco"\n', 'id = "cleco"\nafter = ["hinge"]\n'))
    assert run(["review", str(plan), "--json"]) == 1
    findings = json.loads(capsys.readouterr().out)["findings"]
    assert findings[0]["rule"] == "circle"
    assert {"rule", "level", "where", "says", "mend", "source"} <= set(findings[0])
    assert run(["new", str(plan), str(tmp_path / "x.fitup")]) == 2
    assert not (tmp_path / "x.fitup").exists()


def test_hostile_titles_reach_the_terminal_as_plain_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(make_project(tmp_path), capsys)
    assert "Cleco the skin [front]" in shell("tasks")
    assert "Cleco the skin [front]" in shell("show", "cleco")


def test_help_lists_only_what_works(capsys: pytest.CaptureFixture[str]) -> None:
    text = build_parser().format_help()
    for later in ("forecast", "pace", "import"):
        assert f"    {later} " not in text
    assert run(["help", "plan"]) == 0
    assert "one-go" in capsys.readouterr().out


def test_without_any_project_the_sentence_says_how_to_make_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for part in ("projects", "shared"):
        (tmp_path / part).mkdir()
    monkeypatch.chdir(tmp_path)
    assert run(["tasks"]) == 2
    assert "fitup new PLAN.toml" in capsys.readouterr().err


def test_the_screens_need_a_terminal(shell: Shell, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([str(shell.project)]) == 2
    assert "the screens need a terminal" in capsys.readouterr().err


def test_what_lifts_a_hold_is_said_in_whole_sentences(shell: Shell) -> None:
    shown = shell("holds", "--all")
    assert "standing because" not in shown
    assert "lifted when Cleco" in shown
    partly = shell("tick", "cleco", "--count", "12")
    assert "in all 12 of 20: under way" in partly
    assert "in all 20 of 20: done" in shell("tick", "cleco")


@pytest.mark.parametrize("year", ["0001", "1899", "3000", "9999"])
def test_a_year_of_no_build_is_refused(shell: Shell, year: str) -> None:
    assert "no time of a build" in shell("session", "--from", f"{year}-12-31T23:59", code=2)
    assert "no time of a build" in shell("tick", "cleco", now=f"{year}-01-01T00:00", code=2)


def test_a_demo_is_not_made_under_a_name_too_long(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert run(["demo", str(tmp_path / ("9" * 400))]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "cannot be the name of a file" in err


def test_a_clock_time_alone_means_today(shell: Shell) -> None:
    shell("tick", "cleco", "--count", "12", "--at", "8:45")
    assert shell.json("session", "--from", "10:30")["from"] == "2026-11-28T10:30"
    assert "that is still to come" in shell("tick", "cleco", "--at", "23:50", code=2)
    assert "'25:00' is not a time" in shell("tick", "cleco", "--at", "25:00", code=2)


def test_update_says_what_was_done_of_a_task_that_goes(shell: Shell, tmp_path: Path) -> None:
    shell("note", "wire", "half of it lies in the tray")
    shell("tick", "wire")
    edited = tmp_path / "edited.toml"
    begin = PLAN.index('[[task]]\nid = "wire"')
    end = PLAN.find("[[task]]", begin + 1)
    edited.write_text(PLAN[:begin] + (PLAN[end:] if end > 0 else ""), encoding="utf-8")
    assert "removed  wire (" in shell("update", str(edited))


@pytest.mark.parametrize("name", ["/dev/zero", "a\0b", "9" * 400, "/tmp"])
def test_a_photo_that_is_no_file_is_refused(shell: Shell, name: str) -> None:
    assert "give the path of a file" in shell("photo", "cleco", name, code=2)


def test_an_export_to_what_is_no_file_name_is_refused(shell: Shell) -> None:
    assert "cannot be written: that is no file name" in shell("export", "plan", "a\0b", code=2)


def test_a_waived_check_is_told_in_the_answer_and_in_every_record(shell: Shell) -> None:
    mind = "Mind: the check waited for cleco, which is not done; nothing else holds rivet for it"
    answer = shell.json("waive", "rivet", "check", "--why", "looked straight", "--second", "Sam")
    assert answer["warnings"] == [mind]
    assert mind in shell("show", "rivet")
    assert mind in shell("holds", "rivet", "--all")
    assert "seen by Sam: looked straight" in shell("holds", "rivet", "--all")
    assert mind in shell("holds", "--all")
    assert mind in shell("review")
    assert "holding it no more: cleco" in shell("log")


def test_a_tick_prints_the_time_that_it_wrote_and_the_clock_that_it_starts(shell: Shell) -> None:
    said = shell("tick", "glue-rib", "--at", "08:30").splitlines()
    assert said[1:3] == ["finished 08:30", "  cures until 20:30; rivet waits for it"]
    shell("undo")
    answer = shell.json("tick", "glue-rib", "--at", "08:30")
    assert answer["finished_at"] == "2026-11-28T08:30"
    assert answer["started"] == [
        {
            "kind": "cure",
            "tasks": ["rivet"],
            "since": "2026-11-28T08:30",
            "until": "2026-11-28T20:30",
            "witness": False,
        }
    ]


def test_an_update_says_what_it_finishes_and_what_it_opens_again(shell: Shell, tmp_path: Path) -> None:
    shell("tick", "cleco", "--count", "12")
    smaller = write_plan_file(tmp_path, PLAN.replace("count = 20\nref", "count = 10\nref"))
    assert "finished by this change: cleco (12 of 10 done)" in shell("update", str(smaller), "--yes")
    larger = write_plan_file(tmp_path)
    answer = shell.json("update", str(larger), "--yes")
    assert (answer["finished"], answer["unfinished"]) == ([], ["cleco"])


def test_an_update_says_when_new_work_lies_in_a_bay_that_is_closed(tmp_path: Path, shell: Shell) -> None:
    for words in (
        *(("tick", task) for task in ("cleco", "wire", "glue-rib")),
        ("measure", "twist", "root=402.5/402.2", "tip=400.0/400.4"),
        ("photo", "wire", str(_picture(tmp_path))),
    ):
        shell(*words)
    shell("tick", "rivet", now="2026-11-30T09:00")
    more = PLAN + '\n[[task]]\nid = "hose"\ntitle = "Hose"\nassembly = "tab"\nwork = "fit"\ninside = ["box"]\n'
    plan = write_plan_file(tmp_path, more)
    assert shell.json("update", str(plan), now="2026-11-30T09:00")["shut_in"] == [{"task": "hose", "bay": "box"}]
    said = shell("update", str(plan), now="2026-11-30T09:00")
    assert "! hose is inside inside of the tab, which is closed already (by rivet): reopen that to get at it" in said


def _picture(folder: Path) -> Path:
    path = folder / "wire.jpg"
    path.write_bytes(b"\xff\xd8\xff\xe0\x00\x10JFIF\x00")
    return path
