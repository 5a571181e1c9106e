"""The small signs of our drawings, each of size 1 with its point of reference at nought: a filled path and a stroked one."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["MARKS"]

MARKS: Mapping[str, tuple[str, str]] = MappingProxyType({
    "level on top": ("M0 0L-.5 -.87L.5 -.87Z", ""),
    "level on base": ("", "M0 0L-.5 -.87L.5 -.87Z"),
    "find": ("M0 -.5L.42 0L0 .5L-.42 0Z", ""),
    "sample": ("M-.12 -.12L.12 -.12L.12 .12L-.12 .12Z", "M-.45 -.45L.45 -.45L.45 .45L-.45 .45Z"),
    "station": (
        "M.14 0A.14 .14 0 1 1 -.14 0A.14 .14 0 1 1 .14 0Z",
        "M.5 0A.5 .5 0 1 1 -.5 0A.5 .5 0 1 1 .5 0ZM0 -.8L0 -.5M0 .5L0 .8M-.8 0L-.5 0M.5 0L.8 0",
    ),
    "grid position": ("", "M-.6 0L.6 0M0 -.6L0 .6"),
    "grid north": ("M0 -1L.26 .1L0 -.08Z", "M0 -1L-.26 .1L0 -.08L.26 .1ZM0 -.08L0 1"),
    "true north": ("M0 -1L.09 -.78L-.09 -.78Z", "M0 -.78L0 1"),
    "laid flat": ("", "M-.45 .3L-.45 -.3L.45 -.3L.45 .3Z"),
    "laid on edge": ("", "M-.45 .3L-.45 -.3L.45 -.3L.45 .3ZM-.33 0L.33 0"),
    "laid on end": ("M-.1 -.1L.1 -.1L.1 .1L-.1 .1Z", "M-.45 .3L-.45 -.3L.45 -.3L.45 .3Z"),
    "way of laying not recorded": ("", "M-.45 .3L-.45 -.3L.45 -.3L.45 .3ZM-.45 .3L-.2 .05"),
})  # fmt: skip
"""Signs by name. Levels stand on their point; the north signs point up the sheet."""
