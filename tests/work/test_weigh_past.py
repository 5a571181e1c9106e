"""Changes of mind come from the log: a question as it stood, what changed, who and why."""

from __future__ import annotations

from collections import defaultdict

import pytest

from baulk.errors import InputError
from baulk.record import Change, SiteRecord
from baulk.store import MemoryStore
from baulk.work.pen import Pen
from baulk.work.weigh import weighed_question
from baulk.work.weigh_past import changes_of_mind, record_then, records_of_question
from tests.work.question_site import RECORDS


@pytest.fixture
def store() -> MemoryStore:
    """The site, written on one day, with a word changed and a reading added on later days."""
    store, days = MemoryStore(), iter(range(1_000, 2_000))
    first = Pen("RM", "tablet", clock=lambda: next(days))
    store.append(
        [
            first.create(kind, {name: value for name, value in values.items() if name != "id"}, record=values["id"])
            for kind, values in RECORDS
        ]
    )
    second = Pen("AK", "tablet", clock=lambda: 5_000)
    store.append([second.write(store, "x2", "word", "often", why="seen on a wall in Kent")])
    third = Pen("TB", "tablet", clock=lambda: 9_000)
    store.append([third.create("reading", {"question": "q", "number": "1D", "name": "Drain", "prior": 0.2}, record="rd")])
    return store


def histories(store: MemoryStore) -> dict[str, list[Change]]:
    """Return all changes by record."""
    held: dict[str, list[Change]] = defaultdict(list)
    for change in store.changes():
        held[change.record].append(change)
    return {record: held[record] for record in records_of_question(store.record(), "q")}


def share(record: SiteRecord, reading: str) -> float:
    """Return how likely a reading is."""
    weighed = weighed_question(record, record, "1").argument.weighed
    return float(weighed.posterior[weighed.question.place(reading)])


def test_a_question_is_weighed_as_it_stood(store: MemoryStore) -> None:
    """Before the change of mind the first words count and the new reading is not there; at its last change it is as now."""
    now = store.record()
    told = changes_of_mind(now, histories(store))
    early = record_then(now, histories(store), "0000000004999.000000")
    assert {one.id for one in early.entities["reading"]} == {"rp", "rw", "rn"}
    assert share(early, "rp") == pytest.approx(0.5 * 0.9 / (0.5 * 0.9 + 0.4 * 0.1 + 0.1 * 0.5))
    assert share(early, "rp") > share(now, "rp") + 0.1
    last = record_then(now, histories(store), told[-1].time)
    assert share(last, "rp") == pytest.approx(share(now, "rp"), abs=1e-15)


def test_each_change_says_who_what_and_why(store: MemoryStore) -> None:
    """A changed cell is told by its marks with both words and the reason, a new reading as entered."""
    told = changes_of_mind(store.record(), histories(store))
    changed = next(one for one in told if one.person == "AK")
    assert changed.says == "1.1 under 1B, how expected: seldom → often"
    assert (changed.before, changed.after, changed.why, changed.milliseconds) == (
        "seldom",
        "often",
        "seen on a wall in Kent",
        5_000,
    )
    assert told[-1].says == "reading 1D: entered"
    assert [one.time for one in told] == sorted(one.time for one in told)
    assert not any(one.kind == "expectation" and not one.field for one in told)


def test_a_time_before_the_question_is_refused(store: MemoryStore) -> None:
    """A state in which the question was not there cannot be compared."""
    with pytest.raises(InputError, match=r"The question was not yet written at that time\. Choose a later state to compare\."):
        record_then(store.record(), histories(store), "0000000000001.000000")
