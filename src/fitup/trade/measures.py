"""Check verdicts: readings against a rule, with a guard band for the uncertainty of the figure.

Every function takes plain numbers and returns a `Verdict`. `uncertainty` is the expanded (95 %)
uncertainty of the judged figure, in its unit; 0 means simple acceptance. Guard band:
ILAC-G8:09/2019 section 4. Wrong shapes (a missing station, too few readings) raise `Mistake`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitup.model.amounts import number
from fitup.model.plan import Check
from fitup.model.progress import Readings, VerdictWord
from fitup.trade.exact import exact
from fitup.trade.lines import (
    Fit,
    Point,
    Zone,
    least_squares,
    minimum_zone,
    peak_to_valley_about_least_squares,
)
from fitup.trade.mistake import Mistake

__all__ = [
    "Fit",
    "Verdict",
    "Zone",
    "judge",
    "judge_check",
    "judge_range",
    "judge_sample",
    "judge_spread",
    "judge_straight",
    "judge_yes_no",
    "least_squares",
    "minimum_zone",
    "peak_to_valley_about_least_squares",
]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The judgement of a check: the `figure` that was judged, the `limit` it was held to, and a sentence.

    `figure` and `limit` are None for a yes-no check.
    """

    verdict: VerdictWord
    figure: float | None
    limit: float | None
    detail: str


def judge(
    figure: float | Fraction,
    *,
    limit: float | None = None,
    low: float | None = None,
    high: float | None = None,
    uncertainty: float = 0,
) -> VerdictWord:
    """Judge one figure against `low` and `high`; `limit` is another word for `high`.

    Nearer to a limit than `uncertainty`, or just as near, it is too close to call; with no
    uncertainty a figure on its limit passes. Source: ILAC-G8:09/2019 section 4.
    """
    top = high if limit is None else limit
    band = exact(uncertainty, "uncertainty")
    if band < 0:
        raise Mistake(f"uncertainty {number(uncertainty)} is below 0; write how far the figure may be off")
    margins = _margins(exact(figure, "figure"), low, top)
    if min(margins) < -band:
        return "fail"
    if band and min(margins) <= band:
        return "too close to call"
    return "pass"


def judge_range(
    readings: Sequence[float],
    *,
    low: float | None = None,
    high: float | None = None,
    uncertainty: float = 0,
    unit: str = "",
) -> Verdict:
    """Judge a `range` check: each reading between `low` and `high`.

    The figure is the reading nearest to a limit, or farthest beyond one.
    """
    if not readings:
        raise Mistake("this check needs one reading at least")
    worst = min(readings, key=lambda reading: min(_margins(exact(reading, "reading"), low, high)))
    verdict = judge(worst, low=low, high=high, uncertainty=uncertainty)
    limit = _nearest_limit(worst, low, high)
    detail = f"{_amount(worst, unit)}, wanted {_wanted(low, high, unit)}"
    if len(readings) > 1:
        detail = f"of {len(readings)} readings the nearest to its limit or beyond is {detail}"
    return Verdict(verdict, worst, limit, detail + _off(uncertainty, unit, verdict))


def judge_spread(
    readings: Mapping[str, Sequence[float]],
    *,
    limit: float,
    stations: Sequence[str] = (),
    faces: Sequence[str] = (),
    uncertainty: float = 0,
    unit: str = "",
) -> Verdict:
    """Judge a `spread` check: at each station the readings of all faces differ by at most `limit`.

    The figure is the worst spread. `stations` and `faces` say what must be there.
    """
    _need_stations(readings, stations)
    spreads: dict[str, Fraction] = {}
    for station, figures in readings.items():
        if len(figures) != (len(faces) or max(2, len(figures))):
            wanted = f"{len(faces)} readings ({', '.join(faces)})" if faces else "two readings at least"
            raise Mistake(f"station {station!r} has {len(figures)} and needs {wanted}")
        exactly = [exact(figure, f"reading at {station!r}") for figure in figures]
        spreads[station] = max(exactly) - min(exactly)
    worst = max(spreads, key=lambda station: spreads[station])
    figure = float(spreads[worst])
    verdict = judge(spreads[worst], limit=limit, uncertainty=uncertainty)
    read = " against ".join(number(value) for value in readings[worst])
    detail = f"worst at {worst}: {read}, {_amount(figure, unit)} apart, at most {_amount(limit, unit)}"
    return Verdict(verdict, figure, limit, detail + _off(uncertainty, unit, verdict))


def judge_straight(points: Sequence[Point], *, limit: float, uncertainty: float = 0, unit: str = "") -> Verdict:
    """Judge a `straight` check: peak to valley about the minimum-zone line at most `limit`.

    Positions and readings are in the same unit. Two points are always straight: three are needed.
    """
    if len(points) < 3:
        raise Mistake(f"straightness needs readings at three places at least, not {len(points)}")
    zone, by_squares = minimum_zone(points), peak_to_valley_about_least_squares(points)
    verdict = judge(zone.width, limit=limit, uncertainty=uncertainty)
    detail = (
        f"{_amount(zone.width, unit)} about the minimum-zone line, at most {_amount(limit, unit)};"
        f" {_amount(by_squares, unit)} about the least-squares line"
    )
    return Verdict(verdict, zone.width, limit, detail + _off(uncertainty, unit, verdict))


