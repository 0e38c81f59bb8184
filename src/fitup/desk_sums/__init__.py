"""The desk's side door to the trade's sums: rivets, holes, heads, repairs, cures, coatings, splices, measures.

They need no project and no plan. Every answer tells its source and standing; the tables are those
of the shop folder, so that what the kit's manual says there wins over what is published.
"""

from __future__ import annotations

from fitup.desk_sums.answer import Sum
from fitup.desk_sums.curing import cure, primer, sealant
from fitup.desk_sums.measuring import learn, straight, twist
from fitup.desk_sums.mending import repair, shop_heads
from fitup.desk_sums.riveting import blind, countersink, hole, layout, rivet

__all__ = [
    "Sum",
    "blind",
    "countersink",
    "cure",
    "hole",
    "layout",
    "learn",
    "primer",
    "repair",
    "rivet",
    "sealant",
    "shop_heads",
    "straight",
    "twist",
]
