"""What was measured to date a context: a radiocarbon age, bores of pipe stems, panes of window glass, rings of a timber."""

from __future__ import annotations

import re
from typing import Annotated, ClassVar

from pydantic import AfterValidator

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, facts
from baulk.record.values import Count, Day, FileMark, Measure, YearNumber

__all__ = ["DatingResult", "StemCounts", "stems_by_bore"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_LAB = "radiocarbon reporting practice, from memory"
_PIPES = "published pipe-stem tables count stems by bore"
_GLASS = "published window-glass guides"
_RINGS = "published laboratory guidance on tree rings"
_PAIR = re.compile(r"(\d{1,2}(?:\.\d{1,3})?)\s*:\s*(\d{1,6})")


def stems_by_bore(text: str) -> dict[float, int]:
    """Return how many stems there are of each bore in sixty-fourths of an inch.

    Raises
    ------
    ValueError
        When the text is no count of stems, or a bore does not lie between 3 and 12.

    Examples
    --------
    >>> stems_by_bore("5:12, 4:3")
    {5.0: 12, 4.0: 3}
    """
    found: dict[float, int] = {}
    for part in re.split(r"[,;]", text):
        pair = _PAIR.fullmatch(part.strip())
        if pair is None or not 3 <= float(pair[1]) <= 12:
            raise ValueError("Stems are counted by bore in sixty-fourths of an inch, 3 to 12, as in 5:12, 6:3.")
        found[float(pair[1])] = found.get(float(pair[1]), 0) + int(pair[2])
    return found


def _stem_counts(text: str) -> str:
    return ", ".join(f"{bore:g}:{stems}" for bore, stems in stems_by_bore(text).items())


StemCounts = Annotated[str, AfterValidator(_stem_counts)]


class DatingResult(Entity):
    """One measurement that bears on a date: of a sample, of a find, or of all finds of one kind from a context."""

    KIND: ClassVar[str] = "dating_result"
    TITLE: ClassVar[str] = "dating result"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Result", "Its number.", _M)] = None
    context: Annotated[
        str | None, facts("Context", "The context it bears on.", _M, Quantity.REFERENCE, refers="context", source=_LAB)
    ] = None
    method: Annotated[
        str | None, facts("Method", "What was measured.", _M, Quantity.WORD, "dating_method", source="common practice, no source")
    ] = None
    sample: Annotated[
        str | None, facts("Sample", "The sample that was measured.", _E, Quantity.REFERENCE, refers="sample", source=_LAB)
    ] = None
    find: Annotated[str | None, facts("Find", "The find that was measured.", quantity=Quantity.REFERENCE, refers="find")] = None
    reported_on: Annotated[Day | None, facts("Reported on", "Day of the report.", _E, Quantity.DAY, source=_LAB)] = None
    file: Annotated[FileMark | None, facts("File", "The report, by its SHA-256.", _E, Quantity.FILE)] = None

    # radiocarbon
    laboratory_code: Annotated[
        str | None, facts("Laboratory code", "Mark and number that the laboratory gave, as printed with every date.", source=_LAB)
    ] = None
    age: Annotated[
        Measure | None, facts("Radiocarbon age", "Conventional age in years before 1950.", quantity=Quantity.NUMBER, source=_LAB)
    ] = None
    error: Annotated[
        Measure | None, facts("Error", "One standard deviation of the age, in years.", quantity=Quantity.NUMBER, source=_LAB)
    ] = None
    age_limit: Annotated[
        str | None, facts("Age as a limit", "As the laboratory gives it when it gives no error: <200.", source=_LAB)
    ] = None
    dated_material: Annotated[str | None, facts("Dated material", "What was dated, with its species.", source=_LAB)] = None
    delta_13c: Annotated[
        Measure | None, facts("δ13C", "Per mille, as measured.", quantity=Quantity.NUMBER, source=_LAB)
    ] = None  # fmt: skip
    own_age: Annotated[
        str | None,
        facts(
            "Age when it came in", "Whether it was young when the context formed: old wood was not.", quantity=Quantity.WORD,
            vocabulary="own_age", source=_LAB,
        ),
    ] = None  # fmt: skip

    # pipe stems, window glass
    stem_bores: Annotated[
        StemCounts | None,
        facts("Stems by bore", "Bore in sixty-fourths of an inch and number of stems, as in 5:12, 6:3.", source=_PIPES),
    ] = None
    pane_thickness: Annotated[
        tuple[Measure, ...] | None,
        facts("Thickness of panes", "Millimetres of each flat sherd of window glass.", quantity=Quantity.SIZE, source=_GLASS),
    ] = None
    coffin_glass: Annotated[
        bool | None,
        facts(
            "From a coffin window", "True for glass of a coffin's viewing window: it cannot be dated so.", quantity=Quantity.YES_NO,
            source=_GLASS,
        ),
    ] = None  # fmt: skip

    # tree rings
    last_ring: Annotated[
        YearNumber | None, facts("Last ring", "Year of the last ring measured.", quantity=Quantity.YEAR, source=_RINGS)
    ] = None
    sapwood_rings: Annotated[
        Count | None,
        facts("Sapwood rings", "Among those measured; 0 when the last is the edge of the heartwood.", quantity=Quantity.COUNT,
              source=_RINGS),
    ] = None  # fmt: skip
    rings_beyond: Annotated[
        Count | None, facts("Rings beyond", "Counted outside of the last one measured.", quantity=Quantity.COUNT, source=_RINGS)
    ] = None
    bark: Annotated[
        bool | None, facts("Bark", "Bark, or the surface under it, is there.", quantity=Quantity.YES_NO, source=_RINGS)
    ] = None
    sapwood_area: Annotated[
        str | None,
        facts("Area of the sapwood estimate", "Whose trees the estimate is of.", quantity=Quantity.WORD, vocabulary="sapwood_area",
              source=_RINGS),
    ] = None  # fmt: skip
