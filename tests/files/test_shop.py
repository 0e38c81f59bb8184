"""The shop folder is found, or made on first use with what fitup ships."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs
import pytest
from tests.files.shops import make_shop

from fitup.files import shop as rooms
from fitup.files.plan_toml import read_plan, write_plan
from fitup.files.shop import Shop, find_shop, shipped_shop, trade_folder
from fitup.files.works import read_tools, read_works
from fitup.model.refusal import Refused


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's data folder, in a place of the test's own, with no other shop in sight."""
    folder = tmp_path / "data" / "fitup"
    monkeypatch.setattr(platformdirs, "user_data_path", lambda *args, **kwargs: folder)
    monkeypatch.delenv("FITUP_SHOP", raising=False)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    return folder


def test_the_given_folder_comes_before_the_environment_and_that_before_here(
    tmp_path: Path, own: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    given, named, here = (make_shop(tmp_path / name) for name in ("given", "named", "here"))
    monkeypatch.chdir(here.root)
    assert find_shop() == here
    monkeypatch.setenv("FITUP_SHOP", str(named.root))
    assert find_shop() == named
    assert find_shop(given.root) == given


def test_the_users_own_shop_is_made_once_and_then_left_alone(own: Path) -> None:
    made = find_shop()
    assert made == Shop(own)
    works = own / "shared" / "work.toml"
    assert works.read_bytes() == (shipped_shop().shared / "work.toml").read_bytes()
    works.write_text("")
    assert find_shop() == made
    assert works.read_text() == ""


def test_project_files_of_a_checkout_are_not_copied(tmp_path: Path, own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shipped = make_shop(tmp_path / "shipped")
    (shipped.projects / "mine.fitup").write_text("x")
    (shipped.projects / "demo.toml").write_text("fitup = 1")
    monkeypatch.setattr(rooms, "shipped_shop", lambda: shipped)
    assert [path.name for path in find_shop().projects.iterdir()] == ["demo.toml"]


def test_a_folder_that_is_no_shop_is_refused(tmp_path: Path, own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for odd in (tmp_path, tmp_path / "none", Path("a\0b"), Path("a" * 5000)):
        with pytest.raises(Refused, match="is no shop folder"):
            find_shop(odd)
    monkeypatch.setenv("FITUP_SHOP", str(tmp_path / "none"))
    with pytest.raises(Refused, match="FITUP_SHOP"):
        find_shop()


def test_a_data_folder_that_cannot_be_made_is_refused_in_a_sentence(own: Path) -> None:
    own.parent.write_text("a file where a folder should be")
    with pytest.raises(Refused, match=r"cannot be made .* name another one with --shop"):
        find_shop()


def test_the_shipped_shop_is_in_order(tmp_path: Path) -> None:
    shipped = shipped_shop()
    works, tools = read_works(shipped), read_tools(shipped)
    assert len(works) >= 25
    assert all(work.source for work in works)
    assert all(work.seconds.low <= work.seconds.likely <= work.seconds.high for work in works)
    assert {tool for work in works for tool in work.tools} <= {tool.id for tool in tools}


def test_the_shipped_plan_reads_and_its_export_needs_no_shop(tmp_path: Path) -> None:
    shipped = shipped_shop()
    plan = read_plan(shipped.projects / "dunlin-left-wing.toml", shipped)
    path = tmp_path / "plan.toml"
    path.write_text(write_plan(plan), encoding="utf-8")
    assert read_plan(path, Shop(tmp_path)) == plan


def test_a_shop_without_libraries_has_no_rows(tmp_path: Path) -> None:
    assert read_works(Shop(tmp_path)) == ()
    assert read_tools(Shop(tmp_path)) == ()


def test_the_same_row_twice_is_refused(shop: Shop) -> None:
    (shop.shared / "tools.toml").write_text('[[tool]]\nid = "a"\ntitle = "A"\n' * 2)
    with pytest.raises(Refused, match='there are two rows "a"'):
        read_tools(shop)


def test_trade_folder_is_that_of_the_shop_and_nothing_is_made_for_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = tmp_path / "shop"
    (shop / "projects").mkdir(parents=True)
    (shop / "shared").mkdir()
    assert trade_folder(shop) is None
    (shop / "shared" / "trade").mkdir()
    assert trade_folder(shop) == shop / "shared" / "trade"
    with pytest.raises(Refused, match="is no shop folder"):
        trade_folder(tmp_path)
    monkeypatch.chdir(tmp_path)
    home = Path(os.environ["HOME"])
    assert trade_folder() is None
    assert list(home.iterdir()) == []
    monkeypatch.chdir(shop)
    assert trade_folder() == shop / "shared" / "trade"
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FITUP_SHOP", str(shop))
    assert trade_folder() == shop / "shared" / "trade"
