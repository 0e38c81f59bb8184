"""The plan file, the work table and procedures as declared tables: keys, types, sense and one line of meaning.

This is the only place that says which keys there are. Reading, the sentences about mistakes and the
text of `help plan` are all made from it, so that they cannot drift apart.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from fitup.files.values import (
    Count,
    Crew,
    Day,
    Figure,
    Hours,
    Humidity,
    Id,
    Length,
    Library,
    Minutes,
    Prose,
    Quantity,
    Reference,
    Sessions,
    Table,
    Temperature,
    ThreeMinutes,
    ThreeSeconds,
    Title,
    Whole,
    Words,
    as_list,
    key,
)


class AssemblyTable(Table):
    """A part of the aircraft that is built as one."""

    id: Id = key(..., "what tasks name it by")
    title: Title = key(..., "what it is called on the screens")


class BayTable(Table):
    """A volume that some task closes off."""

    id: Id = key(..., "what tasks name it by in `inside` and `closes`")
    title: Title = key(..., "what it is called on the screens")


class ToolTable(Table):
    """A tool, table or jig; overrides the row of the same id in the shop's tools.toml."""

    id: Id = key(..., "what tasks and work rows name it by")
    title: Words = key("", "what it is called; may be left out where tools.toml has it")
    have: Whole = key(1, "how many may be in use at once")


class LotTable(Table):
    """A quantity of an item bought together."""

    have: Quantity = key(..., "how much is there, in the item's unit")
    expires: Day | None = key(None, "its last usable day")


class OnOrderTable(Table):
    """A quantity of an item on its way."""

    quantity: Quantity = key(..., "how much was ordered")
    expected: Day | None = key(None, "the day it should arrive")


class ItemTable(Table):
    """Something used up: consumable, fastener or part."""

    id: Id = key(..., "what tasks name it by in `needs`")
    title: Title = key(..., "what it is called on the screens")
    kind: Literal["consumable", "fastener", "part"] = key("consumable", "what sort of item it is")
    unit: Words = key("", "g, ml, m, each ...")
    lots: list[LotTable] = key([], "what is there, lot by lot")
    on_order: OnOrderTable | None = key(None, "what is on its way")
    lead_days: Whole = key(0, "days from ordering to having it")
    spare: Annotated[float, Field(ge=0, le=100)] = key(0.0, "extra to lay out and to order, as a fraction")
    temperature: Temperature | None = key(None, "may be applied between these, Celsius")
    humidity: Humidity | None = key(None, "may be applied between these, per cent")
    part_number: Words = key("", "maker's number; fasteners with the same number draw on this stock")
    supplier: Words = key("", "where it is bought")


class ClecoTable(Table):
    """How many temporary fasteners of one size the shop has."""

    size: Title = key(..., 'size in inches as "3/32"; clamps: "clamp"')
    have: Whole = key(..., "how many there are")


class FastenersTable(Table):
    """What fastens the holes of a task."""

    head: Words = key(..., "shape of the head: flush, universal ...")
    material: Words = key(..., "AD, A, steel ...")
    size: Words = key(..., 'diameter in inches as "3/32"')
    grip: Length | None = key(None, "thickness fastened, in the plan's length unit")
    callout: Words = key("", "part number as the kit calls it out; wins over the computed one")
    half: bool = key(False, "half-size lengths may be used")


class AfterHold(Table):
    """Waits for a task."""

    kind: Literal["after"] = key(..., "lifted when `until` is done")
    until: Reference = key(..., "the task waited for")
    why: Prose = key("", "the reason")


class CheckHold(Table):
    """Waits for a check to pass."""

    kind: Literal["check"] = key(..., "lifted when the latest verdict on `until` is pass")
    until: Reference = key(..., "the check task waited for")
    why: Prose = key("", "the reason")


class CureHold(Table):
    """Waits for something to cure or dry."""

    kind: Literal["cure"] = key(..., "lifted when `hours` have passed since `until` was done")
    until: Reference = key(..., "the task that starts the clock")
    hours: Hours = key(..., "hours of curing, at the temperature of the product's data sheet")
    law: Literal["none", "double-18F"] = key("none", "how temperature changes the hours")
    witness: bool = key(False, "a person must say that the witness sample is cured, too")
    why: Prose = key("", "the reason")


class AccessHold(Table):
    """Waits for work that can't be reached later."""

    kind: Literal["access"] = key(..., "lifted when `until` is done and its photo is on file")
    until: Reference = key(..., "the task that can't be reached later")
    why: Prose = key("", "the reason")


class LeaveOffHold(Table):
    """Left off on purpose for now."""

    kind: Literal["leave-off"] = key(..., "lifted when `until` is done")
    until: Reference = key(..., "the task waited for")
    why: Prose = key("", "why it is left off until then")


