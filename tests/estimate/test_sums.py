"""Sums of three-point times against simulation, and against published PERT examples."""

from math import exp, sqrt
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.estimate import PACE_SD, chance_within, log_sd, total
from fitup.estimate.sums import chance_of, mean_and_variance
from fitup.model.plan import ThreePoint

PARTS = (
    ThreePoint(8, 12, 20),
    ThreePoint(30, 45, 80),
    ThreePoint(3, 4, 9),
    ThreePoint(20, 25, 31),
    ThreePoint(5, 15, 40),
)


def drawn(parts: tuple[ThreePoint, ...], pace_sd: float, runs: int = 20_000) -> list[float]:
    random = Random(11)
    sums = []
    for _ in range(runs):
        pace = exp(random.gauss(0, pace_sd))
        sums.append(pace * sum(part.likely * exp(random.gauss(0, log_sd(part))) for part in parts))
    return sorted(sums)


@pytest.mark.parametrize("pace_sd", [0.0, PACE_SD, 0.4])
def test_the_sum_agrees_with_simulation(pace_sd: float) -> None:
    sums = drawn(PARTS, pace_sd)
    found = total(PARTS, pace_sd)
    mean = sum(sums) / len(sums)
    assert found.mean == pytest.approx(mean, rel=0.01)
    assert found.sd == pytest.approx(sqrt(sum((x - mean) ** 2 for x in sums) / len(sums)), rel=0.08)
    for figure, share in ((found.p10, 0.1), (found.p50, 0.5), (found.p80, 0.8), (found.p90, 0.9)):
        assert figure == pytest.approx(sums[int(share * len(sums))], rel=0.05)


@pytest.mark.parametrize("minutes", [80, 100, 115, 140, 180])
def test_the_chance_of_finishing_agrees_with_simulation(minutes: float) -> None:
    sums = drawn(PARTS, PACE_SD)
    share = sum(1 for x in sums if x + 5 <= minutes) / len(sums)
    assert chance_within(PARTS, minutes, fixed=5) == pytest.approx(share, abs=0.022)


def pert(low: float, likely: float, high: float) -> tuple[float, float]:
    """Mean and variance of PERT: (a + 4m + b) / 6 and ((b - a) / 6) squared."""
    return (low + 4 * likely + high) / 6, ((high - low) / 6) ** 2


@pytest.mark.parametrize(
    ("path", "minutes", "published"),
    [
        # University of North Carolina at Greensboro, SCM 304, unit 6.3.1: critical path A-C-E-G, 23 weeks,
        # variance 2.7778; the published chances are those of the normal distribution
        (((6, 7, 14), (2, 3, 4), (5, 5.5, 9), (4, 6, 8)), 25, 0.8849),
        (((6, 7, 14), (2, 3, 4), (5, 5.5, 9), (4, 6, 8)), 20, 0.0359),
        # Textbook network 1-3-5-7 (flylib), 24 weeks
        (((5, 8, 17), (3, 5, 7), (4, 6, 8), (3, 4, 5)), 28, 0.9633),
        # Hendrickson, Project Management for Construction, tables 10-1 and 11-1: A-C-F-I, 30 days
        (((3, 4, 5), (6, 8, 10), (10, 12, 14), (4, 6, 8)), 35, 0.99998),
    ],
)
def test_the_matched_log_normal_stays_close_to_published_pert_chances(
    path: tuple[tuple[float, float, float], ...], minutes: float, published: float
) -> None:
    moments = [pert(*times) for times in path]
    found = chance_of(sum(m for m, _ in moments), sum(v for _, v in moments), minutes, pace_sd=0)
    assert found == pytest.approx(published, abs=0.01)


def test_published_pert_durations_are_the_sums_of_means() -> None:
    # the same three examples: 23 weeks, 24 weeks, 30 days
    assert sum(pert(*t)[0] for t in ((6, 7, 14), (2, 3, 4), (5, 5.5, 9), (4, 6, 8))) == pytest.approx(23)
    assert sum(pert(*t)[0] for t in ((5, 8, 17), (3, 5, 7), (4, 6, 8), (3, 4, 5))) == pytest.approx(24)
    assert sum(pert(*t)[0] for t in ((3, 4, 5), (6, 8, 10), (10, 12, 14), (4, 6, 8))) == pytest.approx(30)


def test_low_and_high_are_the_10_and_90_percent_points() -> None:
    # symmetric in the logarithm: 10 to 40 about 20
    found = total((ThreePoint(10, 20, 40),), pace_sd=0)
    assert (found.p10, found.p50, found.p90) == pytest.approx((10, 20, 40))


def test_nothing_takes_no_time_and_is_always_in_time() -> None:
    assert total(()).mean == 0
    assert chance_within((), 0) == 1
    assert chance_within((), 5, fixed=6) == 0


def test_a_certain_time_is_in_time_or_not() -> None:
    part = (ThreePoint(10, 10, 10),)
    assert chance_within(part, 10, pace_sd=0) == 1
    assert chance_within(part, 9.9, pace_sd=0) == 0


times = st.tuples(st.floats(0.1, 60), st.floats(0, 60), st.floats(0, 120)).map(
    lambda t: ThreePoint(t[0], t[0] + t[1], t[0] + t[1] + t[2])
)


@settings(deadline=None, max_examples=200)
@given(st.lists(times, min_size=1, max_size=8), st.floats(0, 900), st.floats(0, 60))
def test_more_time_never_lowers_the_chance(parts: list[ThreePoint], minutes: float, more: float) -> None:
    here, there = chance_within(parts, minutes), chance_within(parts, minutes + more)
    assert 0 <= here <= there <= 1


@settings(deadline=None, max_examples=200)
@given(st.lists(times, min_size=1, max_size=8))
def test_a_sums_mean_is_the_sum_of_means(parts: list[ThreePoint]) -> None:
    assert total(parts, pace_sd=0).mean == pytest.approx(sum(mean_and_variance(part)[0] for part in parts))
