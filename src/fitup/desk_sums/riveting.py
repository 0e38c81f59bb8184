"""Sums of riveting: the rivet, its hole, countersink and driven head, a splice, what to do with a hole too large."""

from __future__ import annotations

from collections.abc import Sequence

from fitup.desk_sums.answer import Sum, and_others, answer, caution_lines, fraction, in_inches, in_mm, remark_lines
from fitup.model.amounts import clean, counted, number
from fitup.trade import blind as blind_rivets
from fitup.trade import countersinks, heads, holes, rivets, spacing, splices
from fitup.trade.exact import inches_of_size, inches_of_text
from fitup.trade.mistake import Mistake
from fitup.trade.temporary import cleco_count

_NOT_FOR_AIRCRAFT = (
    "! pull-type rivets made for other uses are not approved on certificated structure:"
    " the kit's manual says which it wants (FAA AC 43.13-1B par 4-57f(9))"
)


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
        said.append(f"length {fraction(found.length)} in, {in_mm(found.length)}")
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
        most = "" if window.max_height is None else f" to {in_inches(window.max_height)}"
        said.append(
            f"driven head: at least {in_inches(window.min_width)} in wide,"
            f" {in_inches(window.min_height)}{most} in high ({window.source})"
        )
    return answer(
        data, [*said, *(f"! {warning}" for warning in found.warnings)], found.source, "own" if callout else ""
    )


def hole(size: str, fastener: str = "solid", source: str = "", pilot: str = "", steps: int = 0, sheet: str = "") -> Sum:
    """Return the final drill of a rivet diameter; with a pilot the steps up to it, with a sheet how deep to deburr."""
    published = holes.final_drills(size, fastener, source)
    if not published and not pilot:
        raise Mistake(f"no source gives a final drill for a {fastener} rivet {size}; take it from the kit's manual")
    chosen = published[0].drill if published else holes.drill(size)
    cited = published[0].source if published else "the diameter that was asked for"
    data: dict[str, object] = {"drill": chosen.name, "inches": round(float(chosen.inches), 6)}
    said = [f"{chosen.name}, {in_inches(chosen.inches)} in, {in_mm(chosen.inches)}"]
    others = [one for one in published[1:] if one.drill != chosen]
    data["others"] = [
        {"drill": one.drill.name, "inches": float(one.drill.inches), "source": one.source} for one in others
    ]
    said += [f"other sources: {one.drill.name}, {in_inches(one.drill.inches)} in ({one.source})" for one in others]
    data |= _finished(size, fastener, published, said)
    if pilot:
        between = holes.pilot_steps(pilot, chosen.name, steps or 1)
        data["steps"] = [{"drill": one.name, "inches": float(one.inches)} for one in between]
        said.append(f"from {pilot} up: {', '.join(one.name for one in between)} (common practice, no source)")
    if sheet:
        deepest, by = holes.deepest_deburr(inches_of_text(sheet, "in", "--sheet"), "in")
        data["deepest_deburr"] = float(deepest)
        said.append(f"deburr no deeper than {in_inches(deepest)} in, {in_mm(deepest)} ({by})")
    return answer(data, said, cited, "" if published else "own")


def _finished(size: str, fastener: str, published: Sequence[holes.FinalDrill], said: list[str]) -> dict[str, object]:
    """Say what the finished hole may measure, where a source tells it."""
    limits = holes.hole_limits(size) if fastener == "solid" else None
    if published and published[0].min_hole is not None and published[0].max_hole is not None:
        limits = (published[0].min_hole, published[0].max_hole, published[0].source)
    if limits is None:
        return {}
    said.append(f"finished hole {in_inches(limits[0])} to {in_inches(limits[1])} in ({limits[2]})")
    return {"hole": [float(limits[0]), float(limits[1])]}


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
        f"{counted(found.rivets, 'rivet')} on each side of the splice, or two rows of {found.rows(2)}",
        f"{number(float(found.per_inch))} an inch for a sheet of {in_inches(found.sheet)} in,"
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
            said.append(
                f"{name} at least {in_inches(length)} in, {number(float(length / diameter))} D ({and_others(cited)})"
            )
    data["least"] = least
    held, by = cleco_count(found.rivets)
    data["clecos"] = held
    said.append(f"clecos for one row of them: {held}, in every second hole and the last ({by})")
    return answer(data, [*said, *remark_lines(found.remarks)], found.source)


