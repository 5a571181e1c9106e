"""What is supposed when dates are worked out: kept in the record, so that everyone gets the same answer and sees the reasons."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, facts
from baulk.record.values import Count, Measure, Share, YearNumber

__all__ = ["DatingSettings"]

_CP = "common practice, no source"
_Years = Annotated[Measure, Field(gt=0)]
_Factor = Annotated[Measure, Field(ge=1)]


class DatingSettings(Entity):
    """What is supposed when dates are worked out. The first that is not void counts; a blank stands for the house setting."""

    KIND: ClassVar[str] = "dating_settings"
    TITLE: ClassVar[str] = "dating settings"

    reasons: Annotated[str | None, facts("Reasons", "Why these and not the house settings.", Need.MANDATORY, source=_CP)] = None
    window_begin: Annotated[
        YearNumber | None,
        facts("Earliest year", "First year in which anything of the site can have happened.", quantity=Quantity.YEAR, source=_CP),
    ] = None
    window_end: Annotated[
        YearNumber | None,
        facts("Latest year", "Last year in which anything of it can have happened.", quantity=Quantity.YEAR, source=_CP),
    ] = None
    undisturbed: Annotated[
        Share | None,
        facts("Chance of intrusion", "Of one find in an undisturbed deposit, 0 to 1.", quantity=Quantity.NUMBER, source=_CP),
    ] = None
    odds_each_grade: Annotated[
        _Factor | None,
        facts("Each grade of disturbance", "By how much it multiplies the odds, 1 or more.", quantity=Quantity.NUMBER, source=_CP),
    ] = None
    discard_lag: Annotated[
        _Years | None,
        facts("Years of use", "Mean years from making to throwing away.", quantity=Quantity.NUMBER, source=_CP),
    ] = None
    residual_share: Annotated[
        Share | None, facts("Residual share", "Share of finds that are residual, 0 to 1.", quantity=Quantity.NUMBER, source=_CP)
    ] = None
    residual_lag: Annotated[
        _Years | None, facts("Years of residual finds", "Their mean age when buried.", quantity=Quantity.NUMBER, source=_CP)
    ] = None
    redeposited: Annotated[
        Share | None,
        facts("Chance of moved soil", "That a whole deposit is older soil moved, 0 to 1.", quantity=Quantity.NUMBER, source=_CP),
    ] = None
    absence: Annotated[
        bool | None,
        facts("Absence counts", "Whether the absence of later finds counts as evidence.", quantity=Quantity.YES_NO, source=_CP),
    ] = None
    phases: Annotated[
        str | None,
        facts("Phases", "Whether phases have a start and an end, and whether one follows the other.", quantity=Quantity.WORD,
              vocabulary="phase_use", source=_CP),
    ] = None  # fmt: skip
    seed: Annotated[
        Count | None, facts("Seed", "Of the draws: with it the same figures come again.", quantity=Quantity.COUNT, source=_CP)
    ] = None
