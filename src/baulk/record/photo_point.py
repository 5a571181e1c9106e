"""A point marked on a photo whose place on the ground is known: what a photo is rectified by."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, facts
from baulk.record.values import Measure, Position, position_at

__all__ = ["PhotoPoint"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_CP = "common practice, no source"


class PhotoPoint(Entity):
    """One point seen on a photo: where in the picture, and where on the site grid or on a wall's face."""

    KIND: ClassVar[str] = "photo_point"
    TITLE: ClassVar[str] = "point on a photo"
    SHAPE: ClassVar[str] = "point"

    photo: Annotated[
        str, facts("Photo", "The photo on which it is marked.", _M, Quantity.REFERENCE, refers="photo", source=_CP)
    ]  # fmt: skip
    point: Annotated[str | None, facts("Point", "Name of the point, as on its nail or target.", _E, source=_CP)] = None
    column: Annotated[
        Measure | None,
        facts("Column", "Pixels to the right of the centre of the first pixel, the picture upright.", _M, Quantity.NUMBER),
    ] = None
    row: Annotated[
        Measure | None,
        facts("Row", "Pixels below the centre of the first pixel, the picture upright.", _M, Quantity.NUMBER),
    ] = None
    easting: Annotated[Measure | None, facts("Easting", "Site grid easting of the point.", _E, Quantity.LENGTH, source=_CP)] = None
    northing: Annotated[Measure | None, facts("Northing", "Site grid northing of the point.", _E, Quantity.LENGTH, source=_CP)] = (
        None
    )
    wall: Annotated[
        str | None,
        facts("Wall", "The wall whose face the photo shows.", quantity=Quantity.REFERENCE, refers="wall", source=_CP),
    ] = None
    distance: Annotated[
        Measure | None,
        facts("Distance", "Along the wall from its left end; of a point on a wall.", quantity=Quantity.LENGTH, source=_CP),
    ] = None
    level: Annotated[
        Measure | None,
        facts("Level", "Height above the site's vertical datum; of a point on a wall.", quantity=Quantity.LEVEL, source=_CP),
    ] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the point's place on the site grid; a point on a wall has none in plan."""
        return position_at(self.easting, self.northing)
