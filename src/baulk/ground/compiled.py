"""Compilation of the inner loops of the ground."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba

__all__ = ["compiled"]

_Loop = TypeVar("_Loop", bound=Callable[..., Any])


def compiled(loop: _Loop) -> _Loop:
    """Compile one inner loop to machine code, kept on disk between runs and free of the interpreter's lock.

    One set of options for all loops on purpose: numba's disk cache is keyed by the function alone.
    """
    return cast("_Loop", numba.njit(cache=True, nogil=True)(loop))
