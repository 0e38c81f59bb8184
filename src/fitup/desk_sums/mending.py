"""Sums for when a rivet is in, or out again: whether driven heads pass, and what may go into a hole too large."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitup.desk_sums.answer import Sum, and_others, answer, caution_lines, fraction, in_inches, in_mm
from fitup.model.amounts import clean, counted
from fitup.model.progress import VerdictWord
from fitup.trade import conformity, heads, holes, repairs, spacing
from fitup.trade.exact import inches, inches_of_text
from fitup.trade.mistake import Mistake
from fitup.trade.rivets import alloy_of

_TOLD = 12
"""Heads that are named one by one; more would run off the screen."""


@dataclass(frozen=True, slots=True)
class _Head:
    """One driven head: its measures in inches, None where not taken, the verdict, and the chance that it is inside."""

    width: Fraction | None
    height: Fraction | None
    verdict: VerdictWord
    chance: float | None

    @property
    def measures(self) -> str:
        """What was measured, in words."""
        wide = "" if self.width is None else f"{in_inches(self.width)} in wide"
        high = "" if self.height is None else f"{in_inches(self.height)} in high"
        return ", ".join(part for part in (wide, high) if part)


def shop_heads(
    size: str,
    widths: Sequence[float] = (),
    heights: Sequence[float] = (),
    unit: str = "in",
    uncertainty: float = 0,
) -> Sum:
    """Judge measured driven heads against their window; with widths and heights, the n-th of each are one head.

    Figures are in `unit`, "in" or "mm"; `uncertainty` is how far one may be off (95 %). The sum
    passes where every head does.
    """
    if widths and heights and len(widths) != len(heights):
        given = f"--width has {counted(len(widths), 'figure')} and --height {counted(len(heights), 'figure')}"
        raise Mistake(f"{given}; give both of each head, or only one of the two")
    window = heads.shop_head_window(size)
    if window is None:
        raise Mistake(f"no shop-head window is known for {clean(size)}; take it from the kit's manual")
    judged = [
        _judged(
            window,
            widths[place] if widths else None,
            heights[place] if heights else None,
            unit,
            uncertainty,
        )
        for place in range(max(len(widths), len(heights), 1))
    ]
    words = [one.verdict for one in judged]
    verdict = next(word for word in ("fail", "too close to call", "pass") if word in words)
    failed, close = words.count("fail"), words.count("too close to call")
    counts = ((words.count("pass"), "pass"), (close, "too close to call"), (failed, "fail"))
    data: dict[str, object] = {
        "verdict": verdict,
        "passed": words.count("pass"),
        "failed": failed,
        "too_close": close,
        "heads": [
            {
                "width": None if one.width is None else float(one.width),
                "height": None if one.height is None else float(one.height),
                "verdict": one.verdict,
                "chance": None if one.chance is None else round(one.chance, 4),
            }
            for one in judged
        ],
    }
    said = [
        f"{counted(len(judged), 'head')}: {', '.join(f'{count} {word}' for count, word in counts if count)}",
        f"wanted: {_wanted(window)}",
        f"aim for {in_inches(window.aim_width)} in wide, 1.5 D, and {in_inches(window.aim_height)} in high, 0.5 D",
    ]
    objected = [(place, one) for place, one in enumerate(judged, start=1) if one.verdict != "pass"]
    said += [f"! head {place}: {one.measures}: {one.verdict}{_likely(one.chance)}" for place, one in objected[:_TOLD]]
    said += [f"! and {len(objected) - _TOLD} more"] if len(objected) > _TOLD else []
    if uncertainty:
        said.append(f"chances by {conformity.SOURCE}")
    return answer(data, said, window.source, passed=verdict == "pass")


def repair(
    size: str, hole: str = "", pattern: int = 0, material: str = "AD", instead: str = "", head: str = "universal"
) -> Sum:
    """Tell what may go into a hole that came out too large: the next rivet, its drill, and what it then needs.

    `hole` is what the hole measures, with its unit; `pattern` how many rivets the joint has; with
    `instead` it is told whether that alloy may stand in for `material`.
    """
    larger, cited = repairs.next_larger(size)
    name = fraction(larger)
    published = holes.final_drills(name)
    data: dict[str, object] = {"next_size": name, "next_inches": float(larger)}
    said = [f"next larger rivet: {name} in, {in_mm(larger)}"]
    drill = published[0].drill if published else None
    data["drill"] = None if drill is None else drill.name
    if drill is None:
        said.append(f"no source gives a final drill for {name}: take it from the kit's manual")
    else:
        said.append(f"final drill {drill.name}, {in_inches(drill.inches)} in ({published[0].source})")
    if hole:
        data |= _measured(size, inches_of_text(hole, "in", "--hole"), drill, said)
    data["least"] = _least(name, head, said)
    if pattern:
        if pattern < 0:
            raise Mistake(f"--pattern {pattern} is below 1; write how many rivets the joint has")
        most, by = repairs.most_oversize(pattern)
        data["most_oversize"] = most
        said.append(f"of {counted(pattern, 'rivet')} at most {most} may be oversize ({by})")
    if instead:
        data["may_replace"] = _stand_in(size, name, material, instead, said)
    said.append("the kit's manual and its maker decide on a repair")
    return answer(data, [*said, *caution_lines("drill-out")], cited, passed=data.get("may_replace") is not False)


def _judged(
    window: heads.HeadWindow, width: float | None, height: float | None, unit: str, uncertainty: float
) -> _Head:
    verdict = heads.judge_shop_head(window, width=width, height=height, unit=unit, uncertainty=uncertainty)
    wide = None if width is None else inches(width, unit, "--width")
    high = None if height is None else inches(height, unit, "--height")
    if not uncertainty:
        return _Head(wide, high, verdict, None)
    # what is stated is the expanded uncertainty, twice the standard one
    standard = float(inches(uncertainty, unit, "--uncertainty")) / 2
    chance = 1.0
    if wide is not None:
        chance *= conformity.chance_inside(float(wide), standard, low=float(window.min_width))
    if high is not None:
        most = None if window.max_height is None else float(window.max_height)
        chance *= conformity.chance_inside(float(high), standard, low=float(window.min_height), high=most)
    return _Head(wide, high, verdict, chance)


def _wanted(window: heads.HeadWindow) -> str:
    most = "" if window.max_height is None else f" to {in_inches(window.max_height)}"
    return f"at least {in_inches(window.min_width)} in wide, {in_inches(window.min_height)}{most} in high"


def _likely(chance: float | None) -> str:
    return "" if chance is None else f", {chance * 100:.0f} % likely inside"


def _measured(size: str, measured: Fraction, drill: holes.Drill | None, said: list[str]) -> dict[str, object]:
    """Say whether the rivet called for may still go into a hole, or whether even the next one is too small."""
    if measured <= 0:
        raise Mistake("--hole must be above 0; write what the hole measures")
    limits = holes.hole_limits(size)
    if limits is not None and measured <= limits[1]:
        said.insert(
            0,
            f"a hole of {in_inches(measured)} in is not too large: {clean(size)} may have up to"
            f" {in_inches(limits[1])} in ({limits[2]})",
        )
    elif drill is not None and measured > drill.inches:
        said.append(f"! a hole of {in_inches(measured)} in is larger than {drill.name} already: ask the kit's maker")
    return {
        "within_limits": None if limits is None else limits[0] <= measured <= limits[1],
        "too_large_for_next": None if drill is None else measured > drill.inches,
    }


def _least(name: str, head: str, said: list[str]) -> dict[str, object]:
    """Say what edge distance and pitch the larger rivet needs: they count for it, not for the one called for."""
    least: dict[str, object] = {}
    figures: tuple[tuple[spacing.Figure, str], ...] = (("edge", "edge distance"), ("pitch", "pitch"))
    for figure, words in figures:
        minimum = spacing.minimum(figure, name, head)
        if minimum is not None:
            least[figure] = {"inches": float(minimum[0]), "source": minimum[1]}
            said.append(
                f"{words} then at least {in_inches(minimum[0])} in, {in_mm(minimum[0])} ({and_others(minimum[1])})"
            )
    return least


def _stand_in(size: str, name: str, material: str, instead: str, said: list[str]) -> bool:
    for alloy in (material, instead):
        if alloy_of(alloy) is None:
            raise Mistake(f"no table knows the rivet alloy {clean(alloy)[:20]!r}; write it like AD or 2117-T4")
    rule = repairs.may_replace(material, size, instead, name)
    if rule:
        said.append(f"{clean(instead)} of {name} may stand in for {clean(material)} of {clean(size)} ({rule})")
    else:
        said.append(
            f"! no published rule lets {clean(instead)} of {name} stand in for {clean(material)}: ask the maker"
        )
    return bool(rule)
