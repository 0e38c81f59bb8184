"""What the tests of files share."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.files.shops import make_shop

from fitup.files.shop import Shop


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A small shop in a folder of its own."""
    return make_shop(tmp_path / "shop")