class SupplyHold(Table):
    """Waits for something to be there."""

    kind: Literal["supply"] = key(..., "lifted when it is there")
    item: Reference = key("", "the item, where the plan has one")
    quantity: Quantity = key(0.0, "how much of it")
    expected: Day | None = key(None, "the day it should be there")
    why: Prose = key("", "the reason")


class SignOffHold(Table):
    """Waits for a signature."""

    kind: Literal["sign-off"] = key(..., "lifted when a person in the role `by` has signed")
    by: Title = key(..., "the role: inspector, helper ...")
    expected: Day | None = key(None, "the day of the visit")
    why: Prose = key("", "the reason")


class StopHold(Table):
    """Waits until somebody has been asked."""

    kind: Literal["stop"] = key(..., "lifted by its author")
    expected: Day | None = key(None, "the day an answer should be there")
    why: Prose = key("", "what has to be asked or settled first")


HoldTable = Annotated[
    AfterHold | CheckHold | CureHold | AccessHold | LeaveOffHold | SupplyHold | SignOffHold | StopHold,
    Field(discriminator="kind"),
]


class WithinTable(Table):
    """This task must be finished within some hours of another."""

    of: Reference = key(..., "the task that starts the clock")
    hours: Hours = key(..., "hours that the window lasts")
    start: Literal["begin", "finish"] = key("begin", "counted from the begin or the finish of `of`", alias="from")
    margin_minutes: Minutes = key(10.0, "minutes kept free before the window runs out")


class ClecoLoanTable(Table):
    """Clecos or clamps lent to the assembly by this task."""

    size: Title = key(..., 'size in inches as "3/32"; clamps: "clamp"')
    count: Count = key(..., "how many")
    until: Reference = key(..., "the task whose progress gives them back")


class OccupyTable(Table):
    """A tool, table or jig taken for longer than this task."""

    tool: Reference = key(..., "the tool")
    until: Reference = key(..., "the task whose end gives it back")


class _Check(Table):
    unit: Words = key("", "unit of the readings")
    uncertainty: Quantity = key(0.0, "uncertainty of the judged figure: the guard band about each limit")
    question: Prose = key("", "what is asked or measured, in words")
    stations: list[Title] = key([], "where it is measured, in order")
    faces: list[Title] = key([], "the ways it is measured at each station")


class _Between(_Check):
    low: Figure | None = key(None, "least reading that passes; low, high or both")
    high: Figure | None = key(None, "greatest reading that passes")

    @model_validator(mode="after")
    def _has_limits(self) -> _Between:
        if self.low is None and self.high is None:
            raise ValueError("lacks its limits; add low, high or both")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError("has low above high, so that nothing can pass; exchange them")
        return self


class RangeCheck(_Between):
    """Each reading lies between low and high."""

    kind: Literal["range"] = key(..., "each reading lies between `low` and `high`")


class SampleCheck(_Between):
    """Readings of a sample lie between low and high, but for a few."""

    kind: Literal["sample"] = key(..., "all but `allow` of `n` readings lie between `low` and `high`")
    n: Count = key(..., "how many are measured")
    allow: Whole = key(0, "how many of them may fail")


class SpreadCheck(_Check):
    """Per station the faces differ by little."""

    kind: Literal["spread"] = key(..., "per station the faces differ by at most `limit`")
    limit: Quantity = key(..., "greatest difference that passes")


class StraightCheck(_Check):
    """The readings along a line are straight."""

    kind: Literal["straight"] = key(..., "readings along a line are straight to within `limit`")
    limit: Quantity = key(..., "greatest peak-to-valley about the minimum-zone line that passes")


class YesNoCheck(_Check):
    """A question answered with yes or no."""

    kind: Literal["yes-no"] = key(..., "passes with yes")


CheckTable = Annotated[RangeCheck | SpreadCheck | StraightCheck | SampleCheck | YesNoCheck, Field(discriminator="kind")]


