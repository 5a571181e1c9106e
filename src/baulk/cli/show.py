"""`baulk show`: what the site holds."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, site_argument
from baulk.record import Change, Context, Entity, Need, SiteRecord, fields_of, kind_named
from baulk.store import Store, open_site

__all__ = ["show"]


@click.command()
@site_argument
@click.argument("kind", default="")
@click.argument("number", default="")
@click.option("--history", is_flag=True, help="Every change of the record: who, when, what it replaced.")
@as_json
def show(site: Path, kind: str, number: str, history: bool, json_out: bool) -> None:
    """Show SITE, the records of a KIND, or the one of that NUMBER, its blanks as plain as empty boxes."""
    with open_site(site, read_only=True) as store:
        record = store.record()
        if not kind:
            emit(_summary(record), _summary_words(record), json_out=json_out)
            return
        said = kind_named(kind)
        if not number:
            emit(*_listed(record, said), json_out=json_out)
            return
        entity = record.numbered(said, number)
        emit(*(_changes(store, entity) if history else _whole(record, entity)), json_out=json_out)


def _summary(record: SiteRecord) -> dict[str, object]:
    counts = {kind: len(found) for kind, found in record.entities.items()}
    return {
        "code": record.site.code,
        "name": record.site.name,
        "lengths": str(record.length_unit),
        "invented": bool(record.site.invented),
        "revision": record.revision,
        "counts": counts,
        "differences": len(record.differences),
    }


def _summary_words(record: SiteRecord) -> str:
    site = record.site
    head = f"{site.code or 'no code'}  {site.name or 'no name'}" + ("  (invented example)" if site.invented else "")
    lines = [head, f"lengths in {record.length_unit}; {record.revision} changes; {len(record.differences)} differences to settle"]
    return "\n".join([*lines, *(f"  {len(found):>7} {kind}" for kind, found in record.entities.items())])


def _line(record: SiteRecord, entity: Entity) -> str:
    named = (getattr(entity, name, None) for name in ("title", "subject", "object", "asks", "name", "how", "point"))
    words = next((str(value) for value in named if value), "")
    kind = getattr(entity, "kind", None) or ""
    void = f"  VOID: {entity.void}" if entity.void else ""
    return f"{record.label(entity.id):>10}  {kind:<11} {words}{void}".rstrip()


def _listed(record: SiteRecord, kind: type[Entity]) -> tuple[dict[str, object], str]:
    found = record.entities.get(kind.KIND, ())
    answer: dict[str, object] = {"kind": kind.KIND, "records": [entity.model_dump(mode="json") for entity in found]}
    return answer, "\n".join(_line(record, entity) for entity in found) or f"The site has no {kind.TITLE} yet."


def _whole(record: SiteRecord, entity: Entity) -> tuple[dict[str, object], str]:
    lines = [f"{entity.TITLE} {record.label(entity.id)}"]
    for name, facts in fields_of(type(entity)):
        if name in ("id", "absences") or (isinstance(entity, Context) and not entity.applies(name)):
            continue
        shown = _value(record, entity, name, bool(facts.refers))
        if shown or facts.need is not Need.OPTIONAL:
            lines.append(f"  {facts.label:<24} {shown or f'[          ]  {facts.need}'}")
    return entity.model_dump(mode="json"), "\n".join(lines)


def _value(record: SiteRecord, entity: Entity, name: str, refers: bool) -> str:
    if name in entity.absences:
        return entity.absences[name]
    value = getattr(entity, name)
    if value is None:
        return ""
    if refers:
        return ", ".join(record.label(one) for one in (value if isinstance(value, tuple) else (value,)))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "; ".join(" ".join(f"{part:g}" for part in one) if isinstance(one, tuple) else str(one) for one in value)
    return str(value)


def _changes(store: Store, entity: Entity) -> tuple[dict[str, object], str]:
    found = [change for change in store.changes() if change.record == entity.id]
    answer: dict[str, object] = {
        "record": entity.id,
        "changes": [
            {"time": one.time, "person": one.person, "device": one.device, "field": one.field or "(created)", "value": one.value,
             "replaced": one.replaced, "why": one.why}
            for one in found
        ],
    }  # fmt: skip
    return answer, "\n".join(_change_line(one) for one in found)


def _change_line(change: Change) -> str:
    what = "created" if change.creates else f"{change.field}: {change.replaced} → {change.value}"
    return f"{change.time}  {change.person}  {what}" + (f"  ({change.why})" if change.why else "")
