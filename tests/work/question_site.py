"""A small invented site with a question that can be weighed by hand."""

from __future__ import annotations

from typing import Any

from baulk.record import KINDS, Entity, SiteRecord, build

RECORDS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("site", {"id": "s", "code": "OW", "name": "Otter Weir", "invented": True}),
    ("context", {"id": "c9", "number": "109", "kind": "structure"}),
    ("question", {"id": "q", "number": "1", "asks": "What are the setts?", "about": ("c9",)}),
    ("reading", {"id": "rp", "question": "q", "number": "1A", "name": "Path", "prior": 0.5}),
    ("reading", {"id": "rw", "question": "q", "number": "1B", "name": "Wall", "prior": 0.4}),
    ("reading", {"id": "rn", "question": "q", "number": "1C", "name": "None of these", "prior": 0.1}),
    ("evidence", {"id": "e1", "question": "q", "number": "1.1", "saw": "Laid dry", "records": ("c9",), "cause": "bond"}),
    ("evidence", {"id": "e2", "question": "q", "number": "1.2", "saw": "No mortar skin", "cause": "bond",
                  "expected": {"rp": "usually", "1B": "seldom"}}),
    ("evidence", {"id": "e3", "question": "q", "number": "1.3", "saw": "A nail", "set_aside": "may be modern"}),
    ("expectation", {"id": "x1", "evidence": "e1", "reading": "rp", "word": "usually"}),
    ("expectation", {"id": "x2", "evidence": "e1", "reading": "rw", "word": "seldom", "why": "walls are bonded"}),
    ("test", {"id": "t1", "question": "q", "number": "1-T1", "does": "Lift one sett", "hours": 1.0, "only_open": "lost for good",
              "outcomes": {"worn": {"1A": 0.8, "1B": 0.1, "1C": 0.5}, "rough": {"1A": 0.2, "1B": 0.9, "1C": 0.5}}}),
    ("test", {"id": "t2", "question": "q", "number": "1-T2", "does": "Read the rental", "hours": 4.0, "only_open": "recoverable",
              "outcomes": {"named": {"1A": 0.6, "1B": 0.1, "1C": 0.3}, "silent": {"1A": 0.4, "1B": 0.9, "1C": 0.7}}}),
)  # fmt: skip
"""Kind and values of each record."""


def question_record(
    changed: dict[str, dict[str, Any] | None] | None = None, more: tuple[tuple[str, dict[str, Any]], ...] = ()
) -> SiteRecord:
    """Return the site; `changed` gives other values by id, or None to leave a record out."""
    entities: list[Entity] = []
    for kind, values in (*RECORDS, *more):
        other = (changed or {}).get(values["id"], {})
        if other is not None:
            entities.append(build(KINDS[kind], {**values, **other}))
    return SiteRecord.of(entities)
