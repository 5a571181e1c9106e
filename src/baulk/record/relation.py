"""What lies over, cuts, fills or abuts what."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, facts

__all__ = ["ORDERING", "SAME", "Relation"]

ORDERING = ("overlies", "cuts", "fills", "abuts")
"""Relations that put one context later than the other."""

SAME = ("same as", "bonded with")
"""Relations that make two contexts one in time; which is named first does not matter."""

_M, _E = Need.MANDATORY, Need.EXPECTED
_MANUAL = "published recording manuals"


class Relation(Entity):
    """One observed relation, always from later to earlier; immediate contacts and plain physical contacts alike."""

    KIND: ClassVar[str] = "relation"
    TITLE: ClassVar[str] = "relation"

    later: Annotated[str, facts("Later", "The context above.", _M, Quantity.REFERENCE, refers="context", source=_MANUAL)]
    earlier: Annotated[str, facts("Earlier", "The context below.", _M, Quantity.REFERENCE, refers="context", source=_MANUAL)]
    how: Annotated[
        str | None,
        facts("How", "Overlies, cuts, fills, abuts, same as, bonded with.", _M, Quantity.WORD, "how", source=_MANUAL),
    ] = "overlies"
    where_seen: Annotated[
        str | None, facts("Where seen", "In plan, in a wall, in both, or inferred.", _E, Quantity.WORD, "where_seen")
    ] = None
    certainty: Annotated[
        str | None,
        facts(
            "Certainty",
            "Firm, probable or doubtful.",
            _E,
            Quantity.WORD,
            "certainty",
            source="practitioners' forum, read",
        ),
    ] = None
    sheet: Annotated[
        str | None,
        facts(
            "Entered on",
            "The sheet from which it was entered; both sides are entered, as a check.",
            _E,
            Quantity.WORD,
            "sheet",
            source="published recording manual",
        ),
    ] = None
    basis: Annotated[
        str | None,
        facts(
            "Basis",
            "For “same as”: seen continuous, or matched by character. For doubt: what would settle it.",
            _E,
            source="common practice, no source",
        ),
    ] = None
    settled_by: Annotated[
        str | None,
        facts("Tried", "What was tried while open to settle a doubt.", _E, source="practitioners' forum, read"),
    ] = None
