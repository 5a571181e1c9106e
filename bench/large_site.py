"""An invented site of any size: units in rows, each with contexts in order, levels, outlines, finds and a few withheld graves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

__all__ = ["creations", "record_id"]

_SOILS = ("10YR 3/2", "10YR 4/3", "7.5YR 4/4", "2.5Y 5/3", "5YR 3/3")
_KINDS = ("deposit", "fill", "cut", "deposit", "deposit")


def record_id(number: int) -> str:
    """Return an id."""
    return f"0193a000-0000-7000-8000-{number:012d}"


def creations(units: int, contexts_each: int) -> Iterator[Any]:
    """Yield the creations of a site of units with that many contexts each; the units but the last fifty are closed."""
    from baulk.record import Stamp, creation

    count = 0

    def made(sort: str, /, **values: Any) -> Any:
        nonlocal count
        count += 1
        stamp = Stamp(f"0193b000-0000-7000-8000-{count:012d}", f"{1_770_000_000_000 + count:013d}.000000", "tablet", "AB")
        return creation(stamp, sort, record_id(count), values)

    yield made("site", code="BIG", name="Large invented site", length_unit="m", invented=True)
    for unit in range(units):
        east, north = 3.0 * (unit % 100), 3.0 * (unit // 100)
        corners = [[east, north], [east + 2, north], [east + 2, north + 2], [east, north + 2]]
        closed = {"closed": "2026-06-01"} if unit < units - 50 else {}
        own = made("unit", number=str(unit + 1), corners=corners, opened="2026-05-01", **closed)
        yield own
        before: list[str] = []
        for place in range(contexts_each):
            number = unit * contexts_each + place + 1
            grave = unit % 500 == 7 and place == contexts_each - 1
            context = made(
                "context", number=str(number), kind=_KINDS[place % 5], units=[own.record], title="dump of ash and cullet",
                description="dark silty clay with slag, charcoal and crown glass", colour_moist=_SOILS[number % 5],
                texture="silty clay", recorded_by="AB", recorded_on="2026-05-14", interpretation="dump from the yard",
                **({"cut_function": "grave"} if grave else {}),
            )  # fmt: skip
            yield context
            for step in (1, 3):
                if len(before) >= step:
                    yield made(
                        "relation",
                        later=before[-step],
                        earlier=context.record,
                        how="overlies",
                        sheet="both sheets",
                        certainty="firm",
                    )
            before.append(context.record)
            for surface in ("top", "base"):
                height = 30 - 0.05 * place - (0.05 if surface == "base" else 0)
                yield made("level", context=context.record, surface=surface, easting=east + 1, northing=north + 1, level=height)
            ring = [[east + 0.1, north + 0.1], [east + 1.5, north + 0.1], [east + 1.5, north + 1.5], [east + 0.1, north + 1.5]]
            if place % 4 == 0:
                yield made("outline", context=context.record, ring=ring, edges=["seen"] * 4)
            if place % 3 == 0:
                yield made("find", number=str(number), context=context.record, material="glass", count=3)
