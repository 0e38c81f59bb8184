"""Verdicts against published accept-and-reject cases and the guard band of ILAC-G8."""

from __future__ import annotations

from typing import cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.model.plan import Check, CheckKind
from fitup.model.progress import Readings, VerdictWord
from fitup.trade.measures import (
    judge,
    judge_check,
    judge_range,
    judge_sample,
    judge_spread,
    judge_straight,
    judge_yes_no,
)
from fitup.trade.mistake import Mistake

# MIL-R-47196A table III (second-hand): shop-head height, inches. .029 and .053 are the published rejects.
HEIGHTS = [
    (0.038, 0.050, 0.029, "fail"),
    (0.038, 0.050, 0.053, "fail"),
    (0.038, 0.050, 0.038, "pass"),
    (0.038, 0.050, 0.050, "pass"),
    (0.038, 0.050, 0.045, "pass"),
    (0.050, 0.070, 0.049, "fail"),
    (0.050, 0.070, 0.050, "pass"),
    (0.050, 0.070, 0.070, "pass"),
    (0.050, 0.070, 0.071, "fail"),
    (0.062, 0.092, 0.061, "fail"),
    (0.062, 0.092, 0.092, "pass"),
    (0.062, 0.092, 0.093, "fail"),
]


@pytest.mark.parametrize(("low", "high", "height", "verdict"), HEIGHTS)
def test_shop_heads_are_judged_as_the_table_says(low: float, high: float, height: float, verdict: str) -> None:
    assert judge_range([height], low=low, high=high, unit="in").verdict == verdict


@pytest.mark.parametrize("width", [0.138, 0.150, 0.158])
def test_the_published_good_head_widths_pass(width: float) -> None:
    """MIL-R-47196A table III, 3/32: at least .122; the published heads of .138 to .158 are good."""
    assert judge(width, low=0.122) == "pass"


# ILAC-G8:09/2019 section 4: guard band w = U; [TL - w, TL + w] is the conditional part.
@pytest.mark.parametrize(
    ("figure", "verdict"),
    [
        (0.0679, "pass"),
        (0.068, "too close to call"),
        (0.0685, "too close to call"),
        (0.070, "too close to call"),
        (0.0705, "too close to call"),
        (0.072, "too close to call"),
        (0.0721, "fail"),
    ],
)
def test_a_figure_in_the_guard_band_is_too_close_to_call(figure: float, verdict: str) -> None:
    assert judge(figure, limit=0.070, uncertainty=0.002) == verdict


def test_without_uncertainty_a_figure_on_its_limit_passes() -> None:
    """ILAC-G8:09/2019: simple acceptance, w = 0."""
    assert judge(0.07, high=0.07) == "pass"
    assert judge(0.05, low=0.05) == "pass"
    assert judge(0.0701, high=0.07) == "fail"


def test_two_faces_at_three_stations_must_agree_within_a_millimetre() -> None:
    """Common practice, no source."""
    good = judge_spread(
        {"root": (402.5, 402.0), "middle": (401.0, 401.6), "tip": (399.9, 400.0)},
        limit=1.0,
        stations=("root", "middle", "tip"),
        faces=("top up", "bottom up"),
    )
    assert (good.verdict, good.figure, good.limit) == ("pass", 0.6, 1.0)
    bad = judge_spread({"root": (402.5, 401.2), "middle": (1, 1), "tip": (2, 2)}, limit=1.0, unit="mm")
    assert (bad.verdict, bad.figure) == ("fail", 1.3)
    assert "root" in bad.detail


def test_decimals_meet_a_limit_exactly() -> None:
    assert 402.6 - 401.6 != 1.0 or 1.1 - 1.0 != 0.1
    assert judge_spread({"root": (1.1, 1.0)}, limit=0.1).verdict == "pass"
    assert judge_spread({"root": (402.6, 401.6)}, limit=1.0).verdict == "pass"


def test_a_spread_near_its_limit_is_too_close_to_call() -> None:
    verdict = judge_spread({"root": (402.5, 401.7)}, limit=1.0, uncertainty=0.3, unit="mm")
    assert verdict.verdict == "too close to call"
    assert "0.3 mm" in verdict.detail


def test_a_missing_or_strange_station_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="no reading at tip"):
        judge_spread({"root": (1, 1)}, limit=1, stations=("root", "tip"))
    with pytest.raises(Mistake, match="'knee' is no station"):
        judge_spread({"root": (1, 1), "knee": (1, 1)}, limit=1, stations=("root",))
    with pytest.raises(Mistake, match="needs 2 readings"):
        judge_spread({"root": (1,)}, limit=1, faces=("top up", "bottom up"))
    with pytest.raises(Mistake, match="two readings"):
        judge_spread({"root": (1,)}, limit=1)
    with pytest.raises(Mistake, match="one station"):
        judge_spread({}, limit=1)


