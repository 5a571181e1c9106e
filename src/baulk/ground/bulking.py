"""How much more room soil takes when dug, and how much less when tamped: ranges with their sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from baulk.errors import MeasureError, did_you_mean

__all__ = ["BULKING", "Bulking", "bulking_of", "compacted_volume", "load_factor", "loose_volume", "swell_of_densities"]


@dataclass(frozen=True, slots=True)
class Bulking:
    """Factors on the volume in the ground (bank); each a range, since published values differ widely.

    Parameters
    ----------
    soil : str
        Kind of soil.
    loose : (low, high)
        Loose volume a bank volume.
    compacted : (low, high)
        Volume a bank volume when tamped or rolled.
    source : str
        Where both come from, with the mark of how sure.
    """

    soil: str
    loose: tuple[float, float]
    compacted: tuple[float, float]
    source: str


_ARMY = "US Army earthmoving tables, from memory, low confidence"
_BANDS = "swell bands 5–20 %, 20–40 %, 40–55 % (infi-sev page, read at second hand)"
_TAMPED = "1.00 for soil only trodden in is our judgement"

BULKING: Mapping[str, Bulking] = MappingProxyType({
    one.soil: one
    for one in (
        Bulking("sand or gravel", (1.05, 1.20), (0.95, 1.00),
                f"{_BANDS}; sand 1.11 loose and 0.95 compacted ({_ARMY}; an excerpt of one table says 100, 111 and 95); {_TAMPED}"),
        Bulking("earth", (1.20, 1.40), (0.90, 1.00),
                f"{_BANDS}; common earth 1.25 loose and 0.90 compacted ({_ARMY}); "
                f"silt 35 % (Alaska DOT 1983, at second hand); {_TAMPED}"),
        Bulking("clay", (1.20, 1.43), (0.90, 1.00),
                f"{_BANDS}; clay 1.43 loose and 0.90 compacted ({_ARMY}); dry 35 %, damp 40 % (at second hand); {_TAMPED}"),
        Bulking("rubble", (1.40, 1.55), (0.95, 1.10), f"{_BANDS}, weak rock; compacted: our judgement, no source"),
    )
})  # fmt: skip
"""By kind of soil."""

_BY_TEXTURE = MappingProxyType(
    dict.fromkeys(("sand", "loamy sand", "gravel", "ash"), "sand or gravel")
    | dict.fromkeys(("clay", "silty clay", "sandy clay", "clay loam", "silty clay loam"), "clay")
    | dict.fromkeys(("brick rubble", "stone rubble", "mortar", "glass waste"), "rubble")
)


def bulking_of(word: str | None) -> Bulking:
    """Return the factors of a kind of soil or a texture; *earth* when the word is blank or another texture.

    Raises
    ------
    MeasureError
        When the word is empty text.

    Examples
    --------
    >>> bulking_of("silty clay").soil, bulking_of("loam").soil
    ('clay', 'earth')
    """
    if word is None:
        return BULKING["earth"]
    if not word.strip():
        raise MeasureError(
            f"A kind of soil was given as empty text. There are {', '.join(BULKING)}.{did_you_mean(word, list(BULKING))}"
        )
    return BULKING[word] if word in BULKING else BULKING[_BY_TEXTURE.get(word, "earth")]


def swell_of_densities(bank: float, loose: float) -> float:
    """Return the swell as a share, bank density / loose density − 1, for densities of any one quantity.

    Examples
    --------
    >>> round(swell_of_densities(3400, 2700), 2)
    0.26
    """
    return bank / loose - 1


def load_factor(swell: float) -> float:
    """Return bank volume a loose volume, 1 / (1 + swell).

    Examples
    --------
    >>> round(load_factor(0.67), 3)
    0.599
    """
    return 1 / (1 + swell)


def loose_volume(bank: float, swell: float) -> float:
    """Return the loose volume of a bank volume: bank × (1 + swell)."""
    return bank * (1 + swell)


def compacted_volume(bank: float, shrinkage: float) -> float:
    """Return the compacted volume of a bank volume: bank × (1 − shrinkage)."""
    return bank * (1 - shrinkage)
