"""Fixes what tests must not depend on: the time zone, the locale's shop folder, the person's name."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

os.environ["TZ"] = "Europe/Berlin"
time.tzset()


@pytest.fixture(autouse=True)
def _own_world(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give every test its own home and no project or shop from outside."""
    home = tmp_path_factory.mktemp("home")
    for name in ("FITUP_PROJECT", "FITUP_SHOP", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(home))
    return home
