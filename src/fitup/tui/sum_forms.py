"""Forms for the trade's sums: what a rivet, a hole, a cure or a splice comes to, with its source.

A sum needs nothing of the project, but takes over what the chosen task says of its rivets and what
the shop's thermometer said last. The answer stands in the panel, so that one figure can be changed
and the sum made again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fitup.model.amounts import clean, number
from fitup.model.refusal import Refused
from fitup.tui.forms import Answers, Field, Form, read_celsius, read_count, read_number
from fitup.tui.rows import Row, row, say
from fitup.tui.work_forms import YES_NO

if TYPE_CHECKING:
    from fitup.desk_sums import Sum
    from fitup.tui.commands.base import Face, Here

SOURCE = "source: "


@dataclass(frozen=True, slots=True)
class Kind:
    """A sum: its name, how the palette calls it, what it tells, its fields for the chosen row, and its doing."""

    name: str
    words: str
    says: str
    fields: Callable[[Here], list[Field]]
    work: Callable[[Answers], Sum]


def _choices(*words: str) -> tuple[tuple[str, str], ...]:
    return tuple((word, word) for word in words)


def _rivet_fields(here: Here) -> list[Field]:
    fasteners = here.task.fasteners if here.task is not None else None
    head = fasteners.head if fasteners is not None else "universal"
    return [
        Field("size", "diameter", fasteners.size if fasteners is not None else "1/8"),
        Field("grip", "grip, all sheets", "", "0.125in or 3.2mm"),
        Field("head", "head", head, choices=_choices("universal", "flush", "blind")),
        Field("material", "material", fasteners.material if fasteners is not None else "AD"),
        Field("half", "half lengths", "yes" if fasteners is not None and fasteners.half else "no", choices=YES_NO),
        Field("callout", "the kit calls for", empty="nothing"),
    ]


def _rivet(answers: Answers) -> Sum:
    from fitup import desk_sums

    half = answers["half"] == "yes"
    return desk_sums.rivet(
        answers["size"], answers["grip"], answers["head"], answers["material"], half, answers["callout"]
    )


def _hole_fields(here: Here) -> list[Field]:
    return [
        Field("size", "rivet diameter", _size(here)),
        Field("fastener", "kind", "solid", choices=_choices("solid", "blind")),
        Field("pilot", "hole there now", "", "#40, 1/8, 3.3mm", empty="none"),
        Field("steps", "steps up to it", "1"),
        Field("sheet", "sheet", "", "0.032in or 0.8mm", empty="unknown"),
        Field("source", "only from source", empty="any"),
    ]


def _hole(answers: Answers) -> Sum:
    from fitup import desk_sums

    steps = read_count(answers["steps"], "steps")
    steps = 1 if steps is None else steps
    return desk_sums.hole(
        answers["size"], answers["fastener"], answers["source"], answers["pilot"], steps, answers["sheet"]
    )


def _cure_fields(here: Here) -> list[Field]:
    return [
        Field("hours", "hours at 77F, from the product's own sheet"),
        Field("celsius", "shop at", "25C", "18C or 64F"),
        Field("law", "law", choices=(("none", "none"), ("double-18F", "twice as long per 18 F colder"))),
    ]


def _cure(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.cure(
        _figure(answers["hours"], "hours"), _given(read_celsius(answers["celsius"]), "temperature"), answers["law"]
    )


def _layout_fields(here: Here) -> list[Field]:
    return [
        Field("sheet", "sheet", "", "0.032in or 0.8mm"),
        Field("width", "width of the splice", "", "10in"),
        Field("size", "rivet diameter", _size(here)),
        Field("joint", "joint", "lap", choices=_choices("lap", "full", "stringer", "frame")),
        Field("alloy", "alloy of the sheet", "2024-T3"),
        Field("source", "only from source", empty="any"),
    ]


def _layout(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.layout(
        answers["sheet"], answers["width"], answers["size"], answers["joint"], answers["alloy"], answers["source"]
    )


def _straight_fields(here: Here) -> list[Field]:
    return [
        Field("at", "places", "", "0, 0.9, 1.8", wide=True),
        Field("read", "readings there, in the same unit", "", "5.9, 5.4, 4.4", wide=True),
    ]


def _straight(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.straight(_figures(answers["at"], "places"), _figures(answers["read"], "readings"))


def _learning_fields(here: Here) -> list[Field]:
    return [
        Field("rate", "left after doubling", "0.85"),
        Field("first", "time of the first piece"),
        Field("unit", "which piece"),
        Field("to", "and all up to piece", empty="only this one"),
    ]


def _learning(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.learn(
        _figure(answers["rate"], "left after doubling"),
        _figure(answers["first"], "time of the first piece"),
        _figure(answers["unit"], "which piece"),
        read_number(answers["to"], "and all up to piece"),
    )


def _blind_fields(here: Here) -> list[Field]:
    return [
        Field("size", "rivet diameter", _size(here)),
        Field("grip", "grip, all sheets", "", "0.1in or 2.5mm"),
        Field("code", "code of the one at hand", empty="none"),
    ]


def _blind(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.blind(answers["size"], answers["grip"], answers["code"])


def _countersink_fields(here: Here) -> list[Field]:
    return [Field("size", "rivet diameter", _size(here)), Field("sheet", "sheet", "", "0.032in or 0.8mm")]


def _countersink(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.countersink(answers["size"], answers["sheet"])


def _heads_fields(here: Here) -> list[Field]:
    return [
        Field("size", "rivet diameter", _size(here)),
        Field("unit", "figures in", "in", choices=_choices("in", "mm")),
        Field("uncertainty", "a figure may be off by", "0"),
        Field("width", "widths", "", "0.19, 0.18", wide=True, empty="not measured"),
        Field("height", "heights, in the same order", "", "0.06, 0.058", wide=True, empty="not measured"),
    ]


def _heads(answers: Answers) -> Sum:
    from fitup import desk_sums

    widths = _figures(answers["width"], "widths") if answers["width"] else []
    heights = _figures(answers["height"], "heights") if answers["height"] else []
    off = read_number(answers["uncertainty"], "a figure may be off by")
    return desk_sums.shop_heads(answers["size"], widths, heights, answers["unit"], off or 0)


def _repair_fields(here: Here) -> list[Field]:
    fasteners = here.task.fasteners if here.task is not None else None
    return [
        Field("size", "rivet called for", _size(here)),
        Field("material", "its material", fasteners.material if fasteners is not None else "AD"),
        Field("head", "head", "universal" if fasteners is None else fasteners.head, choices=_choices(*_SOLID)),
        Field("hole", "the hole measures", "", "0.135in", empty="unknown"),
        Field("pattern", "rivets in the joint", empty="unknown"),
        Field("instead", "material at hand", "", "AD", empty="the same"),
    ]


def _repair(answers: Answers) -> Sum:
    from fitup import desk_sums

    pattern = read_count(answers["pattern"], "rivets in the joint") or 0
    return desk_sums.repair(
        answers["size"], answers["hole"], pattern, answers["material"], answers["instead"], answers["head"]
    )


def _primer_fields(here: Here) -> list[Field]:
    return [
        Field("product", "primer", "MIL-PRF-23377"),
        Field("age", "hours since the last coat", empty="none yet"),
        Field("celsius", "shop at", "25C", "18C or 64F"),
        Field("coats", "coats", "1"),
    ]


def _primer(answers: Answers) -> Sum:
    from fitup import desk_sums

    age = read_number(answers["age"], "hours since the last coat")
    coats = read_count(answers["coats"], "coats")
    return desk_sums.primer(answers["product"], age, read_celsius(answers["celsius"]), 1 if coats is None else coats)


def _sealant_fields(here: Here) -> list[Field]:
    return [Field("class", "class, as on the tin", "B-2"), *_cure_fields(here)[1:]]


def _sealant(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.sealant(answers["class"], _given(read_celsius(answers["celsius"]), "temperature"), answers["law"])


def _twist_fields(here: Here) -> list[Field]:
    return [Field("chord", "length that twists", "", "50in or 1270mm"), Field("degrees", "degrees apart", "", "0.2")]


def _twist(answers: Answers) -> Sum:
    from fitup import desk_sums

    return desk_sums.twist(answers["chord"], _figure(answers["degrees"], "degrees apart"))


_SOLID = ("universal", "flush")


def _size(here: Here) -> str:
    """Return the rivet diameter of the chosen task, 1/8 where it has none."""
    return here.task.fasteners.size if here.task is not None and here.task.fasteners is not None else "1/8"


SUMS: tuple[Kind, ...] = (
    Kind("rivet", "rivet length", "part number, length and tail of a rivet by its grip", _rivet_fields, _rivet),
    Kind("hole", "hole for a rivet", "the final drill, and the steps up to it", _hole_fields, _hole),
    Kind("cure", "cure at temperature", "how long a cure takes in a cold or warm shop", _cure_fields, _cure),
    Kind("layout", "rivets in a splice", "how many, and the least distances", _layout_fields, _layout),
    Kind("straight", "straightness", "how far readings are from a straight line", _straight_fields, _straight),
    Kind("learning", "learning", "what a later piece takes when the first took so long", _learning_fields, _learning),
    Kind("blind", "blind rivet", "which one for a grip, and whether one at hand fits", _blind_fields, _blind),
    Kind("countersink", "countersink or dimple", "what a sheet may be, by source", _countersink_fields, _countersink),
    Kind("heads", "driven heads", "whether those measured pass", _heads_fields, _heads),
    Kind("repair", "hole too large", "the next rivet, its drill, how many may be", _repair_fields, _repair),
    Kind("primer", "primer", "when to use it, coat it again, how thick", _primer_fields, _primer),
    Kind("sealant", "sealant", "how long a class may be worked", _sealant_fields, _sealant),
    Kind("twist", "twist", "what an angle is at the end of a chord", _twist_fields, _twist),
)
"""Every sum, as the palette offers it."""


def sum_options(words: str) -> list[Row]:
    """Return the rows of the palette for the sums that hold all the words typed."""
    parts = words.casefold().split()
    return [
        row(
            say("       "),
            say(f"{f'sum: {one.words}':<27}", "strong"),
            say(one.says, "dim"),
            key=f"sum {one.name}",
        )
        for one in SUMS
        if parts and all(part in f"sum: {one.words} {one.says}".casefold() for part in parts)
    ]


def choose_form(rows: Sequence[Row], pick: Callable[[str], None]) -> Form:
    """Ask which sum, narrowed by what is typed."""

    def options(words: str) -> list[Row]:
        parts = words.casefold().split()
        return [one for one in rows if all(part in one.text.casefold() for part in parts)]

    return Form(
        "Which sum?",
        [Field("words", "find", wide=True)],
        lambda answers: None,
        options=options,
        pick=pick,
        enter=lambda key: "open it",
    )


def open_sum(face: Face, name: str) -> None:
    """Open the panel with the fields of a sum; raises `KeyError` for a name that none has."""
    kind = next((one for one in SUMS if one.name == name), None)
    if kind is None:
        raise KeyError(name)
    face.ask(_form(face, kind, _begun(face, kind), ()))


def _begun(face: Face, kind: Kind) -> list[Field]:
    """Return the sum's fields with what is known already filled in."""
    fields = kind.fields(face.here())
    readings = face.board.project.progress.temperatures
    task = face.here().task
    for entry in fields:
        if entry.name == "celsius" and readings:
            entry.text = f"{number(readings[-1].celsius)}C"
        if entry.name == "grip" and task is not None and task.fasteners is not None and task.fasteners.grip:
            entry.text = f"{number(task.fasteners.grip)}{face.board.project.plan.length_unit}"
        entry.caret = len(entry.text)
    return fields