def judge_sample(
    readings: Sequence[float],
    *,
    n: int = 0,
    allow: int = 0,
    low: float | None = None,
    high: float | None = None,
    uncertainty: float = 0,
    unit: str = "",
) -> Verdict:
    """Judge a `sample` check: of `n` readings at most `allow` lie outside `low` to `high`.

    The figure is how many lie outside, the limit is `allow`; `uncertainty` is that of one reading.
    Too close to call where the readings in the guard band decide it. `n` = 0 takes any number.
    """
    if not readings or (n and len(readings) != n):
        raise Mistake(f"this sample needs {n or 'some'} readings, not {len(readings)}")
    words = [judge(reading, low=low, high=high, uncertainty=uncertainty) for reading in readings]
    surely_out = words.count("fail")
    maybe_out = surely_out + words.count("too close to call")
    out = sum(judge(reading, low=low, high=high) == "fail" for reading in readings)
    verdict: VerdictWord = "fail" if surely_out > allow else "pass" if maybe_out <= allow else "too close to call"
    detail = f"{out} of {len(readings)} outside {_wanted(low, high, unit)}, {allow} may be"
    return Verdict(verdict, float(out), float(allow), detail + _off(uncertainty, unit, verdict))


def judge_yes_no(answer: bool, question: str = "") -> Verdict:
    """Judge a `yes-no` check: yes passes, no fails."""
    said = "yes" if answer else "no"
    return Verdict("pass" if answer else "fail", None, None, f"{question} {said}".strip())


def judge_check(check: Check, readings: Readings) -> Verdict:
    """Judge readings as the plan's check asks; for `straight` the names are the positions.

    For `yes-no` the one figure is 1 for yes and 0 for no. Raises `Mistake` for a check without
    its limits and for readings of the wrong shape.
    """
    figures = [figure for _, values in readings for figure in values]
    band, unit = check.uncertainty, check.unit
    if check.kind == "range":
        return judge_range(figures, low=check.low, high=check.high, uncertainty=band, unit=unit)
    if check.kind == "sample":
        return judge_sample(
            figures, n=check.n, allow=check.allow, low=check.low, high=check.high, uncertainty=band, unit=unit
        )
    if check.kind == "yes-no":
        if len(figures) != 1 or figures[0] not in (0, 1):
            raise Mistake("this check is answered with yes or no")
        return judge_yes_no(figures[0] == 1, check.question)
    if check.limit is None:
        raise Mistake(f"this {check.kind} check has no limit; write limit = ... in the plan")
    if check.kind == "straight":
        return judge_straight(_points(readings), limit=check.limit, uncertainty=band, unit=unit)
    by_station = _by_station(readings)
    return judge_spread(
        by_station, limit=check.limit, stations=check.stations, faces=check.faces, uncertainty=band, unit=unit
    )


def _by_station(readings: Readings) -> dict[str, tuple[float, ...]]:
    by_station: dict[str, tuple[float, ...]] = {}
    for station, figures in readings:
        if station in by_station:
            raise Mistake(f"station {station!r} is given twice")
        by_station[station] = figures
    return by_station


def _points(readings: Readings) -> list[Point]:
    points: list[Point] = []
    for place, figures in readings:
        try:
            position = float(place)
        except ValueError:
            raise Mistake(f"{place!r} is not a position; write readings like 0=5.9 0.9=5.4") from None
        points.extend((position, figure) for figure in figures)
    return points


def _margins(figure: Fraction, low: float | None, high: float | None) -> list[Fraction]:
    """Return how far the figure is inside each limit that is given; below 0 it is outside."""
    margins = []
    if low is not None:
        margins.append(figure - exact(low, "low"))
    if high is not None:
        margins.append(exact(high, "high") - figure)
    if not margins:
        raise Mistake("this check has no limit; write low, high or limit in the plan")
    return margins


def _nearest_limit(figure: float, low: float | None, high: float | None) -> float | None:
    if low is None or high is None:
        return high if low is None else low
    to_low, to_high = _margins(exact(figure), low, high)
    return low if to_low < to_high else high


def _need_stations(readings: Mapping[str, Sequence[float]], stations: Sequence[str]) -> None:
    if not readings:
        raise Mistake("this check needs readings at one station at least")
    missing = [station for station in stations if station not in readings]
    if missing:
        raise Mistake(f"no reading at {', '.join(missing)}; the stations are {', '.join(stations)}")
    strange = [station for station in readings if stations and station not in stations]
    if strange:
        raise Mistake(f"{', '.join(map(repr, strange))} is no station of this check; they are {', '.join(stations)}")


def _amount(value: float, unit: str) -> str:
    return f"{number(value)} {unit}".strip()


def _wanted(low: float | None, high: float | None, unit: str) -> str:
    if low is None:
        return f"at most {_amount(high or 0, unit)}"
    if high is None:
        return f"at least {_amount(low, unit)}"
    return f"{number(low)} to {_amount(high, unit)}"


def _off(uncertainty: float, unit: str, verdict: VerdictWord) -> str:
    if verdict != "too close to call":
        return ""
    return f"; the reading may be off by {_amount(uncertainty, unit)}: measure more exactly, or decide and say why"
