"""The desk's side door to the trade's sums: rivets, holes, cures, splices, straightness, learning.

They need no project and no plan. Every answer tells its source and standing; the tables are those
of the shop folder, so that what the kit's manual says there wins over what is published.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from fitup.model.amounts import number
from fitup.model.frozen import dataclass
from fitup.model.plan import Law
from fitup.trade import clocks, heads, holes, learning, lines, rivets, spacing, splices
from fitup.trade.exact import inches_of_size, inches_of_text
from fitup.trade.mistake import Mistake
from fitup.trade.remark import Remark
from fitup.trade.tables import STANDINGS

_LAWS: tuple[Law, ...] = ("none", "double-18F")
_MOST_PIECES = 1_000_000
_WHY_NO_LIMIT = "a plan's check judges the minimum zone, the lesser of the two"


@dataclass(frozen=True, slots=True)
class Sum:
    """One answer: `data` for programs (with `source` and `standing`), `lines` for people."""

    data: Mapping[str, object]
    lines: tuple[str, ...]


def rivet(
    size: str, grip: str, head: str = "universal", material: str = "AD", half: bool = False, callout: str = ""
) -> Sum:
    """Work out the rivet of a joint; `grip` is a length with its unit, such as 0.125in or 3.2mm."""
    found = rivets.solid_rivet(head, material, size, inches_of_text(grip, "in", "--grip"), "in", callout, half)
    stands_out = None if found.protrusion_d is None else round(found.protrusion_d, 3)
    data: dict[str, object] = {
        "part_number": found.part_number,
        "protrusion_d": stands_out,
        "length_inches": None if found.length is None else float(found.length),
        "warnings": list(found.warnings),
    }
    said = [found.part_number]
    if found.length is not None:
        said.append(f"length {_fraction(found.length)} in, {_mm(found.length)}")
    if stands_out is not None:
        said.append(f"the tail stands out {number(stands_out)} D before driving (1.5 D is the rule)")
    window = heads.shop_head_window(size) if found.size is not None and stands_out is not None else None
    if window is not None:
        data["shop_head"] = {
            "min_width": float(window.min_width),
            "min_height": float(window.min_height),
            "max_height": None if window.max_height is None else float(window.max_height),
            "source": window.source,
        }
        most = "" if window.max_height is None else f" to {_inches(window.max_height)}"
        said.append(
            f"driven head: at least {_inches(window.min_width)} in wide,"
            f" {_inches(window.min_height)}{most} in high ({window.source})"
        )
    return _answer(
        data, [*said, *(f"! {warning}" for warning in found.warnings)], found.source, "own" if callout else ""
    )


def hole(size: str, fastener: str = "solid", source: str = "", pilot: str = "", steps: int = 0) -> Sum:
    """Return the final drill of a rivet diameter and, with a pilot, the steps up to it."""
    published = holes.final_drills(size, fastener, source)
    if not published and not pilot:
        raise Mistake(f"no source gives a final drill for a {fastener} rivet {size}; take it from the kit's manual")
    chosen = published[0].drill if published else holes.drill(size)
    cited = published[0].source if published else "the diameter that was asked for"
    data: dict[str, object] = {"drill": chosen.name, "inches": round(float(chosen.inches), 6)}
    said = [f"{chosen.name}, {_inches(chosen.inches)} in, {_mm(chosen.inches)}"]
    others = [one for one in published[1:] if one.drill != chosen]
    data["others"] = [
        {"drill": one.drill.name, "inches": float(one.drill.inches), "source": one.source} for one in others
    ]
    said += [f"other sources: {one.drill.name}, {_inches(one.drill.inches)} in ({one.source})" for one in others]
    limits = (published[0].min_hole, published[0].max_hole) if published else (None, None)
    if limits[0] is not None and limits[1] is not None:
        data["hole"] = [float(limits[0]), float(limits[1])]
        said.append(f"finished hole {_inches(limits[0])} to {_inches(limits[1])} in")
    if pilot:
        between = holes.pilot_steps(pilot, chosen.name, steps or 1)
        data["steps"] = [{"drill": one.name, "inches": float(one.inches)} for one in between]
        said.append(f"from {pilot} up: {', '.join(one.name for one in between)} (common practice, no source)")
    return _answer(data, said, cited, "" if published else "own")


def cure(hours: float, celsius: float = clocks.NOMINAL_CELSIUS, law: str = "none") -> Sum:
    """Return how long nominal hours of cure take at a temperature, under the law that is asked for."""
    if law not in _LAWS:
        raise Mistake(f"there is no cure law {law[:20]!r}; write {' or '.join(_LAWS)}")
    if hours < 0:
        raise Mistake(f"--hours {number(hours)} is below 0; write the hours of the product's own sheet")
    named: Law = "double-18F" if law == "double-18F" else "none"
    factor = clocks.factor(celsius, named)
    life = clocks.life_hours(hours, celsius, named)
    data: dict[str, object] = {
        "hours": round(hours * factor, 6),
        "factor": round(factor, 6),
        "celsius": celsius,
        "application_life_hours": round(life, 6),
    }
    said = [f"{number(hours * factor)} h at {number(celsius)} C ({number(clocks.fahrenheit_of(celsius))} F)"]
    if named == "none":
        said.append("no law was named, so temperature changes nothing: take the hours from the product's own sheet")
    else:
        said.append(f"as an application life it would be {number(life)} h: cold never lengthens one")
    source = clocks.LAW_SOURCES[named]
    return _answer(data, said, source, "seen" if named != "none" else "own")


def layout(sheet: str, width: str, size: str, joint: str = "lap", alloy: str = "2024-T3", source: str = "") -> Sum:
    """Count the rivets on each side of a splice, and tell the least distances for their diameter."""
    thickness, across = inches_of_text(sheet, "in", "--sheet"), inches_of_text(width, "in", "--width")
    found = splices.splice(float(thickness), float(across), "in", size, joint, alloy, source)
    data: dict[str, object] = {
        "rivets": found.rivets,
        "per_inch": float(found.per_inch),
        "share": float(found.share),
        "two_rows_of": found.rows(2),
        "remarks": [f"{remark.says} ({remark.source})" for remark in found.remarks],
    }
    said = [
        f"{found.rivets} rivets on each side of the splice, or two rows of {found.rows(2)}",
        f"{number(float(found.per_inch))} an inch for a sheet of {_inches(found.sheet)} in,"
        f" of which a joint of kind {joint} takes {number(float(found.share))}",
    ]
    diameter = inches_of_size(size)
    least: dict[str, object] = {}
    figures: tuple[tuple[spacing.Figure, str], ...] = (("edge", "edge distance"), ("pitch", "pitch"), ("row", "rows"))
    for figure, name in figures:
        minimum = spacing.minimum(figure, size)
        if minimum is not None:
            length, cited = minimum
            least[figure] = {"inches": float(length), "source": cited}
            said.append(f"{name} at least {_inches(length)} in, {number(float(length / diameter))} D ({cited})")
    data["least"] = least
    return _answer(data, [*said, *_remark_lines(found.remarks)], found.source)


def straight(at: Sequence[float], read: Sequence[float]) -> Sum:
    """Return how far readings are from straight: width of the minimum zone, and about the least-squares line."""
    if len(at) != len(read):
        raise Mistake(f"--at has {len(at)} places and --read {len(read)} readings; give one reading for each place")
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
    return _answer(data, said, f"{lines.SOURCE_MINIMUM_ZONE}; {lines.SOURCE_LEAST_SQUARES}", "seen")


def learn(rate: float, first: float, unit: float) -> Sum:
    """Return what piece `unit` takes when the first took `first`, by Crawford and by Wright."""
    each = learning.unit_time(first, unit, rate)
    data: dict[str, object] = {"unit_time": each}
    said = [f"piece {number(unit)} takes {number(each)} when the first took {number(first)} (Crawford)"]
    whole = int(unit)
    if whole == unit and whole <= _MOST_PIECES:
        total = learning.total_time(first, 1, whole, rate)
        wright = learning.average_unit_time(first, whole, rate)
        data |= {"total": total, "wright_unit_time": wright}
        said.append(f"all {whole} together {number(total)}")
        said.append(f"by Wright's cumulative average the piece takes {number(wright)}")
    return _answer(data, said, learning.SOURCE, "seen")


def _answer(data: dict[str, object], said: Sequence[str], cited: str, standing: str = "") -> Sum:
    word = standing or _standing(cited)
    told = "" if cited.endswith((STANDINGS[word], f"({STANDINGS[word]})")) else f" ({STANDINGS[word]})"
    return Sum(data | {"source": cited, "standing": word}, (*said, f"source: {cited or 'none'}{told}"))


def _standing(cited: str) -> str:
    """Return the standing that a cited source tells at its end; without a word of doubt it was seen."""
    return next((word for word, says in STANDINGS.items() if cited.endswith((says, f"({says})"))), "seen")


def _remark_lines(remarks: Sequence[Remark]) -> list[str]:
    return [f"{'!' if remark.level == 'warning' else '-'} {remark.says} ({remark.source})" for remark in remarks]


def _fraction(length: Fraction) -> str:
    if length.denominator > 64:
        return _inches(length)
    return f"{length.numerator}/{length.denominator}" if length.denominator > 1 else str(length.numerator)


def _inches(length: Fraction) -> str:
    return f"{float(length):.4f}".rstrip("0").rstrip(".")


def _mm(length: Fraction) -> str:
    return f"{float(length * Fraction(254, 10)):.2f} mm"
