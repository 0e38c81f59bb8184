"""Where rivets may stand: edge distance, pitch, row distance, and diameter by sheet thickness.

Unless one source is chosen, the strictest published minimum warns and names its source; a figure
above a usual maximum is only a note.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from fitup.trade.exact import inches, inches_of_size
from fitup.trade.mistake import Mistake
from fitup.trade.remark import Remark, in_unit, mildest, strictest
from fitup.trade.tables import Row, Tables, preferred, tables

_FLUSH = ("flush", "countersunk", "100")
Figure = Literal["edge", "pitch", "row"]
_NAMES: dict[Figure, str] = {"edge": "edge distance", "pitch": "pitch", "row": "row distance"}


def minimum(
    figure: Figure, size: str, head: str = "universal", source: str = "", *, own: Tables | None = None
) -> tuple[Fraction, str] | None:
    """Return the strictest published minimum in inches and its source, None where no source gives one.

    `source` picks by part of a source's name, for those who hold to one.
    """
    book, diameter = own or tables(), inches_of_size(size)
    rows = [row for row in _rows(book, head, source) if row.maybe(f"{figure}-min") is not None]
    if figure == "edge":
        rows += [
            row
            for row in book.matching("layout", "edge", source)
            if inches_of_size(row.text("size")) == diameter and _for_head(row, head)
        ]
    return strictest((_length(row, f"{figure}-min", diameter), row.cited) for row in preferred(rows))


def maximum(
    figure: Figure, size: str, head: str = "universal", source: str = "", *, own: Tables | None = None
) -> tuple[Fraction, str] | None:
    """Return the least published usual maximum in inches and its source, None where no source gives one."""
    diameter = inches_of_size(size)
    rows = [row for row in _rows(own or tables(), head, source) if row.maybe(f"{figure}-max") is not None]
    return mildest((_length(row, f"{figure}-max", diameter), row.cited) for row in preferred(rows))


def above_all(
    figure: Figure, length: float, unit: str, size: str, head: str = "universal", *, own: Tables | None = None
) -> bool:
    """Say whether a distance lies above every published usual maximum, not only above the least of them."""
    diameter = inches_of_size(size)
    rows = [row for row in _rows(own or tables(), head, "") if row.maybe(f"{figure}-max") is not None]
    most = [_length(row, f"{figure}-max", diameter) for row in preferred(rows)]
    return bool(most) and inches(length, unit, _NAMES[figure]) > max(most)


def spacing_remarks(
    size: str,
    unit: str,
    *,
    head: str = "universal",
    edge: float | None = None,
    pitch: float | None = None,
    row: float | None = None,
    source: str = "",
    own: Tables | None = None,
) -> tuple[Remark, ...]:
    """Judge edge distance, pitch and row distance (in `unit`, "mm" or "in") for a rivet diameter."""
    remarks: list[Remark] = []
    given: tuple[tuple[Figure, float | None], ...] = (("edge", edge), ("pitch", pitch), ("row", row))
    for figure, value in given:
        if value is None:
            continue
        length = inches(value, unit, _NAMES[figure])
        least = minimum(figure, size, head, source, own=own)
        most = maximum(figure, size, head, source, own=own)
        if least and length < least[0]:
            remarks.append(_remark("warning", figure, length, "below", least, size, unit))
        elif most and length > most[0]:
            remarks.append(_remark("note", figure, length, "above the usual", most, size, unit))
    return tuple(remarks)


def suggested_diameter(thickest: float, unit: str, *, own: Tables | None = None) -> Fraction:
    """Return the usual rivet diameter in inches: about three times the thickest sheet, at least 3/32.

    The next 1/32 in up: 0.032 in gives 1/8. Sources: FAA AC 43.13-1B par 4-58g(2)(a); NAVEDTRA 14018 rule 5.
    """
    book = own or tables()
    times = _with(book, "about", "").figure("about")
    least = inches_of_size(book.first("layout", "structural").text("least"))
    return max(least, Fraction(math.ceil(times * _thickness(thickest, unit) * 32), 32))


def diameter_remarks(
    size: str, sheets: Sequence[float], unit: str, source: str = "", *, own: Tables | None = None
) -> tuple[Remark, ...]:
    """Judge a rivet diameter by the thickest of the sheets it joins.

    Not below that thickness, not above three times it; the next diameter up from three times it is
    let pass unless a source is chosen, as FAA AC 43.13-1B itself takes it.
    """
    book = own or tables()
    if not sheets:
        raise Mistake("no sheets are given; write sheets = [0.51, 0.81]")
    diameter, thickest = inches_of_size(size), max(_thickness(sheet, unit) for sheet in sheets)
    rule = _with(book, "smallest", source)
    low, high = rule.figure("smallest") * thickest, rule.figure("largest") * thickest
    usual = suggested_diameter(float(thickest), "in", own=book)
    least = book.first("layout", "structural")
    remarks = []
    sheet = in_unit(thickest, unit)
    if diameter < low:
        says = f"{size} is thinner than the thickest sheet, {sheet}; {usual} is usual there"
        remarks.append(Remark("note", "diameter", says, rule.cited))
    if diameter > high and (source or diameter > usual):
        says = f"{size} is more than three times the thickest sheet, {sheet}; {usual} is usual there"
        remarks.append(Remark("note", "diameter", says, rule.cited))
    if diameter < inches_of_size(least.text("least")):
        says = f"{size} is below {least.text('least')}, the least for structure, controls and wing skins"
        remarks.append(Remark("note", "diameter", says, least.cited))
    return tuple(remarks)


def _thickness(sheet: float, unit: str) -> Fraction:
    figure = inches(sheet, unit, "sheet")
    if figure <= 0:
        raise Mistake(f"a sheet of {sheet:g} {unit} is not above 0; write its thickness")
    return figure


def _with(book: Tables, key: str, source: str) -> Row:
    rows = book.matching("layout", "diameter")
    found = [row for row in rows if row.maybe(key) is not None]
    chosen = [row for row in found if source.lower() in row.source.lower()] or found
    if not chosen:
        raise Mistake(f"the trade table layout.toml has no row [[diameter]] with {key}")
    return chosen[0]


def _rows(book: Tables, head: str, source: str) -> list[Row]:
    return [row for row in book.matching("layout", "spacing", source) if _for_head(row, head)]


def _length(row: Row, key: str, diameter: Fraction) -> Fraction:
    """Return a row's distance in inches: rows give it in diameters, or in inches for one size."""
    return row.figure(key) if row.text("unit") == "in" else row.figure(key) * diameter


def _for_head(row: Row, head: str) -> bool:
    """A row without a head holds for every head."""
    kind = "flush" if head.strip().lower() in _FLUSH else "protruding"
    return row.text("head") in ("", kind)


def _remark(
    level: Literal["warning", "note"],
    figure: Figure,
    length: Fraction,
    where: str,
    limit: tuple[Fraction, str],
    size: str,
    unit: str,
) -> Remark:
    diameters = float(limit[0] / inches_of_size(size))
    says = (
        f"{_NAMES[figure]} {in_unit(length, unit)} is {where} {in_unit(limit[0], unit)}, {diameters:.3g} D for {size}"
    )
    return Remark(level, _NAMES[figure], says, limit[1])
