"""Waiting for what is to come about: a slow, busy machine takes longer, and the same is then seen."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TypeVar

from playwright.sync_api import Page

PATIENCE = 60.0
"""Seconds that are waited for what is to come about; spent whole only when it never does."""
STEP = 0.05

Read = TypeVar("Read")


def until(holds: Callable[[], bool], seconds: float = PATIENCE) -> None:
    """Wait until something holds, and fail when it never does."""
    deadline = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < deadline, "it never came to hold"
        time.sleep(STEP)


def comes_to(read: Callable[[], Read], wanted: object, seconds: float = PATIENCE) -> Read:
    """Read until it is what is wanted, and fail with what was read last; returns it as it was read."""
    deadline = time.monotonic() + seconds
    while (found := read()) != wanted and time.monotonic() < deadline:
        time.sleep(STEP)
    assert found == wanted
    return found


def painted(page: Page) -> None:
    """Wait until all that was asked of a page so far is painted: asked in one frame, it is there in the next but one."""
    page.evaluate(
        "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => requestAnimationFrame(done))))"
    )
