"""What the report is given besides the record: the order and the figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = ["DrawnFigure", "ImpliedRelation", "SequenceFacts"]


@dataclass(frozen=True, slots=True)
class ImpliedRelation:
    """A relation that others imply: its id, and the contexts of the path that implies it, latest first."""

    relation: str
    path: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SequenceFacts:
    """The order of the contexts, by ids of the record.

    Parameters
    ----------
    steps : mapping of context id to (int, int)
        Earliest and latest step that a context can have, 1 the earliest of all; contexts without one stand in a loop.
    loops : tuple of tuple of str
        Contexts of each loop, the shortest way round, the first not repeated.
    one_sided : tuple of str
        Relations entered on one sheet only.
    implied : tuple of ImpliedRelation
        Relations that others imply; they stay in the record and are left out of the diagram.
    floating : tuple of str
        Contexts without any relation.
    set_aside : tuple of str
        Relations that could not be used.
    contradictions : tuple of str
        Sentences on phases that contradict the order.
    """

    steps: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    loops: tuple[tuple[str, ...], ...] = ()
    one_sided: tuple[str, ...] = ()
    implied: tuple[ImpliedRelation, ...] = ()
    floating: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()
    contradictions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DrawnFigure:
    """A drawing for the report.

    Parameters
    ----------
    svg : str
        As the drawing gives it, width and height in mm.
    caption : str
        Without a number; a full stop is added.
    alt : str
        What it shows, for who cannot see it.
    scale : int or None
        20 for 1:20; None when it has none and may be made smaller.
    """

    svg: str
    caption: str
    alt: str
    scale: int | None = None
