"""Whatever stands in a plan file, the reader answers with a plan or with sentences."""

from __future__ import annotations

import copy
import tempfile
import tomllib
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.files.shops import make_shop
from tests.files.test_plan_read import FULL, USED

from fitup.files.plan_reader import Reader
from fitup.files.plan_toml import plan_findings
from fitup.files.shop import Shop

_VALUES: st.SearchStrategy[Any] = st.recursive(
    st.booleans()
    | st.integers()
    | st.floats()
    | st.sampled_from(("", "a", "{holes}", "flap.twist", "x" * 500, "\x1b[0m", "cure", 10**400, -(10**30)))
    | st.sampled_from((date(2026, 1, 1), datetime(2026, 1, 1, 10), time(10))),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(("id", "kind", "until", "")), inner),
    max_leaves=4,
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the path of everything inside a document."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found = [(*path, key) for key, _ in inner]
    for key in list(found):
        found += places(value[key[-1]], key)
    return found


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_a_document_with_anything_anywhere_gives_a_plan_or_sentences(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from((FULL, USED)))
    raw = tomllib.loads(text)
    document = copy.deepcopy(raw)
    for path in data.draw(st.lists(st.sampled_from(places(raw)), min_size=1, max_size=2)):
        here = document
        for key in path[:-1]:
            here = here[key] if isinstance(here, dict | list) and _holds(here, key) else {}
        if isinstance(here, dict) or (isinstance(here, list) and _holds(here, path[-1])):
            here[path[-1]] = data.draw(_VALUES)
    with tempfile.TemporaryDirectory() as folder:
        shop = make_shop(Path(folder) / "shop")
        plan, findings = Reader(Path("plan.toml"), text, document, shop).read()
    assert (plan is None) == bool(findings)
    for finding in findings:
        assert finding.says
        assert finding.says.isprintable()
        assert finding.mend.isprintable()


def _holds(here: Any, key: Any) -> bool:
    return key in here if isinstance(here, dict) else isinstance(key, int) and key < len(here)


@settings(deadline=None, max_examples=100)
@given(st.data())
def test_a_text_cut_and_garbled_anywhere_gives_a_plan_or_sentences(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from((FULL, USED)))
    begin = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(begin, min(len(text), begin + 30)))
    garbled = text[:begin] + data.draw(st.text(max_size=5)) + text[end:]
    with tempfile.TemporaryDirectory() as folder:
        shop = make_shop(Path(folder) / "shop")
        path = shop.projects / "plan.toml"
        path.write_bytes(garbled.encode("utf-8", "surrogatepass"))
        plan, findings = plan_findings(path, shop)
    assert (plan is None) == bool(findings)


def test_a_plan_of_two_thousand_mistakes_names_them_all(tmp_path: Path) -> None:
    shop = make_shop(tmp_path / "shop")
    path = shop.projects / "plan.toml"
    path.write_text("fitup = 1\n" + '[[task]]\nid = "a"\nafter = ["b"]\n' * 1000)
    plan, findings = plan_findings(path, Shop(shop.root))
    assert plan is None
    assert sum(finding.rule == "dangling" for finding in findings) == 1000
    assert sum(finding.rule == "same-id" for finding in findings) == 999
