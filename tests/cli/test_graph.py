"""The drawing as plain text, read back into tasks and holds; the graph file; and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.test_commands import Shell
from tests.drawing.reading import read
from tests.shop_floor import make_project

from fitup.drawing import ASCII, ROUND


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(make_project(tmp_path), capsys)
