"""Dissimilar metals: groups of Niu (1988), levels of MIL-STD-889C, protection of the handbooks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.metals import group, metal_remarks, pair, protection
from fitup.trade.tables import tables

KNOWN = [row.text("metal") for row in tables().matching("metals", "metal")]


# M. Niu, Airframe Structural Design (1988), seen.
@pytest.mark.parametrize(
    ("metal", "wanted"),
    [
        ("magnesium", "I"),
        ("aluminium", "II"),
        ("Aluminum", "II"),
        ("2024-T3", "II"),
        ("6061-t6", "II"),
        ("zinc", "II"),
        ("cadmium", "II"),
        ("steel", "III"),
        ("4130", "III"),
        ("tin", "III"),
        ("lead", "III"),
        ("stainless", "IV"),
        ("titanium", "IV"),
        ("monel", "IV"),
        ("copper", "IV"),
        ("brass", "IV"),
        ("silver", "IV"),
        ("graphite", "V"),
        ("gold", "V"),
        ("platinum", "V"),
        ("unobtainium", ""),
    ],
)
def test_metals_stand_in_their_groups(metal: str, wanted: str) -> None:
    assert group(metal) == wanted


@pytest.mark.parametrize(
    ("one", "other", "needs", "gives_way"),
    [
        ("aluminium", "stainless", True, "aluminium"),
        ("aluminium", "titanium", True, "aluminium"),
        ("brass", "aluminium", True, "aluminium"),
        ("aluminium", "cadmium plated steel", False, ""),
        ("aluminium", "2024-T3", False, ""),
        ("magnesium", "aluminium", True, "magnesium"),
        ("steel", "graphite", True, "steel"),
        ("gold", "graphite", True, ""),
        ("graphite", "graphite", False, ""),
    ],
)
def test_different_groups_need_protection_and_the_lower_one_corrodes(
    one: str, other: str, needs: bool, gives_way: str
) -> None:
    judged = pair(one, other)
    assert judged is not None
    assert (judged.needs, judged.gives_way) == (needs, gives_way)


# MIL-STD-889C table I (second-hand): protection level of aluminium in marine air, 1 the most.
@pytest.mark.parametrize(
    ("other", "level"), [("copper", 2), ("titanium", 3), ("silver", 1), ("gold", 1), ("graphite", 1)]
)
def test_published_protection_levels(other: str, level: int) -> None:
    judged = pair("aluminium", other)
    assert judged is not None
    assert judged.level == level
    assert "MIL-STD-889C" in judged.source


def test_bare_aluminium_on_stainless_warns_and_says_what_helps() -> None:
    (warning,) = metal_remarks(["aluminium", "stainless"])
    assert warning.level == "warning"
    assert "aluminium corrodes" in warning.says
    assert "two coats of primer" in warning.says
    assert "handbook" in warning.source


@pytest.mark.parametrize("word", ["primer", "epoxy primer", "gasket", "sealant", "Hard anodized", "cadmium plate"])
def test_a_published_protection_satisfies(word: str) -> None:
    assert protection(word) is not None
    assert metal_remarks(["aluminium", "titanium"], word) == ()


def test_never_a_silent_pass() -> None:
    (unknown,) = metal_remarks(["aluminium", "unobtainium"])
    assert (unknown.level, "unobtainium" in unknown.says) == ("note", True)
    assert len(metal_remarks(["aluminium", "unobtainium"], "primer")) == 1
    (odd,) = metal_remarks(["aluminium", "steel"], "good wishes")
    assert (odd.level, "good wishes" in odd.says) == ("note", True)


@settings(deadline=None)
@given(st.sampled_from(KNOWN), st.sampled_from(KNOWN))
def test_a_pair_is_judged_alike_from_both_sides(one: str, other: str) -> None:
    here, there = pair(one, other), pair(other, one)
    assert here is not None
    assert there is not None
    assert (here.needs, here.gives_way, here.level) == (there.needs, there.gives_way, there.level)
    assert bool(metal_remarks([one, other])) == here.needs