class TaskTable(Table):
    """One piece of work that can be ticked."""

    id: Id = key(..., "what everything else names it by")
    title: Title = key(..., "what is done, in a builder's words")
    assembly: Reference = key(..., "the assembly it belongs to")
    work: Reference = key(..., "the kind of work: a row of the work table")
    count: Count = key(1, "how many units of that work")
    size: Words = key("", 'size of the holes in inches as "3/32"')
    ref: Words = key("", "where the kit's manual or drawing says it")
    after: list[Reference] = key([], 'tasks it waits for: short for holds of kind "after"')
    holds: list[HoldTable] = key([], "why it may not start yet, each with its kind")
    within: Annotated[list[WithinTable], BeforeValidator(as_list)] = key([], "time windows it must be finished in")
    minutes: ThreeMinutes | None = key(None, "whole task, set-up included: low, likely, high; overrides the work table")
    crew: Crew | None = key(None, "2 = a helper is needed throughout; default: as the work table says")
    split: bool | None = key(None, "may stop at any count and go on later; default: as the work table says")
    loud: bool | None = key(None, "not after the quiet hour; default: as the work table says")
    filler: bool | None = key(
        None, "may fill gaps and ends, never displaces other work; default: as the work table says"
    )
    late: bool = key(False, "as late as possible")
    least: Count | None = key(None, "least count worth starting; default: 15 minutes' worth, or the rest")
    one_go: Words = key("", "name of a group done one after another without a break")
    tools: list[Reference] = key([], "tools in hand, besides those of the work table")
    occupies: Annotated[list[OccupyTable], BeforeValidator(as_list)] = key([], "tables and jigs taken for days")
    clecos: Annotated[list[ClecoLoanTable], BeforeValidator(as_list)] = key([], "clecos and clamps lent")
    needs: dict[str, Quantity] = key({}, "items used up by the whole task: {item = quantity}")
    fasteners: FastenersTable | None = key(None, "what fastens its holes")
    holes: Words = key("", "name of a group of holes, for the order of drilling, deburring, fastening")
    sheets: list[Length] = key([], "thicknesses joined")
    edge_distance: Length | None = key(None, "middle of the holes to the edge")
    pitch: Length | None = key(None, "hole to hole in a row")
    row_distance: Length | None = key(None, "row to row")
    metals: list[Title] = key([], "what touches here")
    protect: Words = key("", "what keeps the metals apart: primer, sealant ...")
    inside: list[Reference] = key([], "bays it is done in")
    closes: list[Reference] = key([], "bays it closes off")
    photo: bool = key(False, "a photo is owed")
    check: CheckTable | None = key(None, "the rule that judges the values measured in this task")
    temperature: Temperature | None = key(None, "may be done between these, Celsius")
    humidity: Humidity | None = key(None, "may be done between these, per cent")
    note: Prose = key("", "a remark for the bench")
    caution: Prose = key("", "what can hurt, and what protects")


class WorkTable(Table):
    """One kind of work; overrides the row of the same id in the shop's work.toml."""

    id: Id = key(..., "what tasks name it by")
    title: Title = key(..., "what it is called on the screens")
    unit: Words = key("", "what is counted: hole, rivet, part ...")
    seconds: ThreeSeconds = key([0.0, 0.0, 0.0], "per unit: low, likely, high")
    set_up_minutes: Minutes = key(0.0, "getting the tools out")
    clean_up_minutes: Minutes = key(0.0, "putting them away")
    crew: Crew = key(1, "people needed throughout")
    split: bool = key(False, "may stop at any count and go on later")
    loud: bool = key(False, "not after the quiet hour")
    filler: bool = key(False, "may fill gaps and ends, never displaces other work")
    helper_alone: bool = key(False, "a helper can do it alone")
    tools: list[Reference] = key([], "tools in hand")
    takes: Prose = key("", "what else to lay out, in words")
    hole_step: Literal["", "drill", "final", "deburr", "form", "clean", "fasten"] = key("", "its place among hole work")
    temperature: Temperature | None = key(None, "may be done between these, Celsius")
    caution: Prose = key("", "what can hurt, and what protects")
    source: Prose = key("", "where the figures come from")


class FromTable(Table):
    """A procedure taken in here: its tasks stand in the place of this table."""

    procedure: Reference = key(..., "name of the procedure: flush-skin; its library must stand in `use`")
    as_: Id = key(..., "put before the ids of its tasks: <as>.<id>", alias="as")
    assembly: Reference = key("", "the assembly its tasks belong to")
    with_: dict[str, Any] = key({}, "its parameters: {holes = 118}", alias="with")


class ReviewTable(Table):
    """What the review of this plan leaves out."""

    off: dict[str, Title] = key({}, 'rules switched off, each with its reason: {rule = "reason"}')


class PlanTable(Table):
    """The whole plan file."""

    fitup: Literal[1] = key(..., "version of the plan file")
    title: Words = key("", "what is built; default: the name of the file")
    length_unit: Literal["mm", "in"] = key("mm", "unit of every length")
    sessions: Sessions = key("", 'usual bench times: "tue 19:00-21:30, sat 09:00-13:00"')
    use: list[Library] = key([], 'libraries that [[from]] may use: ["procedures/flush-skin"]')
    review: ReviewTable = key(ReviewTable(), "what the review of this plan leaves out")
    assembly: list[AssemblyTable] = key([], "parts of the aircraft")
    bay: list[BayTable] = key([], "volumes that get closed off")
    tool: list[ToolTable] = key([], "tools, tables and jigs")
    item: list[ItemTable] = key([], "what is used up")
    cleco: list[ClecoTable] = key([], "temporary fasteners there are")
    work: list[WorkTable] = key([], "kinds of work of this plan's own")
    task: list[TaskTable] = key([], "the work, in the order of building")
    from_: list[FromTable] = key([], "procedures taken in", alias="from")
