"""Sums of measuring and counting: straightness, twist, learning."""

from __future__ import annotations

from collections.abc import Sequence

from fitup.desk_sums.answer import Sum, answer, in_inches
from fitup.model.amounts import counted, number
from fitup.trade import conformity, learning, lines
from fitup.trade.exact import inches_of_text
from fitup.trade.mistake import Mistake

_MOST_PIECES = 1_000_000
_WHY_NO_LIMIT = "a plan's check judges the minimum zone, the lesser of the two"


def straight(at: Sequence[float], read: Sequence[float]) -> Sum:
    """Return how far readings are from straight: width of the minimum zone, and about the least-squares line."""
    if len(at) != len(read):
        given = f"--at has {counted(len(at), 'place')} and --read {counted(len(read), 'reading')}"
        raise Mistake(f"{given}; give one reading for each place")
    points = list(zip(at, read, strict=True))
    zone, fit = lines.minimum_zone(points), lines.least_squares(points)
    by_squares = lines.peak_to_valley_about_least_squares(points)
    data: dict[str, object] = {
        "minimum_zone": round(zone.width, 12),
        "least_squares": round(by_squares, 12),
        "slope": fit.slope,
        "intercept": fit.intercept,
        "residual_sd": fit.residual_sd,
    }
    said = [
        f"{zone.width:.4f} between the two closest parallel lines (minimum zone)",
        f"{by_squares:.4f} from peak to valley about the least-squares line",
        f"line through the readings: {fit.intercept:.6g} + {fit.slope:.6g} x place; {_WHY_NO_LIMIT}",
    ]
    if len(points) < 3:
        said.append("! two readings always lie on a line: take three at least")
    return answer(data, said, f"{lines.SOURCE_MINIMUM_ZONE}; {lines.SOURCE_LEAST_SQUARES}", "seen")


def twist(chord: str, degrees: float) -> Sum:
    """Return by how much the end of a chord is out when two stations differ by so many degrees.

    What a level with an angle shows becomes what a ruler would. No source gives a limit.
    """
    length = inches_of_text(chord, "in", "--chord")
    if length <= 0:
        raise Mistake("--chord must be above 0; write the length that twists")
    if not -45 <= degrees <= 45:
        raise Mistake(f"--degrees {number(degrees)} is no twist; write the difference of the two angles, -45 to 45")
    offset = conformity.tip_offset(float(length), degrees)
    data: dict[str, object] = {"inches": round(offset, 6), "mm": round(offset * 25.4, 4)}
    said = [
        f"{offset:.4f} in, {offset * 25.4:.2f} mm at the end of a chord of {in_inches(length)} in",
        "the kit's manual gives the limit: no source was found",
    ]
    return answer(data, said, "chord x tangent of the angle", "computed")


def learn(rate: float, first: float, unit: float, to: float | None = None) -> Sum:
    """Return what piece `unit` takes when the first took `first`, by Crawford and by Wright; or `unit` to `to`."""
    each = learning.unit_time(first, unit, rate)
    data: dict[str, object] = {"unit_time": each}
    said = [f"piece {number(unit)} takes {number(each)} when the first took {number(first)} (Crawford)"]
    whole = int(unit)
    if whole == unit and whole <= _MOST_PIECES:
        total = learning.total_time(first, 1, whole, rate)
        wright = learning.average_unit_time(first, whole, rate)
        data |= {"total": total, "wright_unit_time": wright}
        said += [f"all {whole} together {number(total)}"] if whole > 1 else []
        said.append(f"by Wright's cumulative average the piece takes {number(wright)}")
    if to is not None:
        data["block"] = _block(rate, first, unit, to, said)
    return answer(data, said, learning.SOURCE, "seen")


def _block(rate: float, first: float, unit: float, to: float, said: list[str]) -> dict[str, float]:
    """Say what the pieces `unit` to `to` take together."""
    begin, end = int(unit), int(to)
    if begin != unit or end != to or not begin <= end <= _MOST_PIECES:
        raise Mistake(f"--to {number(to)} must be a whole number from --unit {number(unit)} to {_MOST_PIECES}")
    total = learning.total_time(first, begin, end, rate)
    wright = learning.average_block_time(first, begin, end, rate)
    middle = learning.middle_unit(begin, end, rate)
    said.append(f"pieces {begin} to {end} take {number(total)} together (Crawford), {number(wright)} (Wright)")
    said.append(f"piece {number(round(middle, 1))} takes about their average")
    return {"to": end, "total": total, "wright_total": wright, "middle_unit": middle}