def blind(size: str, grip: str, code: str = "") -> Sum:
    """Return the pull-type rivet of a grip, its hole, and whether one of the `code` at hand is that rivet."""
    thickness = rivets.grip_inches(inches_of_text(grip, "in", "--grip"), "in")
    found = blind_rivets.blind_rivet(size, thickness, "in")
    if found is None:
        asked = f"a blind rivet {clean(size)} and a grip of {in_inches(thickness)} in"
        raise Mistake(f"no source gives {asked}; take it from the kit's manual")
    data: dict[str, object] = {
        "code": found.code,
        "length_inches": float(found.length),
        "grip_inches": [float(found.min_grip), float(found.max_grip)],
        "drill": found.drill or None,
    }
    said = [
        f"code {found.code}, {in_inches(found.length)} in long,"
        f" for a grip of {in_inches(found.min_grip)} to {in_inches(found.max_grip)} in"
    ]
    if found.min_hole is not None and found.max_hole is not None:
        data["hole"] = [float(found.min_hole), float(found.max_hole)]
        said.append(f"drill {found.drill}, hole {in_inches(found.min_hole)} to {in_inches(found.max_hole)} in")
    fits = True
    if code:
        diameter, greatest = blind_rivets.read_code(code.strip())
        fits = data["fits"] = code.strip() == found.code
        is_for = f"{code.strip()} is a {fraction(diameter)} for a grip of up to {fraction(greatest)} in"
        said.append(f"{is_for}: it fits" if fits else f"! {is_for}: it is not the one for this joint")
    locked = blind_rivets.locked_spindle_dash(size, thickness, "in")
    if locked is not None:
        data["locked_spindle_dash"] = locked[0]
        said.append(f"a structural one with a locked spindle ends in -{locked[0]} ({locked[1]})")
    said += [f"when pulled: {says} ({by})" for says, by in blind_rivets.after_pulling()]
    return answer(data, [*said, _NOT_FOR_AIRCRAFT, *caution_lines("pull")], found.source, passed=fits)


def countersink(size: str, sheet: str) -> Sum:
    """Tell whether a sheet may be machine countersunk for a flush rivet or is better dimpled, by each source."""
    thickness = inches_of_text(sheet, "in", "--sheet")
    if thickness <= 0:
        raise Mistake("--sheet must be above 0; write the thickness of the sheet")
    minima = countersinks.countersink_minima(size)
    allowed = [one for one in minima if thickness >= one.sheet]
    word = "yes" if len(allowed) == len(minima) else "no" if not allowed else "sources differ"
    data: dict[str, object] = {
        "countersink": word,
        "minima": [{"inches": float(one.sheet), "source": one.source} for one in minima],
    }
    shown = f"a sheet of {in_inches(thickness)} in, {in_mm(thickness)}"
    heading = {
        "yes": f"{shown}, may be countersunk for {clean(size)} by every source",
        "no": f"! {shown}, is too thin to countersink for {clean(size)} by every source: dimple it",
        "sources differ": f"! sources differ on countersinking {shown}, for {clean(size)}: the kit's manual decides",
    }
    said = [heading[word], *(f"at least {in_inches(one.sheet)} in: {one.source}" for one in minima)]
    best = countersinks.dimples_best()
    said.append(f"dimpling works best up to {in_inches(best.sheet)} in ({best.source})")
    degrees, by = countersinks.flush_angle()
    said.append(f"usual flush heads have {number(float(degrees))} degrees ({by})")
    window = countersinks.countersink_window(size)
    if window is not None:
        data["diameter"] = [float(window[0]), float(window[1])]
        said.append(f"countersink for a blind flush rivet {in_inches(window[0])} to {in_inches(window[1])} in wide")
        said[-1] += f" ({window[2]})"
    holds = countersinks.strength(size, thickness, "in")
    if holds is not None:
        data["strength_lb"] = {"dimpled": float(holds.dimpled), "countersunk": float(holds.countersunk)}
        pounds = f"dimpled {number(float(holds.dimpled))} lb, countersunk {number(float(holds.countersunk))} lb"
        said.append(f"one rivet holds at most: {pounds} ({holds.note}; {holds.source})")
    cited = "; ".join(dict.fromkeys(one.source for one in minima))
    return answer(data, [*said, *caution_lines("countersink")], cited, passed=word != "no")
