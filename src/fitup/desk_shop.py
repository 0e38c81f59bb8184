"""Which shop's trade tables count, for both faces.

Apart from the other doors, since every command passes through here and most need nothing else of them.
"""

from __future__ import annotations

from pathlib import Path

from fitup.trade.tables import use_folder


def use_shop_tables(shop: Path | None) -> None:
    """Let everything in this process use the trade tables of the shop folder, found when first needed."""

    def find() -> Path | None:
        from fitup.files.shop import trade_folder

        return trade_folder(shop)

    use_folder(find)
