"""The field reference, JSON schema and CSV headers: all derived from what each field says of itself."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from baulk.record.entity import Entity, facts_of, fields_of
from baulk.record.facts import FieldFacts, Quantity, Sensitivity
from baulk.record.kinds import KINDS
from baulk.record.terms import VOCABULARIES, Vocabulary

__all__ = ["csv_headers", "field_reference", "json_schema"]

_ABSENCES = "absences"
_LISTED_IN = (Quantity.POLYGON, Quantity.PATH)


def csv_headers(kind: type[Entity]) -> tuple[str, ...]:
    """Return the headers of a kind's CSV form: the names of its fields, ``id`` first, its own fields before the shared ones.

    Parameters
    ----------
    kind : type of Entity
        One of `KINDS`.

    Returns
    -------
    tuple of str
        `absences` is no column: the words that say why a field is absent stand in that field's cell.

    Examples
    --------
    >>> from baulk.record.relation import Relation
    >>> csv_headers(Relation)[:4]
    ('id', 'later', 'earlier', 'how')
    """
    return tuple(name for name, _ in fields_of(kind) if name != _ABSENCES)


def json_schema(kind: type[Entity]) -> dict[str, Any]:
    """Return the JSON schema of a kind, with each field's label, help and facts.

    Parameters
    ----------
    kind : type of Entity
        One of `KINDS`.

    Returns
    -------
    dict
        Draft 2020-12. What the draft has no word for stands under names that begin with ``x-``: need, quantity, vocabulary, the
        kind referred to, sensitivity, the context kinds a field applies to, and its source. A closed list of terms is an ``enum``.

    Examples
    --------
    >>> from baulk.record.relation import Relation
    >>> json_schema(Relation)["properties"]["certainty"]["enum"]
    ['firm', 'probable', 'doubtful', None]
    """
    schema = kind.model_json_schema()
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = kind.TITLE
    for name, said in fields_of(kind):
        schema["properties"][name].update(_described(said))
        if said.vocabulary and VOCABULARIES[said.vocabulary].closed:
            _close(schema["properties"][name], VOCABULARIES[said.vocabulary])
    return schema


def _described(said: FieldFacts) -> dict[str, Any]:
    extra: dict[str, Any] = {
        "x-need": said.need.value,
        "x-quantity": said.quantity.value,
        "x-vocabulary": said.vocabulary,
        "x-refers": said.refers,
        "x-sensitivity": said.sensitivity.value,
        "x-applies": list(said.applies),
        "x-source": said.source,
    }
    kept = {key: value for key, value in extra.items() if value}
    return {"title": said.label, "description": said.help, **kept}


def _close(field: dict[str, Any], terms: Vocabulary) -> None:
    """Write a closed list into a field's schema: on its items when it is a list, else on the field with a blank allowed."""
    for branch in field.get("anyOf", ()):
        if branch.get("type") == "array":
            branch["items"] = {**branch["items"], "enum": list(terms.terms)}
            return
    field["enum"] = [*terms.terms, None]


def field_reference() -> str:
    """Return the reference of every kind, field and list of terms as Markdown; it is kept as ``docs/fields.md``.

    Returns
    -------
    str
        One section a kind in the order of `KINDS`, then one a list of terms.
    """
    return "\n".join(_reference_lines()) + "\n"


def _reference_lines() -> Iterator[str]:
    yield "# Field reference"
    yield ""
    yield "This page is made from the fields' own descriptions; change those, not this page (`python tools/field_reference.py`)."
    yield ""
    yield "*Mandatory*: the trade cannot do without it. *Expected*: a value, or the words *not applicable*, *not visible* or"
    yield "*not done: reason*. *Optional*: may be blank. Lengths and levels are in the site's own quantity (`site.length_unit`)."
    yield "*Agency* fields are left out of public versions, *restricted* fields out of every public output. A list in CSV is joined"
    yield "by `; `, positions are `easting northing; easting northing`, references are the other record's number."
    yield ""
    yield "Kinds: " + ", ".join(f"[{kind.TITLE}](#{_anchor(kind)})" for kind in KINDS.values()) + "."
    for kind in KINDS.values():
        yield from _kind_lines(kind)
    yield from _shared_lines()
    yield from _term_lines()


def _anchor(kind: type[Entity]) -> str:
    return f"kind-{kind.KIND}".replace("_", "-")


def _kind_lines(kind: type[Entity]) -> Iterator[str]:
    shared = set(Entity.model_fields)
    yield ""
    yield f'<a id="{_anchor(kind)}"></a>'
    yield f"## {kind.TITLE.capitalize()} (`{kind.KIND}`)"
    yield ""
    yield _one_line((kind.__doc__ or "").split("\n\n")[0])
    yield ""
    if kind.RESTRICTED:
        yield "Restricted: left out of every public output."
        yield ""
    yield _HEAD
    yield _RULE
    yield from (_row(name, said) for name, said in fields_of(kind) if name not in shared)


def _shared_lines() -> Iterator[str]:
    yield ""
    yield "## Fields of every kind"
    yield ""
    yield _HEAD
    yield _RULE
    yield from (_row(name, facts_of(Entity, name)) for name in Entity.model_fields)


_HEAD = "| field | label | what belongs in it | need | holds | terms, or what it refers to | for | who may see | source |"
_RULE = "|---|---|---|---|---|---|---|---|---|"


def _row(name: str, said: FieldFacts) -> str:
    held = said.quantity.value
    if said.quantity in _LISTED_IN:
        held += " (positions)"
    points_to = f"[{said.vocabulary}](#terms-{said.vocabulary.replace('_', '-')})" if said.vocabulary else said.refers
    seen_by = {Sensitivity.PUBLIC: "all"}.get(said.sensitivity, said.sensitivity.value)
    cells = (f"`{name}`", said.label, said.help, said.need.value, held, points_to, ", ".join(said.applies), seen_by, said.source)
    return "| " + " | ".join(_one_line(cell).replace("|", "\\|") for cell in cells) + " |"


def _term_lines() -> Iterator[str]:
    yield ""
    yield "## Lists of terms"
    yield ""
    yield "A closed list is part of how Baulk computes and refuses other words. An open list is a house list: a site may bring"
    yield "its own (`term_list`), and other words are kept."
    for terms in VOCABULARIES.values():
        yield ""
        yield f'<a id="terms-{terms.name.replace("_", "-")}"></a>'
        yield f"### {terms.title} (`{terms.name}`, {'closed' if terms.closed else 'open'})"
        yield ""
        yield "; ".join(terms.terms) + "."
        yield ""
        yield f"Source: {terms.mark}."


def _one_line(text: str) -> str:
    return " ".join(text.split())
