"""`baulk show`: what the site holds."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

import click

from baulk.cli.options import as_json, emit, restricted_option, site_argument
from baulk.cli.show_words import change_line, line_of, value_words
from baulk.errors import shorten
from baulk.exchange.withheld import given_from
from baulk.record import Change, Context, Entity, Need, SiteRecord, View, fields_for, kind_named, view_of, withheld_from
from baulk.store import Store, open_site

__all__ = ["show"]


_ASK = "Ask with --restricted if you may know of burials."


@click.command()
@site_argument
@click.argument("kind", default="")
@click.argument("number", default="")
@click.option("--history", is_flag=True, help="Every change of the record: who, when, what it replaced.")
@restricted_option
@as_json
def show(site: Path, kind: str, number: str, history: bool, restricted: bool, json_out: bool) -> None:
    """Show SITE, the records of a KIND, or the one of that NUMBER, its blanks as plain as empty boxes."""
    view = view_of(restricted=restricted)
    with open_site(site, read_only=True) as store:
        whole = store.record()
        record = given_from(whole, restricted=restricted)
        if not kind:
            emit(_summary(whole, record), _summary_words(whole, record), json_out=json_out)
            return
        said = kind_named(kind)
        if said.RESTRICTED and not restricted:
            words = f"Every {said.TITLE} is withheld, and so is whether there is one. {_ASK}"
            emit({"kind": said.KIND, "records": [], "withheld": words}, words, json_out=json_out)
            return
        if not number:
            emit(*_listed(whole, record, said), json_out=json_out)
            return
        bare = withheld_from(whole, view).bare
        shown = []
        for entity in _of_number(record, said, number):
            if entity.id in bare:
                shown.append(_bare(record, entity))
            else:
                shown.append(_changes(store, record, entity, view) if history else _whole(record, entity, view))
        emit(*(shown[0] if len(shown) == 1 else _together(said, number, shown)), json_out=json_out)


def _of_number(record: SiteRecord, kind: type[Entity], number: str) -> list[Entity]:
    """Return the records of a number: one, or all that share it; a void one only when no other has it."""
    one = record.numbered(kind, number)
    if one.void is not None:
        return [one]
    return [found for found in record.all(kind) if getattr(found, "number", None) == number.strip()] or [one]


def _together(kind: type[Entity], number: str, shown: list[tuple[dict[str, object], str]]) -> tuple[dict[str, object], str]:
    """Return several records that share a number as one answer that says so."""
    says = f"{len(shown)} records of kind {kind.TITLE} have the number {shorten(number)}. All are shown; one of them needs another."
    if kind.KIND == "element":
        says = f"{len(shown)} laid pieces have the number {shorten(number)}, each in its own structure. All are shown."
    return {"says": says, "records": [answer for answer, _ in shown]}, "\n\n".join([says, *(words for _, words in shown)])


def _kept_back(whole: SiteRecord, record: SiteRecord, kind: str = "") -> str:
    """Return in a sentence that something is withheld; empty when nothing is."""
    kinds = [kind] if kind else list(whole.entities)
    count = sum(len(whole.entities.get(each, ())) - len(record.entities.get(each, ())) for each in kinds)
    if not count:
        return ""
    return (
        f"{count} {'record is' if count == 1 else 'records are'} withheld. {_ASK}" if kind else f"Some records are withheld. {_ASK}"
    )


def _summary(whole: SiteRecord, record: SiteRecord) -> dict[str, object]:
    counts = {kind: len(found) for kind, found in record.entities.items()}
    return {
        "code": record.site.code,
        "name": record.site.name,
        "lengths": str(record.length_unit),
        "invented": bool(record.site.invented),
        "revision": record.revision,
        "counts": counts,
        "differences": len(record.differences),
        "withheld": _kept_back(whole, record),
    }


def _summary_words(whole: SiteRecord, record: SiteRecord) -> str:
    site = record.site
    head = f"{site.code or 'no code'}  {site.name or 'no name'}" + ("  (invented example)" if site.invented else "")
    lines = [head, f"lengths in {record.length_unit}; {record.revision} changes; {len(record.differences)} differences to settle"]
    lines += [f"  {len(found):>7} {kind}" for kind, found in record.entities.items()]
    return "\n".join([*lines, *filter(None, [_kept_back(whole, record)])])


def _listed(whole: SiteRecord, record: SiteRecord, kind: type[Entity]) -> tuple[dict[str, object], str]:
    found = record.entities.get(kind.KIND, ())
    kept_back = _kept_back(whole, record, kind.KIND)
    dumped = [entity.model_dump(mode="json") for entity in found]
    answer: dict[str, object] = {"kind": kind.KIND, "records": dumped, "withheld": kept_back}
    lines = [line_of(record, entity) for entity in found] or ([] if kept_back else [f"The site has no {kind.TITLE} yet."])
    return answer, "\n".join([*lines, *filter(None, [kept_back])])


def _bare(record: SiteRecord, entity: Entity) -> tuple[dict[str, object], str]:
    words = f"All else of it is withheld. {_ASK}"
    known = entity.model_dump(mode="json", exclude_none=True, exclude={"absences"})
    return {**known, "withheld": words}, f"{entity.TITLE} {record.label(entity.id)}\n{line_of(record, entity)}\n{words}"


def _whole(record: SiteRecord, entity: Entity, view: View) -> tuple[dict[str, object], str]:
    lines = [f"{entity.TITLE} {record.label(entity.id)}"]
    for name, facts in fields_for(type(entity), view):
        if name in ("id", "absences") or (isinstance(entity, Context) and not entity.applies(name)):
            continue
        shown = value_words(record, entity, name)
        if shown or facts.need is not Need.OPTIONAL:
            lines.append(f"  {facts.label:<24} {shown or f'[          ]  {facts.need}'}")
    names = {name for name, _ in fields_for(type(entity), view)}
    return entity.model_dump(mode="json", include=names), "\n".join(lines)


def _changes(store: Store, record: SiteRecord, entity: Entity, view: View) -> tuple[dict[str, object], str]:
    seen = {"", *(name for name, _ in fields_for(type(entity), view))}
    found = [change for change in store.changes() if change.record == entity.id and change.field in seen]
    answer: dict[str, object] = {
        "record": entity.id,
        "changes": [
            {"time": one.time, "person": one.person, "device": one.device, "field": one.field or "(created)",
             "value": _first_values(one, seen), "replaced": one.replaced, "why": one.why}
            for one in found
        ],
    }  # fmt: skip
    return answer, "\n".join(change_line(record, type(entity), one) for one in found)


def _first_values(change: Change, seen: Collection[str]) -> object:
    """Return what a change wrote: of a creation, the fields that may be seen."""
    if change.creates and isinstance(change.value, Mapping):
        return {name: value for name, value in change.value.items() if name in seen}
    return change.value
