"""Give the record out: tables, a data dictionary, and positions for a map."""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from baulk.errors import FileError, InputError, shorten
from baulk.exchange import give_csv, give_dictionary, give_geojson, give_linked_data, give_phase_table
from baulk.exchange.withheld import given_from
from baulk.exchange.withheld import withheld as kept_back
from baulk.record import KINDS, Entity, Quantity, SiteRecord, fields_of, kind_named
from baulk.report import PublicVersion, public_version
from baulk.report.shown import WITHHELD
from baulk.work.lay_out import to_wgs84
from baulk.work.order import site_order

__all__ = ["Given", "give", "write_new"]


@dataclass(frozen=True, slots=True)
class Given:
    """The files written, and in words what was kept back."""

    files: tuple[Path, ...]
    withheld: tuple[str, ...]


def give(
    record: SiteRecord,
    folder: Path,
    *,
    kinds: Iterable[str] = (),
    form: str = "csv",
    restricted: bool = False,
    public: bool = False,
) -> Given:
    """Write the record's tables into a folder.

    Parameters
    ----------
    record : SiteRecord
        What is given.
    folder : Path
        Made when it is not there; files in it that would be written over are refused.
    kinds : iterable of str
        Kinds to give; every kind that has records when empty.
    form : str
        ``csv``, ``geojson`` (WGS 84), ``grid-geojson`` (site grid, outside the standard), ``phases`` (the phase table as CSV) or
        ``jsonld`` (contexts, relations and phases as linked data); the last two are of the whole order, whatever the kinds.
    restricted, public : bool
        Whether burials are given; whether the version is for the public, which has neither places nor names and whose free words
        are those of the public report.

    Raises
    ------
    InputError
        When the form is unknown or a kind has no place, or places are asked for in a public version.
    FileError
        When a file of that name is there already or the folder cannot be written.
    """
    chosen = [kind_named(kind).KIND for kind in kinds] or [kind for kind in KINDS if record.entities.get(kind)]
    version = public_version(record) if public else None
    source = _without_places(version.record) if version else given_from(record, restricted=restricted)
    words = _public_words(version) if version else _crew_words(record, chosen, restricted=restricted)
    if form in ("phases", "jsonld"):
        return Given(_write(folder, _order_texts(source, form)), words if version else ())
    if form == "csv":
        texts = {f"{kind}.csv": give_csv(source, kind, restricted=restricted, public=public) for kind in chosen}
        texts["data-dictionary.csv"] = give_dictionary(chosen)
        return Given(_write(folder, texts), words)
    if form not in ("geojson", "grid-geojson"):
        raise InputError(f"There is no form “{form}” to give: csv, geojson, grid-geojson, phases or jsonld.")
    if public:
        raise InputError(
            "A public version holds no places, and GeoJSON is made of them. Give it as csv, or leave out --public and keep the "
            "file to those who may know where things lie."
        )
    placed = [kind for kind in chosen if KINDS[kind].SHAPE]
    plain = form == "grid-geojson"
    turn = None if plain else to_wgs84(record)
    texts, withheld = {}, []
    for kind in placed:
        found = give_geojson(record, [kind], to_wgs84=turn, plain=plain, restricted=restricted)
        withheld += list(found.get("withheld", ()))
        texts[f"{kind}.geojson"] = json.dumps(found, ensure_ascii=False, indent=1)
    return Given(_write(folder, texts), tuple(dict.fromkeys(withheld)))


def _order_texts(record: SiteRecord, form: str) -> dict[str, str]:
    if form == "phases":
        order = site_order(record)
        return {"phase-table.csv": give_phase_table(order.known, order.phase_table)}
    return {"order.jsonld": json.dumps(give_linked_data(record), ensure_ascii=False, indent=1)}


def _crew_words(record: SiteRecord, kinds: list[str], *, restricted: bool) -> tuple[str, ...]:
    if restricted:
        return ()
    whole = [KINDS[kind].TITLE for kind in kinds if KINDS[kind].RESTRICTED]
    rest = kept_back(record, [KINDS[kind] for kind in kinds if not KINDS[kind].RESTRICTED])
    return (*(f"Kept back: every {title}. Ask for it with --restricted if you may know of burials." for title in whole), *rest)


def _public_words(version: PublicVersion) -> tuple[str, ...]:
    return tuple(f"Kept back: {line.what}, {line.count}. {line.why}" for line in version.withheld)


def _without_places(record: SiteRecord) -> SiteRecord:
    """Return a record without co-ordinates; levels stay, as in the public report."""
    kept = {
        kind: tuple(entity.model_copy(update=_blanked(entity, _placing(KINDS[kind]))) for entity in entities)
        for kind, entities in record.entities.items()
    }
    return replace(record, entities=kept)


def _placing(kind: type[Entity]) -> tuple[str, ...]:
    shapes = (Quantity.POSITION, Quantity.POLYGON, Quantity.PATH)
    return tuple(name for name, said in fields_of(kind) if said.quantity in shapes or name in ("easting", "northing"))


def _blanked(entity: Entity, names: Iterable[str]) -> dict[str, object]:
    filled = [name for name in names if getattr(entity, name) is not None]
    return {**dict.fromkeys(filled), "absences": {**entity.absences, **dict.fromkeys(filled, WITHHELD)}} if filled else {}


def _write(folder: Path, texts: dict[str, str]) -> tuple[Path, ...]:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as refusal:
        raise FileError(f"The folder {folder.name} cannot be made: {refusal.strerror}. Give another folder.") from None
    there = [name for name in texts if (folder / name).exists()]
    if there:
        raise FileError(f"{folder.name} already holds {there[0]}: nothing was written, so nothing is lost. Give an empty folder.")
    return tuple(write_new(folder / name, text.encode("utf-8")) for name, text in texts.items())


def write_new(path: Path, content: bytes) -> Path:
    """Write a file whole: under a passing name first, so that a half-written file is never left under its own.

    Raises
    ------
    FileError
        When it cannot be written.
    """
    passing = path.with_name(f".{path.name}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        passing.write_bytes(content)
        passing.replace(path)
    except OSError as refusal:
        with suppress(OSError):  # where the folder is none, there is nothing to take away
            passing.unlink(missing_ok=True)
        raise FileError(f"{shorten(path.name)} cannot be written: {refusal.strerror}. Give another place.") from None
    return path
