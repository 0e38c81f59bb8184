"""Every mistake of a plan file is named in one go, in the order of the file, with line and mend."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.files.shops import HEAD, plan_from, task

from fitup.files import text_in
from fitup.files.plan_toml import PlanMistakes, plan_draft, plan_findings, read_plan
from fitup.files.shop import Shop
from fitup.model.refusal import Refused

_LINES = HEAD.count("\n")


def mistakes_of(shop: Shop, text: str) -> list[tuple[int | None, str, str]]:
    """Return (line, rule, sentence) of every mistake."""
    path = shop.projects / "plan.toml"
    path.write_text(text, encoding="utf-8")
    plan, findings = plan_findings(path, shop)
    assert (plan is None) == bool(findings)
    return [(finding.line, finding.rule, f"{finding.says}; {finding.mend}") for finding in findings]


@pytest.mark.parametrize(
    ("line", "rule", "says"),
    [
        ("count = -2", "value", "`count` is -2, out of sense; write at least 1"),
        ("count = 0", "value", "write at least 1"),
        ("count = 1.5", "type", "`count` is 1.5; write a whole number"),
        ("count = true", "type", "`count` is true; write a whole number"),
        ('count = "3"', "type", "write a whole number"),
        ("cuont = 3", "unknown-key", "did you mean `count`?"),
        ("zzz = 3", "unknown-key", "`zzz` is no key here"),
        ("crew = 3", "value", "write at most 2"),
        ("sheets = [0.5, 0]", "value", "sheets 2 is 0, out of sense; write more than 0"),
        ("pitch = inf", "type", "write a number that is finite"),
        ("pitch = nan", "type", "write a number that is finite"),
        ("minutes = [1, 2]", "value", "`minutes` has 2 elements; write 3"),
        ("minutes = [-1, 2, 3]", "value", "write at least 0"),
        ("temperature = [30, 20]", "value", "its low figure above its high one"),
        ("humidity = [0, 120]", "value", "write at most 100"),
        ("photo = 1", "type", "write true or false"),
        ("after = 'x'", "type", "write a list in [ ]"),
        ("needs = [1]", "type", "write a table in { }"),
        ("note = 'a'\nnote = 'b'", "toml", "not TOML"),
        (r'note = "a\u001b[31m"', "value", "holds the control character U+001B"),
        (r'ref = "a\u0000"', "value", "holds the control character U+0000"),
        (r'ref = "a\u202e"', "value", "holds the control character U+202E"),
        (r'ref = "a\nb"', "value", "holds the control character U+000A"),
        ("one-go = 'x'\ncheck = {kind = 'spread'}", "missing-key", "`limit` is missing"),
        ("check = {kind = 'straight'}", "missing-key", "`limit` is missing"),
        ("check = {kind = 'sample', low = 1}", "missing-key", "`n` is missing"),
        ("check = {kind = 'range'}", "value", "`check` lacks its limits"),
        ("check = {kind = 'range', low = 3, high = 1}", "value", "low above high"),
        ("check = {kind = 'guess'}", "type", '`kind` is "guess"; write one of range'),
        ("check = {limit = 3}", "missing-key", "`kind` is missing"),
        ("holds = [{kind = 'cure', until = 'a'}]", "missing-key", "`hours` is missing"),
        ("holds = [{kind = 'cure', until = 'a', hours = -1}]", "value", "write at least 0"),
        ("holds = [{kind = 'sign-off'}]", "missing-key", "`by` is missing"),
        ("holds = [{kind = 'wish'}]", "type", '`kind` is "wish"; write one of after'),
        ("holds = [{until = 'a'}]", "missing-key", "`kind` is missing"),
        ("holds = [{kind = 'after', until = 'a', hours = 3}]", "unknown-key", "`hours` is no key here"),
        ("holds = [{kind = 'sign-off', by = 'x', expected = '2026-12-12'}]", "type", "without quotes"),
        ("holds = [{kind = 'sign-off', by = 'x', expected = 2026-02-30}]", "toml", "invalid date"),
        ("holds = [{kind = 'sign-off', by = 'x', expected = 0001-01-01}]", "value", "is in the year 1"),
        ("within = {of = 'a', hours = 2, from = 'middle'}", "type", 'write "begin" or "finish"'),
    ],
)
def test_a_mistake_in_a_task_is_named_with_line_and_mend(shop: Shop, line: str, rule: str, says: str) -> None:
    found = mistakes_of(shop, HEAD + task("a") + task("b", line))
    where = _LINES + 5 + 6 + line.count("\n")
    assert [(at, kind) for at, kind, _ in found] == [(where, rule)]
    assert says in found[0][2]


@pytest.mark.parametrize("kind", ["after", "check", "cure", "access", "leave-off"])
def test_holds_on_tasks_need_their_task(shop: Shop, kind: str) -> None:
    hours = ", hours = 2" if kind == "cure" else ""
    found = mistakes_of(shop, HEAD + task("a", f'holds = [{{kind = "{kind}"{hours}}}]'))
    assert [rule for _, rule, _ in found] == ["missing-key"]
    assert "`until` is missing" in found[0][2]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('after = ["flap.rivot"]', 'no task "flap.rivot"; did you mean "flap.rivet"?'),
        ('holds = [{kind = "leave-off", until = "x"}]', 'no task "x"'),
        ('holds = [{kind = "supply", item = "sealent"}]', 'no item "sealent"; did you mean "sealant"?'),
        ('within = {of = "x", hours = 2}', 'no task "x"'),
        ('clecos = {size = "3/32", count = 2, until = "x"}', 'no task "x"'),
        ('occupies = {tool = "tabel", until = "flap.rivet"}', 'no tool "tabel"; did you mean "table"?'),
        ("needs = {primre = 3}", 'no item "primre"'),
        ('tools = ["dril"]', 'no tool "dril"; did you mean "drill"?'),
        ('inside = ["bay-7"]', 'no bay "bay-7"; did you mean "bay-1"?'),
        ('closes = ["bay-7"]', 'no bay "bay-7"'),
    ],
)
def test_an_unknown_id_is_named_with_the_nearest_known_one(shop: Shop, line: str, says: str) -> None:
    parts = '[[bay]]\nid = "bay-1"\ntitle = "B"\n[[item]]\nid = "sealant"\ntitle = "S"\n'
    text = HEAD + parts + task("flap.rivet") + task("b", line)
    found = mistakes_of(shop, text)
    assert [(at, rule) for at, rule, _ in found] == [(text.count("\n"), "dangling")]
    assert says in found[0][2]


def test_unknown_assemblies_and_kinds_of_work_are_named(shop: Shop) -> None:
    text = HEAD + task("a").replace('"flap"', '"flop"').replace('"drill"', '"dril"')
    assert mistakes_of(shop, text) == [
        (_LINES + 4, "dangling", 'task "a": there is no assembly "flop"; did you mean "flap"?'),
        (_LINES + 5, "dangling", 'task "a": there is no kind of work "dril"; did you mean "drill"?'),
    ]


def test_every_mistake_is_named_in_one_go_in_the_order_of_the_file(shop: Shop) -> None:
    text = HEAD + task("a", "count = -1", 'after = ["nowhere"]') + task("b", "colour = 3", 'after = ["c"]')
    text += task("c", 'after = ["b"]') + task("c")
    rules = [(line, rule) for line, rule, _ in mistakes_of(shop, text)]
    assert rules == [
        (_LINES + 6, "value"),
        (_LINES + 7, "dangling"),
        (_LINES + 13, "unknown-key"),
        (_LINES + 14, "circle"),
        (_LINES + 22, "same-id"),
    ]


def test_the_shortest_circle_is_named(shop: Shop) -> None:
    text = HEAD + task("a", 'after = ["d"]') + task("b", 'after = ["a"]') + task("c", 'after = ["b"]')
    text += task("d", 'after = ["c"]', 'holds = [{kind = "cure", until = "b", hours = 3}]')
    (found,) = mistakes_of(shop, text)
    assert found[1] == "circle"
    assert '"a" waits for "d", "d" waits for "b", "b" waits for "a"' in found[2]


def test_a_task_that_waits_for_itself_is_a_circle(shop: Shop) -> None:
    (found,) = mistakes_of(shop, HEAD + task("a", 'after = ["a"]'))
    assert found == (_LINES + 6, "circle", 'task "a": it waits for itself; take one of these holds out')


def test_a_window_closes_a_circle_too(shop: Shop) -> None:
    text = HEAD + task("a", 'after = ["b"]') + task("b", 'within = {of = "a", hours = 2}')
    assert [rule for _, rule, _ in mistakes_of(shop, text)] == ["circle"]


@pytest.mark.parametrize("sort", ["assembly", "bay", "tool", "item"])
def test_the_same_id_twice_is_refused(shop: Shop, sort: str) -> None:
    twice = f'[[{sort}]]\nid = "same"\ntitle = "S"\n' * 2
    found = mistakes_of(shop, HEAD + twice)
    assert [(line, rule) for line, rule, _ in found] == [(_LINES + 5, "same-id")]
    assert f"the first in line {_LINES + 2}" in found[0][2]


@pytest.mark.parametrize("bad", ["Flap", "a b", "a_b", "", "\u00e4", "a" * 101])
def test_bad_ids_are_refused(shop: Shop, bad: str) -> None:
    found = mistakes_of(shop, HEAD + task(bad))
    assert [rule for _, rule, _ in found] == ["value"]
    assert "is no id" in found[0][2]


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("fitup = 2", 1, "`fitup` is 2; write 1"),
        ("", 1, "`fitup` is missing"),
        ("fitup = 1\ntasks = []", 2, "did you mean `task`?"),
        ("fitup = 1\ntask = 3", 2, "`task` is 3; write a list"),
        ("fitup = 1\ntask = [3]", 2, "task 1 is 3; write a table"),
        ("fitup = 1\nfrom = 3", 2, "`from` is 3; write a list"),
        ("fitup = 1\nfrom = [3]", 2, "[[from]] 1:"),
        ("fitup = 1\nuse = ['../../etc/passwd']", 2, "names no library"),
        ("fitup = 1\nlength-unit = 'cubit'", 2, 'write "mm" or "in"'),
        ("fitup = 1\ntitle = 'a", 2, "not TOML"),
        ("fitup = 1\n[[task]\n", 2, "not TOML"),
        ("fitup = 1\nx = " + "[" * 4000, None, "nested too deeply"),
        ("fitup = 1\nx = " + "9" * 6000, None, "not TOML"),
    ],
)
def test_a_file_that_is_no_plan_is_refused_in_a_sentence(shop: Shop, text: str, line: int | None, says: str) -> None:
    found = mistakes_of(shop, text)
    assert found[0][0] == line
    assert any(says in sentence for _, _, sentence in found), found


def test_the_refusal_names_file_and_line_on_every_line(shop: Shop) -> None:
    with pytest.raises(PlanMistakes) as caught:
        plan_from(shop, HEAD + task("a", "count = -1", "crew = 4"))
    path = shop.projects / "plan.toml"
    lines = str(caught.value).splitlines()
    assert [line.split(": ")[0] for line in lines] == [f"{path}:{_LINES + 6}", f"{path}:{_LINES + 7}"]


def test_a_file_too_large_is_refused_before_it_is_parsed(shop: Shop) -> None:
    path = shop.projects / "plan.toml"
    path.write_bytes(b"#" * 10_000_000)
    with pytest.raises(Refused, match="larger than 2 MB"):
        read_plan(path, shop)


def test_text_that_is_not_utf8_is_refused_with_its_line(shop: Shop) -> None:
    path = shop.projects / "plan.toml"
    path.write_bytes(b'fitup = 1\ntitle = "\xff"\n')
    with pytest.raises(PlanMistakes, match=r"plan\.toml:2: not UTF-8 text"):
        read_plan(path, shop)


def test_a_missing_file_a_folder_and_an_odd_name_are_refused(shop: Shop) -> None:
    for path, says in (
        (shop.projects / "none.toml", "there is no plan"),
        (shop.projects, "is a folder"),
        (Path("/dev/null"), "is not an ordinary file"),
        (Path("a\0b"), "cannot be read|there is no plan"),
        (Path("a" * 400), "cannot be read|there is no plan"),
    ):
        with pytest.raises(Refused, match=says):
            read_plan(path, shop)


def test_mistakes_in_the_shop_are_named_with_their_own_file(shop: Shop) -> None:
    (shop.shared / "work.toml").write_text('[[work]]\nid = "drill"\ntitle = "D"\nseconds = [1, 2]\n')
    found = mistakes_of(shop, HEAD + task("a"))
    assert found[0][1] == "shop"
    assert "work.toml:4: `seconds` has 2 elements" in found[0][2]


def test_a_tool_that_only_the_work_table_names_must_be_somewhere(shop: Shop) -> None:
    (shop.shared / "tools.toml").write_text('[[tool]]\nid = "table"\ntitle = "T"\n')
    found = mistakes_of(shop, HEAD + task("a"))
    assert [rule for _, rule, _ in found] == ["dangling"]
    assert mistakes_of(shop, HEAD + '[[tool]]\nid = "drill"\n' + task("a")) == []


def test_limit_is_generous_for_large_plans() -> None:
    assert text_in.LARGEST_FILE >= 2 * 2000 * 450


@pytest.mark.parametrize(
    ("extra", "reviewed"),
    [
        ("after = ['nowhere']", True),
        ("holds = [{kind = 'cure', until = 'a', hours = 2}]\nneeds = {moon = 1}", True),
        ("tools = ['no-such-tool']\ninside = ['no-bay']", True),
        ("after = ['a']", True),
        ("count = 'x'\nafter = ['nowhere']", False),
        ("cuont = 3", False),
    ],
)
def test_plan_refused_only_for_how_it_hangs_together_can_still_be_reviewed(
    shop: Shop, extra: str, reviewed: bool
) -> None:
    path = shop.projects / "plan.toml"
    path.write_text(HEAD + task("a", extra), encoding="utf-8")
    draft, findings = plan_draft(path, shop)
    assert findings
    assert plan_findings(path, shop) == (None, findings)
    assert (draft is not None) == reviewed
    assert draft is None or "a" in draft.task


def test_review_of_a_refused_plan_knows_work_and_tools_that_nobody_has(shop: Shop) -> None:
    path = shop.projects / "plan.toml"
    path.write_text(HEAD + task("a", "tools = ['wand']").replace('"drill"', '"fly"'), encoding="utf-8")
    draft, findings = plan_draft(path, shop)
    assert {finding.rule for finding in findings} == {"dangling"}
    assert draft is not None
    assert draft.work["fly"].title == "fly"
    assert "wand" not in draft.tool
