"""Properties of CSV in and out: what is given comes back as it was, whatever the texts and numbers."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from itertools import count
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from baulk.errors import BaulkError
from baulk.exchange import drafts, give_csv, table_of_text
from baulk.exchange.lists import joined, split
from baulk.exchange.protection import protected, unprotected
from baulk.exchange.readers import is_list
from baulk.exchange.writers import number_text
from baulk.record import KINDS, Context, Entity, Find, Quantity, Site, SiteRecord, Unit, facts_of, terms_of
from baulk.record.reference import csv_headers
from tests.exchange.made import entity_of

MARKS = st.characters(codec="utf-8", exclude_characters="\0")
TEXTS = st.text(MARKS, min_size=1, max_size=30) | st.sampled_from(
    ["=1+1", "'", "''", "'=x", "+", "-", "@a", "not visible", "Not Done: rain", "absent: x", "'absent: x",
     "a;b", '"', '"a"; b', ",", "\u202e",
     "a\r\nb", "a\rb", "a\nb", "id:x", "\x1c", "\t=", "é", "陶片"]
)  # fmt: skip
NUMBERS = st.floats(-1e9, 1e9, allow_nan=False)
POSITIONS = st.tuples(NUMBERS, NUMBERS)
DAYS = st.dates().map(lambda day: day.isoformat())
MUNSELL = st.sampled_from(["10YR 4/3", "N 3/0", "2.5GY 5/1", "7.5R 2.5/4"])


def single(kind: type[Entity], name: str) -> st.SearchStrategy[Any] | None:
    """Return what one value of a field may be; None for what this test does not fill."""
    said = facts_of(kind, name)
    if said.refers or name in ("id", "number", "absences", "void"):
        return None
    if said.vocabulary:
        return st.sampled_from(terms_of(said.vocabulary).terms)
    by_quantity: dict[Quantity, st.SearchStrategy[Any]] = {
        Quantity.TEXT: TEXTS, Quantity.FILE: TEXTS, Quantity.DAY: DAYS, Quantity.MUNSELL: MUNSELL, Quantity.YES_NO: st.booleans(),
        Quantity.COUNT: st.integers(0, 10**12), Quantity.YEAR: st.integers(-5000, -1) | st.integers(1, 2100),
        Quantity.PERCENT: st.floats(0, 100), Quantity.BEARING: st.floats(0, 360),
        Quantity.POLYGON: st.lists(POSITIONS, min_size=3, max_size=5, unique=True).map(tuple),
        Quantity.PATH: st.lists(POSITIONS, min_size=2, max_size=4).map(tuple),
    }  # fmt: skip
    return by_quantity.get(said.quantity, NUMBERS)


@st.composite
def entities(draw: st.DrawFn, kind: type[Entity], number: str) -> Entity:
    """Draw a record with some fields filled, some absent on purpose and the rest blank."""
    filled: dict[str, Any] = {}
    absences: dict[str, str] = {}
    for name in draw(st.lists(st.sampled_from(csv_headers(kind)), max_size=12, unique=True)):
        strategy = single(kind, name)
        if strategy is None:
            continue
        if draw(st.integers(0, 3)) == 0:
            absences[name] = draw(st.sampled_from(["not applicable", "not visible", "not done: no time", "sheet lost"]))
        else:
            many = is_list(kind, name)
            filled[name] = draw(st.lists(strategy, min_size=1, max_size=3).map(tuple) if many else strategy)
    values = {name: value for name, value in filled.items() if value not in ("", ())}
    return kind.model_validate({"id": f"{kind.KIND}{number.strip('=-')}", "number": number, **values, "absences": absences})


@st.composite
def records(draw: st.DrawFn) -> SiteRecord:
    """Draw a small record of units, contexts that point to them and to each other, and finds."""
    units = [draw(entities(Unit, str(number))) for number in range(draw(st.integers(1, 2)))]
    contexts = [draw(entities(Context, f"{number}=")) for number in range(draw(st.integers(1, 3)))]
    tied = [
        context.model_copy(
            update={"units": tuple(unit.id for unit in units), "fill_of": contexts[0].id, "void": draw(st.none() | st.just("x"))}
        )
        for context in contexts
    ]
    finds = [draw(entities(Find, f"-{number}")).model_copy(update={"context": contexts[-1].id}) for number in range(2)]
    return SiteRecord.of([*units, *tied, *finds])


def without_blank_texts(record: SiteRecord) -> SiteRecord:
    """Return the record with empty texts as blanks, which is what an empty cell means."""
    cleaned = [
        entity.model_copy(update={name: None for name in type(entity).model_fields if getattr(entity, name) == ""})
        for found in record.entities.values()
        for entity in found
    ]
    return SiteRecord.of(cleaned)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(records())
def test_given_and_taken_again_a_record_is_equal(record: SiteRecord) -> None:
    """CSV of every kind, taken in again in order, makes the same record: texts, numbers, references and absences."""
    record = without_blank_texts(record)
    numbers, made = count(), []
    for kind in ("unit", "context", "find"):
        table = table_of_text(give_csv(record, kind, restricted=True), kind, separator=",")
        made += drafts(table, kind, SiteRecord(), new_id=lambda: f"n{next(numbers)}", earlier=made).drafts
    again = SiteRecord.of(entity_of(draft) for draft in made)
    assert again.entities == record.entities


@given(st.lists(TEXTS.map(str.strip), max_size=5))
def test_lists_come_back_item_by_item(items: list[str]) -> None:
    """Joined and split again, a list is the same, marks and quotation marks included."""
    assert split(joined(items)) == items


@given(TEXTS)
def test_protection_is_undone_and_never_leaves_a_formula(text: str) -> None:
    """Protected text does not begin as a formula and is itself again when taken in."""
    assert protected(text)[:1] not in ("=", "+", "-", "@") and unprotected(protected(text)) == text


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_are_written_in_full(number: float) -> None:
    """A number reads back as the same number."""
    assert float(number_text(number)) == number


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.text(MARKS, max_size=200))
def test_any_text_is_taken_or_refused_in_words(kind: str, text: str) -> None:
    """Whatever the text, the answer is drafts or one of the project's own errors."""
    with suppress(BaulkError):  # any other exception fails the test
        made = drafts(table_of_text(text), kind, SiteRecord.of([Site(id="s")]), new_id=lambda: "n").drafts
        assert all(draft.kind == kind for draft in made)


CELLS = (
    TEXTS
    | NUMBERS.map(str)
    | DAYS
    | MUNSELL
    | st.sampled_from(["1 2; 3 4; 5 7", "yes", "7 ft 0 7/8 in", "1e400", "²", "١٢", "{}", "9" * 400])
)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from([(kind, name) for kind in KINDS for name in csv_headers(KINDS[kind])]), CELLS)
def test_a_cell_of_any_field_is_taken_as_the_record_keeps_it_or_refused(field: tuple[str, str], cell: str) -> None:
    """What is taken from one cell builds a record; everything else is a fault of that cell."""
    kind, name = field
    needed = {required: "x" for required, said in KINDS[kind].model_fields.items() if said.is_required() and required != "id"}
    try:
        made = drafts(
            table_of_text(f'{name}\n"{cell.replace(chr(34), chr(34) * 2)}"\n'), kind, SiteRecord(), new_id=lambda: "n"
        ).drafts
    except BaulkError:
        return
    for draft in made:
        entity_of(replace(draft, values={"number": "1"} | needed | draft.values) if "number" in KINDS[kind].model_fields else draft)
