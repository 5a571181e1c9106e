"""What the tests of the exchange share: ids in order, and drafts turned into a record."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import count

from baulk.exchange import Draft, Drafted, Take, drafts, table_of_text
from baulk.record import KINDS, Context, Entity, SiteRecord, Unit, build


def ids() -> Callable[[], str]:
    """Return a maker of ids r1, r2 and so on."""
    numbers = count(1)
    return lambda: f"r{next(numbers)}"


def entity_of(draft: Draft) -> Entity:
    """Return the record that a draft would create, absences in their own place as the fold puts them."""
    absences = {
        name: value["absent"] for name, value in draft.values.items() if isinstance(value, dict) and set(value) == {"absent"}
    }
    values = {name: value for name, value in draft.values.items() if name not in absences}
    return build(KINDS[draft.kind], {"id": draft.id, **values, "absences": absences})


def record_of(made: Iterable[Draft], *before: Entity) -> SiteRecord:
    """Return the record that the drafts would make."""
    return SiteRecord.of([*before, *(entity_of(draft) for draft in made)])


def taken(
    text: str, kind: str, record: SiteRecord | None = None, take: Take | None = None, earlier: tuple[Draft, ...] = ()
) -> Drafted:
    """Return the drafts of a text table."""
    return drafts(table_of_text(text, "t.csv"), kind, record or SiteRecord(), new_id=ids(), take=take, earlier=earlier)


def small_record() -> SiteRecord:
    """Return a record of one unit and two contexts."""
    return SiteRecord.of(
        [Unit(id="u1", number="1"), Context(id="c1", number="1042", kind="deposit"), Context(id="c2", number="1043", kind="cut")]
    )
