"""The house: which package may import which, and what the pure rooms may not touch."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "baulk"
PURE = ("record", "grid", "sequence", "ground", "dating", "reading", "closing", "drawing")
FORBIDDEN_MODULES = {
    "os", "io", "pathlib", "shutil", "tempfile", "socket", "urllib", "http", "requests", "httpx", "sqlite3", "subprocess",
    "random", "time", "secrets", "locale", "getpass", "platform", "logging",
}  # fmt: skip
FORBIDDEN_CALLS = {"open", "print", "input", "exec", "eval"}
FORBIDDEN_ATTRIBUTES = {("datetime", "now"), ("datetime", "utcnow"), ("date", "today"), ("datetime", "today"), ("uuid", "uuid4")}


def impurities(source: str) -> list[str]:
    """Return what a piece of code touches that a calculation may not."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names if alias.name.split(".")[0] in FORBIDDEN_MODULES]
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] in FORBIDDEN_MODULES:
            found.append(node.module)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in FORBIDDEN_CALLS:
            found.append(f"{node.func.id}()")
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            if (node.value.id, node.attr) in FORBIDDEN_ATTRIBUTES:
                found.append(f"{node.value.id}.{node.attr}")
            if node.value.id in ("np", "numpy") and node.attr == "random":
                found.append("numpy's global random state")
    return found


SEEDED = re.compile(r"np\.random\.(Generator|default_rng\([A-Z_a-z0-9])")


def without_seeded_draws(source: str) -> str:
    """Return the code without `np.random.Generator`, which names a type, and generators made from a stated seed."""
    return SEEDED.sub(r"seeded_\1", source)


@pytest.mark.parametrize("package", PURE)
def test_pure_rooms_touch_nothing_outside(package: str) -> None:
    """A calculation, the record and a drawing read no file, network, clock, environment or global random state."""
    files = sorted((SOURCE / package).rglob("*.py"))
    assert files, f"no code in {package}: the check would pass on nothing"
    faults = {file.name: found for file in files if (found := impurities(without_seeded_draws(file.read_text(encoding="utf-8"))))}
    assert not faults


@pytest.mark.parametrize(
    "code",
    [
        "import os",
        "from pathlib import Path",
        "print('x')",
        "x = open('f')",
        "import numpy as np\nnp.random.rand()",
        "import numpy as np\nnp.random.default_rng()",
        "import datetime\ndatetime.now()",
    ],
)
def test_the_purity_check_can_fail(code: str) -> None:
    """Each kind of impurity is caught when it is there."""
    assert impurities(without_seeded_draws(code))


def test_imports_go_one_way() -> None:
    """Every import goes down the house, never up or sideways."""
    result = subprocess.run(
        [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"],
        cwd=SOURCE.parents[1],
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == 0, result.stdout + result.stderr
