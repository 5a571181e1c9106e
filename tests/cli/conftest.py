"""A runner for commands and the demo site, built once."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from baulk.cli import main
from baulk.work.demo import DemoSites

Run = Callable[..., Result]


@pytest.fixture
def own_demo(demo_sites: DemoSites, tmp_path: Path) -> Path:
    """Return a copy of the good demo site that a test may write to."""
    return Path(shutil.copy(demo_sites.good, tmp_path / "otter-weir.gpkg"))


@pytest.fixture
def run() -> Run:
    """Return a function that runs `baulk` with these words."""

    def runner(*words: object) -> Result:
        asked = [str(word) for word in words]
        return CliRunner().invoke(main, asked, obj="json" if "--json" in asked else None, catch_exceptions=False)

    return runner


def answer(result: Result) -> Any:
    """Return the JSON that a command answered with."""
    return json.loads(result.stdout)
