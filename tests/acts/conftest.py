"""The trim tab's desk, open at nine in the morning, for all tests of acts."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.shop_floor import Wall, open_desk

from fitup.desk import Desk


@pytest.fixture
def wall() -> Wall:
    return Wall()


@pytest.fixture
def desk(tmp_path: Path, wall: Wall) -> Desk:
    return open_desk(tmp_path, wall)
