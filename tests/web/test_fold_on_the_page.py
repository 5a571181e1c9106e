"""The page makes ids and times, and folds changes into a record, exactly as the site server does."""

from __future__ import annotations

import random
from typing import Any

import msgspec
import pytest

from baulk.record import Change, FoldedRecord, HybridTime, fold_record, id_at
from tests.web.answers import answers_of

FIELDS = ("title", "thickness", "notes", "units", "void")
DEVICES = ("tablet 1", "tablet 2", "\U0001f9ed laptop", "\uff21 desk")
VALUES: tuple[Any, ...] = (
    None, "", "dark silt", "Dark silt", 0, 1, 1.0, True, False, 0.25, -3, [], ["a"], ["a", "b"], [[1, 2.5], [3, 4]],
    {"absent": "not visible"}, {"absent": "not done: rain"}, {"absent": "a", "more": 1},
    {"one": 1, "two": [2]}, {"two": [2], "one": 1},
)  # fmt: skip


def some_changes(rng: random.Random) -> list[Change]:
    """Return changes of one record in any order: mostly written in sight of some others, a few with cycles or twice given."""
    changes: list[Change] = []
    by_field: dict[str, list[str]] = {field: [] for field in FIELDS}
    for at in range(rng.randint(1, 14)):
        creates = rng.random() < (0.9 if at == 0 else 0.05)
        field = rng.choice(FIELDS)
        known = by_field[field]
        after = tuple(rng.sample(known, rng.randint(0, len(known)))) if not creates else ()
        if rng.random() < 0.05:
            after = (*after, f"c{at + 1:02d}")
        changes.append(
            Change(
                id=f"c{at:02d}", time=str(HybridTime(rng.randint(0, 3), rng.randint(0, 2))), device=rng.choice(DEVICES),
                person=rng.choice(("AK", "BM")), kind="context", record="r1", field="" if creates else field,
                value={name: rng.choice(VALUES) for name in rng.sample(FIELDS, 3)} if creates else rng.choice(VALUES), after=after,
            )
        )  # fmt: skip
        for name in FIELDS if creates else (field,):
            by_field[name].append(changes[-1].id)
    rng.shuffle(changes)
    return changes


def told(folded: FoldedRecord) -> dict[str, Any]:
    """Return a folded record as the page tells it."""
    return {
        "kind": folded.kind, "id": folded.id, "values": folded.values, "absences": folded.absences,
        "heads": {name: list(ids) for name, ids in folded.heads.items()},
        "differing": {one.field: [write.change for write in one.writes] for one in folded.differences},
    }  # fmt: skip


def has_cycle(changes: list[Change]) -> bool:
    """Tell whether all writes of a field replace one another, which no writer can do: nothing written is in view."""
    replaced = {(change.field, earlier) for change in changes for earlier in change.after}
    fields = {name for change in changes for name in (change.value if change.creates else (change.field,))}
    writes = {name: [c.id for c in changes if (name in c.value if c.creates else c.field == name)] for name in fields}
    return any(all((name, one) in replaced for one in ids) for name, ids in writes.items())


def test_the_page_folds_as_the_server_does() -> None:
    """One thousand records of random changes, in random order, come out alike: values, absences, heads, differences."""
    rng = random.Random(20261125)
    records = [some_changes(rng) for _ in range(1000)]
    asked = [{"changes": msgspec.to_builtins(changes), "base": rng.randint(0, len(changes))} for changes in records]
    answers = answers_of("fold", asked)
    expected = [told(fold_record(changes)) for changes in records]
    assert [answer["whole"] for answer in answers] == expected
    possible = [at for at, changes in enumerate(records) if not has_cycle(changes)]
    assert [answers[at]["onTop"] for at in possible] == [expected[at] for at in possible]
    assert len(possible) > 800
    assert sum(bool(one["differing"]) for one in expected) > 300
    assert sum(bool(one["absences"]) for one in expected) > 100


def test_a_lost_change_would_be_seen() -> None:
    """Folding without one change mostly gives another record, so that the comparison can fail."""
    rng = random.Random(7)
    records = [changes for changes in (some_changes(rng) for _ in range(200)) if len(changes) > 3]
    answers = answers_of("fold", [{"changes": msgspec.to_builtins(changes[:-1]), "base": 0} for changes in records])
    unlike = [answer["whole"] != told(fold_record(changes)) for answer, changes in zip(answers, records, strict=True)]
    assert sum(unlike) > 0.6 * len(records) > 60


def test_ids_are_those_of_the_server() -> None:
    """Ids of the same moment and bits are alike, that of RFC 9562, appendix A.6, among them."""
    rng = random.Random(3)
    moments = [(0x017F22E279B0, (0xCC3 << 62) | 0x18C4DC0C0C07398F), (0, 0), ((1 << 48) - 1, (1 << 74) - 1)]
    moments += [(rng.randrange(1 << 48), rng.getrandbits(74)) for _ in range(200)]
    answers = answers_of("ids", [{"milliseconds": clock, "bits": str(bits)} for clock, bits in moments])
    assert answers == [id_at(clock, bits) for clock, bits in moments]
    assert answers[0] == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@pytest.mark.parametrize("seed", range(5))
def test_times_are_those_of_the_server(seed: int) -> None:
    """Times of new changes under a clock that stands still, jumps and runs back, with times from elsewhere, are alike."""
    rng = random.Random(seed)
    clocks = [rng.randint(1_700_000_000_000, 1_700_000_000_020) for _ in range(100)]
    seen = [str(HybridTime(rng.randint(1_700_000_000_000, 1_700_000_000_020), rng.randint(0, 5))) for _ in clocks]
    time, expected = HybridTime(0), []
    for clock, other in zip(clocks, seen, strict=True):
        time = time.seen(HybridTime.parse(other)).next(clock)
        expected.append(str(time))
    assert answers_of("times", [{"clocks": clocks, "seen": seen}]) == [expected]
    assert expected == sorted(expected)