def test_straightness_judges_the_minimum_zone_and_shows_least_squares() -> None:
    """Pearson 1901: the zone is 0.6708..., about the least-squares line 0.7264..."""
    x = (0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4)
    y = (5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5)
    verdict = judge_straight(list(zip(x, y, strict=True)), limit=0.7, unit="mm")
    assert verdict.verdict == "pass"
    assert verdict.figure == pytest.approx(0.67082039325)
    assert "0.726" in verdict.detail
    with pytest.raises(Mistake, match="three places"):
        judge_straight([(0, 1), (1, 1)], limit=1)


@pytest.mark.parametrize(
    ("readings", "uncertainty", "verdict"),
    [
        ([0.045, 0.046, 0.047, 0.048], 0, "pass"),
        ([0.045, 0.046, 0.047, 0.053], 0, "pass"),
        ([0.029, 0.046, 0.047, 0.053], 0, "fail"),
        ([0.053, 0.046, 0.047, 0.0505], 0.001, "too close to call"),
        ([0.0505, 0.046, 0.047, 0.048], 0.001, "pass"),
    ],
)
def test_a_sample_may_have_as_many_out_as_it_allows(readings: list[float], uncertainty: float, verdict: str) -> None:
    """Heads of 3/32, MIL-R-47196A table III; one of four may be out."""
    judged = judge_sample(readings, n=4, allow=1, low=0.038, high=0.050, uncertainty=uncertainty)
    assert judged.verdict == verdict
    assert judged.limit == 1


def test_a_sample_needs_all_its_readings() -> None:
    with pytest.raises(Mistake, match="needs 4 readings, not 3"):
        judge_sample([1, 1, 1], n=4, high=2)


def test_yes_passes_and_no_fails() -> None:
    assert judge_yes_no(True).verdict == "pass"
    assert judge_yes_no(False, "Is it dry?").detail == "Is it dry? no"
    assert judge_yes_no(True).figure is None


def test_a_range_reports_the_reading_nearest_to_its_limit() -> None:
    verdict = judge_range([10.2, 10.9, 10.5], low=10, high=11, unit="mm")
    assert (verdict.verdict, verdict.figure, verdict.limit) == ("pass", 10.9, 11)
    assert judge_range([9.9, 10.9], low=10, high=11).figure == 9.9
    assert judge_range([1], low=2).limit == 2


@pytest.mark.parametrize(
    ("check", "readings", "verdict"),
    [
        (Check("range", low=1, high=2), (("", (1.5,)),), "pass"),
        (Check("sample", low=1, high=2, n=2), (("", (1.5, 3)),), "fail"),
        (Check("yes-no"), (("", (1.0,)),), "pass"),
        (Check("straight", limit=0.1), (("0", (1.0,)), ("1", (1.2,)), ("2", (1.0,))), "fail"),
        (Check("spread", limit=1, stations=("root",)), (("root", (1.0, 1.5)),), "pass"),
    ],
)
def test_each_kind_of_check_is_judged_by_its_rule(check: Check, readings: Readings, verdict: VerdictWord) -> None:
    assert judge_check(check, readings).verdict == verdict


@pytest.mark.parametrize(
    ("check", "readings", "sentence"),
    [
        (Check("range"), (("", (1.0,)),), "no limit"),
        (Check("range", low=1), (), "one reading"),
        (Check("spread"), (("root", (1.0, 1.0)),), "spread check has no limit"),
        (Check("straight", limit=1), (("root", (1.0,)),), "'root' is not a position"),
        (Check("spread", limit=1), (("root", (1.0, 1.0)), ("root", (1.0, 1.0))), "given twice"),
        (Check("yes-no"), (("", (2.0,)),), "yes or no"),
        (Check("range", high=2, uncertainty=-1), (("", (1.0,)),), "below 0"),
        (Check("range", high=2), (("", (float("inf"),)),), "not a number"),
        (Check("range", high=10**400), (("", (1.0,)),), "not a number"),
    ],
)
def test_readings_of_the_wrong_shape_are_refused(check: Check, readings: Readings, sentence: str) -> None:
    with pytest.raises(Mistake, match=sentence):
        judge_check(check, readings)


@settings(deadline=None)
@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(0, 1))
def test_more_uncertainty_never_turns_a_close_call_into_a_verdict(figure: float, limit: float, band: float) -> None:
    plain, guarded = judge(figure, limit=limit), judge(figure, limit=limit, uncertainty=band)
    assert guarded in (plain, "too close to call")


@settings(deadline=None)
@given(st.lists(st.floats(0, 4), min_size=1, max_size=6), st.sampled_from(["range", "sample"]))
def test_a_sample_that_allows_none_out_agrees_with_a_range(readings: list[float], kind: str) -> None:
    check = Check(cast(CheckKind, kind), low=1, high=3)
    inside = all(1 <= reading <= 3 for reading in readings)
    assert judge_check(check, (("", tuple(readings)),)).verdict == ("pass" if inside else "fail")
