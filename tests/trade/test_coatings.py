"""Recoat windows, induction and application times against the coatings and training manuals."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.coatings import film, induction, most_mixed, prime_within, primers, recoat, sealant, tiecoat
from fitup.trade.mistake import Mistake


# USAF coatings manual TO 1-1-8 par 5.6, MIL-PRF-23377 at 75 F (seen).
@pytest.mark.parametrize(
    ("age", "stage"),
    [
        (4.9, "not ready"),
        (5.0, "ready"),
        (8.0, "ready"),
        (8.1, "reactivate"),
        (24.0, "reactivate"),
        (24.1, "scuff"),
    ],
)
def test_what_epoxy_primer_needs_at_its_age(age: float, stage: str) -> None:
    found = recoat(age)
    assert found is not None
    assert found.stage == stage
    assert "TO 1-1-8" in found.source


def test_a_tie_coat_goes_on_between_two_and_eight_hours() -> None:
    """USAF coatings manual TO 1-1-8 par 5.6 (seen)."""
    found = tiecoat()
    assert found is not None
    assert (found.low, found.high) == (Fraction(2), Fraction(8))


# MO-124 (NAVFAC), MIL-P-24441 (seen); TO 1-1-8 par 6.12.6.3, MIL-PRF-23377 (seen).
@pytest.mark.parametrize(
    ("product", "fahrenheit", "low", "high"),
    [
        ("MIL-P-24441", 55, 2.0, 2.0),
        ("MIL-P-24441", 65, 1.0, 1.5),
        ("MIL-P-24441", 75, 0.5, 1.0),
        ("MIL-PRF-23377", 75, 0.5, 0.5),
        ("MIL-PRF-23377", None, 0.5, 0.5),
    ],
)
def test_a_mix_stands_before_use(product: str, fahrenheit: float | None, low: float, high: float) -> None:
    found = induction(product, fahrenheit)
    assert found is not None
    assert (found.low, found.high) == (Fraction(low), Fraction(high))


def test_what_no_source_tells_is_not_invented() -> None:
    assert induction("MIL-P-24441", 40) is None
    assert induction("MIL-P-24441") is None
    paint = "house paint"
    assert (induction(paint), recoat(5, paint), tiecoat(paint), film(1, paint)) == (None, None, None, None)
    assert (most_mixed(paint), prime_within(paint), film(7)) == (None, None, None)
    assert primers() == ("MIL-PRF-23377", "MIL-P-24441")


# NAVEDTRA 14315 page 209 (seen) and the class list of AMS-S-8802 (second-hand).
@pytest.mark.parametrize(
    ("name", "application", "assembly"),
    [
        ("A-1/2", 0.5, None),
        ("B-1/2", 0.5, None),
        ("b-2", 2, None),
        ("B-4", 4, None),
        ("C-8(20)", 8, 20),
        ("C-8(48)", 8, 48),
        ("C-24(80)", 24, 80),
    ],
)
def test_the_dash_number_is_the_application_time(name: str, application: float, assembly: float | None) -> None:
    found = sealant(name)
    assert (found.application, found.assembly) == (Fraction(application), assembly)


def test_an_unknown_class_has_no_time() -> None:
    with pytest.raises(Mistake, match=r"B-2, B-4"):
        sealant("Q-9")


def test_prime_within_two_days_of_scuffing_and_mix_for_four_hours() -> None:
    """USAF coatings manual TO 1-1-8 par 5.6 and par 6.12.6.3 (seen)."""
    scuffed, mixed = prime_within(), most_mixed()
    assert scuffed is not None
    assert mixed is not None
    assert (scuffed[0], mixed[0]) == (Fraction(48), Fraction(4))


# USAF coatings manual TO 1-1-8 table 5-2 (seen), inches.
@pytest.mark.parametrize(("coats", "low", "high"), [(1, 0.0006, 0.0009), (2, 0.0008, 0.0020)])
def test_dry_film_thickness(coats: int, low: float, high: float) -> None:
    found = film(coats)
    assert found is not None
    assert (found.low, found.high) == (Fraction(repr(low)), Fraction(repr(high)))


@settings(deadline=None)
@given(st.floats(0, 100), st.floats(0, 100))
def test_an_older_coat_never_needs_less(one: float, other: float) -> None:
    order = ["not ready", "ready", "reactivate", "scuff"]
    young, old = (order.index(found.stage) for age in sorted((one, other)) if (found := recoat(age)) is not None)
    assert young <= old
