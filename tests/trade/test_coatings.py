"""Recoat windows, induction and application times against the coatings and training manuals."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.trade.coatings import (
    application_hours,
    film,
    induction,
    prime_within_hours,
    recoat,
    tiecoat,
)
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
    assert found.stage == stage
    assert "TO 1-1-8" in found.source


@pytest.mark.parametrize(("age", "may"), [(1.9, False), (2.0, True), (8.0, True), (8.1, False)])
def test_a_tie_coat_goes_on_between_two_and_eight_hours(age: float, may: bool) -> None:
    """USAF coatings manual TO 1-1-8 par 5.6 (seen)."""
    assert tiecoat(age) is may


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
    assert induction(product, fahrenheit) == (Fraction(low), Fraction(high))


def test_no_induction_time_is_invented() -> None:
    with pytest.raises(Mistake, match="no source"):
        induction("MIL-P-24441", 40)
    with pytest.raises(Mistake, match="no source"):
        induction("house paint")
    with pytest.raises(Mistake, match="no row"):
        recoat(5, "house paint")


# NAVEDTRA 14315 page 209 (seen) and the class list of AMS-S-8802 (second-hand).
@pytest.mark.parametrize(
    ("sealant", "application", "assembly"),
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
def test_the_dash_number_is_the_application_time(sealant: str, application: float, assembly: float | None) -> None:
    assert application_hours(sealant) == (Fraction(application), assembly)


def test_an_unknown_class_has_no_time() -> None:
    with pytest.raises(Mistake, match="sealant"):
        application_hours("Q-9")


def test_prime_within_two_days_of_scuffing() -> None:
    """USAF coatings manual TO 1-1-8 par 5.6 (seen)."""
    assert prime_within_hours() == 48


# USAF coatings manual TO 1-1-8 table 5-2 (seen), inches.
@pytest.mark.parametrize(("coats", "low", "high"), [(1, 0.0006, 0.0009), (2, 0.0008, 0.0020)])
def test_dry_film_thickness(coats: int, low: float, high: float) -> None:
    assert film(coats) == (Fraction(repr(low)), Fraction(repr(high)))
    with pytest.raises(Mistake, match="no source"):
        film(7)


@settings(deadline=None)
@given(st.floats(0, 100), st.floats(0, 100))
def test_an_older_coat_never_needs_less(one: float, other: float) -> None:
    order = ["not ready", "ready", "reactivate", "scuff"]
    young, old = (order.index(recoat(age).stage) for age in sorted((one, other)))
    assert young <= old
