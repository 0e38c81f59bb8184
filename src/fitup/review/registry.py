"""The rules of the plan review in the order in which they are shown, and the review itself."""

from __future__ import annotations

from fitup.model.finding import Finding
from fitup.model.plan import Plan
from fitup.review import order, structure, supplies, times, trade_rules
from fitup.review.rule import Ground, Remark, Rule, Sourced
from fitup.review.waived import WAIVED

_LOGIC = "follows from the plan itself"
_PRACTICE = "common practice, no source"
_HOLES = (
    "MIL-R-47196A and FAA AC 43.13-1B, 4-58 (drill together, deburr, clean before riveting); "
    "deburring before dimpling: kit practice, and at odds with one older handbook"
)

RULES: tuple[Rule, ...] = (
    Rule("circle", "error", "tasks that wait for each other in a circle", structure.circle, _LOGIC),
    Rule("dangling", "error", "ids that nothing in the plan has", structure.dangling, _LOGIC),
    Rule("same-id", "error", "one id given to two things", structure.same_id, _LOGIC),
    Rule("three-points", "error", "times that are not low <= likely <= high", structure.three_points, _LOGIC),
    Rule("closed-in", "error", "work inside a bay that comes after the bay is closed", structure.closed_in, _LOGIC),
    Rule("window-impossible", "error", "a time window shorter than the work in it", times.window_impossible, _LOGIC),
    Rule("never-fits", "warning", "work longer than the longest usual session", times.never_fits, _LOGIC),
    Rule(
        "hole-order",
        "warning",
        "steps on one group of holes in the wrong order",
        order.hole_order,
        _HOLES,
        switches=(order.DEBURR_SWITCH,),
    ),
    Rule("closes-unchecked", "warning", "a bay closed with nothing checked", order.closes_unchecked, _PRACTICE),
    Rule("no-cure", "warning", "sealant, glue or primer that nothing waits for", order.no_cure, _PRACTICE),
    Rule(
        "dissimilar-metals",
        "warning",
        "metals that corrode where they touch",
        trade_rules.dissimilar_metals,
        "M. Niu, Airframe Structural Design (1988); MIL-STD-889C",
    ),
    Rule(
        "edge-and-pitch",
        "warning",
        "rivets too near an edge or each other",
        trade_rules.edge_and_pitch,
        "FAA AC 43.13-1B, NAVEDTRA 14018 and others; the strictest speaks",
    ),
    Rule(
        "countersink-too-thin",
        "warning",
        "countersinks in sheets that should be dimpled",
        trade_rules.countersink_too_thin,
        "TM 9-2320-387-24-2, NAVEDTRA 14315 and others; the strictest speaks",
    ),
    Rule("clecos-short", "warning", "more clecos or clamps out than there are", supplies.clecos_short, _LOGIC),
    Rule("short-supply", "warning", "more needed than there is and is on order", supplies.short_supply, _LOGIC),
    Rule("expires-first", "warning", "stock out of date before its work can begin", supplies.expires_first, _LOGIC),
    Rule(
        "rivet-diameter",
        "note",
        "rivets unusual for their sheets in diameter or length",
        trade_rules.rivet_diameter,
        "NAVEDTRA 14018; FAA AC 43.13-1B par 4-58",
    ),
    Rule("helper-needed", "note", "work for two people", supplies.helper_needed, _LOGIC),
    Rule("redundant", "note", "a hold that other holds imply", order.redundant, _LOGIC),
)
"""Every rule that is looked at, errors first."""


def review(plan: Plan) -> tuple[Finding, ...]:
    """Return what the rules find in a plan; a rule that the plan switches off finds nothing."""
    off = {rule_id for rule_id, _ in plan.review_off}
    ground = Ground(plan)
    found = [_finding(rule, remark) for rule in RULES if rule.id not in off for remark in rule.find(ground)]
    known = {rule_id for rule_id, _ in switched_off(plan)}
    for name in sorted(off - known):
        says = f"the plan switches off {name!r}, but no rule has that name"
        found.append(Finding("dangling", "note", name, says, "correct the name, or take it out of `off`", _LOGIC))
    return tuple(found)


def _finding(rule: Rule, remark: Remark) -> Finding:
    if isinstance(remark, Sourced):
        level = remark.level or rule.level
        return Finding(rule.id, level, remark.where, remark.says, remark.mend, remark.source)
    where, says, mend = remark
    return Finding(rule.id, rule.level, where, says, mend, rule.source)


def switched_off(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Return the rules that a plan switches off, each with the reason."""
    known = {WAIVED, *(name for rule in RULES for name in (rule.id, *rule.switches))}
    return tuple((rule_id, why) for rule_id, why in plan.review_off if rule_id in known)
