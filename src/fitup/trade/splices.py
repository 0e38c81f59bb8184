"""How many rivets a splice needs: FAA AC 43.13-1B tables 4-9 to 4-11."""

from __future__ import annotations

import math
from fractions import Fraction

from fitup.model.frozen import dataclass
from fitup.trade.exact import inches, inches_of_size
from fitup.trade.mistake import Mistake
from fitup.trade.remark import Remark, in_unit
from fitup.trade.tables import Row, Tables, tables


@dataclass(frozen=True, slots=True)
class Splice:
    """Rivets needed on each side of a splice, and how they were counted.

    `per_inch` is the tabled number per inch of width, `share` what the kind of joint may use of it.
    """

    rivets: int
    per_inch: Fraction
    share: Fraction
    sheet: Fraction
    source: str
    remarks: tuple[Remark, ...] = ()

    def rows(self, count: int) -> int:
        """Return the rivets in each of `count` equal rows."""
        return math.ceil(self.rivets / max(1, count))


def splice(
    sheet: float,
    width: float,
    unit: str,
    size: str,
    joint: str = "lap",
    alloy: str = "2024-T3",
    source: str = "",
    *,
    own: Tables | None = None,
) -> Splice:
    """Count the AD protruding-head rivets of a splice; `sheet` thickness and `width` in `unit`.

    `joint`: full, lap, stringer or frame. Both roundings go up, as in the circular's examples.
    Between two tabled thicknesses the thicker counts. Raises `Mistake` where the table has no
    such thickness, diameter or alloy.
    """
    book = own or tables()
    thickness, across = inches(sheet, unit, "sheet"), inches(width, unit, "width")
    if thickness <= 0 or across <= 0:
        raise Mistake("sheet and width of a splice must be above 0")
    share = _share(joint, book)
    found = _by_source(alloy, thickness, size, source, book)
    if not found:
        raise Mistake(f"no table gives rivets of {size} for {alloy} of {in_unit(thickness, unit)}; ask the kit's maker")
    counted = [_counted(row, across, size, share) for row in found]
    chosen = counted[0]
    stricter = [one for one in counted[1:] if one.rivets > chosen.rivets]
    remarks = tuple(
        Remark("warning", "rivets", f"another table lists {alloy} too and asks for {one.rivets}", one.source)
        for one in stricter
    )
    return Splice(chosen.rivets, chosen.per_inch, share, chosen.sheet, chosen.source, remarks)


def _share(joint: str, book: Tables) -> Fraction:
    rows = {row.text("joint"): row for row in book.matching("splices", "joint")}
    if joint not in rows:
        raise Mistake(f"there is no joint {joint[:20]!r}; write one of {', '.join(rows)}")
    return rows[joint].figure("share")


def _by_source(alloy: str, thickness: Fraction, size: str, source: str, book: Tables) -> list[Row]:
    """Return per source the row of the next thickness not below, where it has that diameter."""
    best: dict[str, Row] = {}
    for row in book.matching("splices", "per-inch", source):
        if alloy not in row.texts("alloys") or row.figure("sheet") < thickness:
            continue
        if row.source not in best or row.figure("sheet") < best[row.source].figure("sheet"):
            best[row.source] = row
    return [row for row in best.values() if _tabled(row, size) is not None]


def _tabled(row: Row, size: str) -> Fraction | None:
    wanted = inches_of_size(size)
    for name, figure in row.figures("rivets").items():
        if inches_of_size(name) == wanted:
            return figure
    return None


def _counted(row: Row, across: Fraction, size: str, share: Fraction) -> Splice:
    per_inch = _tabled(row, size) or Fraction(0)
    rivets = math.ceil(math.ceil(per_inch * across) * share)
    return Splice(rivets, per_inch, share, row.figure("sheet"), row.cited)
