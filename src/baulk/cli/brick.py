"""The size of a brick as it is typed on the command line."""

from __future__ import annotations

import re

import click

__all__ = ["brick_size"]


class _Brick(click.ParamType[tuple[float, float, float]]):
    """Three sides in millimetres, as in 215x102.5x65."""

    name = "L×B×T"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float, float]:  # fmt: skip
        """Return the three sides."""
        parts = re.split(r"\s*[x×X]\s*", str(value).strip())
        try:
            one, two, three = (float(part) for part in parts)
        except ValueError:
            self.fail(
                f"“{value}” is not a size. Write length, breadth and thickness in millimetres, as in 215x102.5x65.", param, ctx
            )
        return one, two, three


brick_size = _Brick()
"""Length, breadth and thickness in millimetres."""