def _form(face: Face, kind: Kind, fields: list[Field], answer: tuple[str, ...], at: int = 0) -> Form:
    def go(answers: Answers) -> None:
        try:
            found = kind.work(answers)
        except Refused as refused:
            raise Refused(str(refused).replace("--", "")) from None
        again = [replace(entry, fresh=True, caret=len(entry.text)) for entry in form.fields]
        face.ask(_form(face, kind, again, found.lines, form.at))

    def left() -> None:
        if answer:
            face.tell("; ".join((answer[0], answer[-1])))

    lines = tuple(_answer_row(line) for line in answer)
    form = Form(f"Sum: {kind.words}", fields, go, lines, left=left, at=at, answer=bool(answer))
    return form


def _answer_row(line: str) -> Row:
    if line.startswith("! "):
        return row(say("! ", "strong"), say(line[2:], "warn"))
    if line.startswith(SOURCE):
        return row(say("  ", "dim"), say(line, "dim"))
    return row(say("  "), say(line, "strong"))


def _given(value: float | None, what: str) -> float:
    if value is None:
        raise Refused(f"{what}: a figure is needed")
    return value


def _figure(text: str, what: str) -> float:
    return _given(read_number(text, what), what)


def _figures(text: str, what: str) -> list[float]:
    """Read figures with commas or spaces between them."""
    words = text.replace(",", " ").split()
    if not words:
        raise Refused(f"{what}: {clean(text)!r} has no figures; write them with commas: 0, 0.9, 1.8")
    return [_figure(word, what) for word in words]
