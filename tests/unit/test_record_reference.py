"""Reference page, JSON schema and CSV headers follow the fields' own descriptions."""

from __future__ import annotations

from pathlib import Path

import pytest

from baulk.record import KINDS, VOCABULARIES, Entity, fields_of
from baulk.record.reference import csv_headers, field_reference, json_schema

PAGE = Path(__file__).parents[2] / "docs" / "fields.md"
KIND_PARAMETERS = pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))


def test_the_page_in_the_docs_is_current():
    """docs/fields.md is what the fields say of themselves now."""
    assert PAGE.read_text(encoding="utf-8") == field_reference(), "write it again: python tools/field_reference.py"


def test_every_field_and_every_list_of_terms_is_on_the_page():
    """No kind, field or list of terms is missing from the reference."""
    page = field_reference()
    for kind in KINDS.values():
        section = page.split(f"(`{kind.KIND}`)")[1].split("\n## ")[0]
        for name in set(kind.model_fields) - set(Entity.model_fields):
            assert f"| `{name}` | " in section
    for terms in VOCABULARIES.values():
        assert f"(`{terms.name}`, " in page
        assert f"#terms-{terms.name.replace('_', '-')}" in page


def test_rows_of_the_page_have_as_many_cells_as_the_head():
    """A bar in a help text does not add a cell."""
    rows = [line for line in field_reference().splitlines() if line.startswith("| `")]
    assert len(rows) > 250
    assert {line.replace("\\|", "").count("|") for line in rows} == {10}


@KIND_PARAMETERS
def test_csv_headers_are_the_fields(kind):
    """The headers are id, the kind's own fields, the shared ones; words for absences stand in the cells."""
    headers = csv_headers(kind)
    assert headers[0] == "id"
    assert "absences" not in headers
    assert set(headers) == set(kind.model_fields) - {"absences"}
    assert len(headers) == len(set(headers))


@KIND_PARAMETERS
def test_json_schema_describes_every_field(kind):
    """Each property has label and help, and a closed list is an enum of its terms."""
    schema = json_schema(kind)
    assert schema["title"] == kind.TITLE
    for name, said in fields_of(kind):
        described = schema["properties"][name]
        assert (described["title"], described["description"]) == (said.label, said.help)
        if said.vocabulary and VOCABULARIES[said.vocabulary].closed:
            assert VOCABULARIES[said.vocabulary].terms == tuple(_enum(described))
        else:
            assert _enum(described) == []


def _enum(described: dict) -> list[str]:
    lists = [branch["items"].get("enum", []) for branch in described.get("anyOf", []) if branch.get("type") == "array"]
    return [term for term in described.get("enum", next(iter(lists), [])) if term is not None]
