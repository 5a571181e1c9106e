"""A record renewed change by change equals the record made anew from all its changes, with every look-up."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from baulk.drawing.withheld import neighbours_that_show
from baulk.record import KINDS, Change, Context, SiteRecord, View, fields_of, record_for, rewrite, withheld_from
from baulk.record.naming import called
from baulk.record.renewing import exchanged
from baulk.store import MemoryStore, open_site
from baulk.work.pen import Pen
from baulk.work.seen import SeenRecords
from tests.store.samples import assert_same_record

NUMBERS = ("1", "2", "10", "07", "7", "P2", None)


class Digging:
    """Writes changes of a small site at random: new records, numbers given twice, moved pointers, voids, differences."""

    def __init__(self, seed: int, remains: float = 1.0) -> None:
        self.dice, self.remains = random.Random(seed), remains
        ticks = iter(range(1_000_000, 9_000_000))
        self.pen = Pen("AB", "tablet", clock=lambda: next(ticks), bits=self.dice.getrandbits)
        self.units = [self.pen.new_id() for _ in range(3)]
        self.contexts = [self.pen.new_id() for _ in range(9)]
        self.made: dict[str, str] = {}
        self.last: dict[tuple[str, str], str] = {}

    def change(self) -> Change:
        """Return one more change."""
        draw = self.dice.choice
        if not self.made or self.dice.random() < 0.4:
            return self._created()
        if self.dice.random() > self.remains:
            return self._harmless()
        record = draw(sorted(self.made))
        field, value = draw([
            ("number", draw(NUMBERS)), ("void", draw([None, "a root"])), ("units", self.dice.sample(self.units, 2)),
            ("fill_of", draw(self.contexts)), ("cut_function", draw(["grave", "pit", None])),
            ("material", draw(["human bone", "glass"])),
            ("later", draw(self.contexts)), ("context", draw(self.contexts)), ("sensitive", draw([True, False])), ("notes", "x"),
            ("contexts", [draw(self.contexts), draw(self.contexts)]),
        ])  # fmt: skip
        seen = self.last.get((record, field)) if self.dice.random() < 0.8 else None
        after = (seen,) if seen else ()
        written = rewrite(self.pen.stamp(), self.made[record], record, field, value, after=after)
        self.last[record, field] = written.id
        return written

    def _harmless(self) -> Change:
        draw = self.dice.choice
        record = draw(sorted(self.made))
        field, value = draw(
            [("number", draw(NUMBERS)), ("notes", "x"), ("units", self.dice.sample(self.units, 2)), ("void", "a root")]
        )
        return rewrite(
            self.pen.stamp(), self.made[record], record, field, value, after=tuple(self.last.get((record, field), ())[:0])
        )

    def _created(self) -> Change:
        draw = self.dice.choice
        kind, values = draw([
            ("unit", {"number": draw(NUMBERS)}), ("context", {"number": draw(NUMBERS), "units": [draw(self.units)]}),
            ("relation", {"later": draw(self.contexts), "earlier": draw(self.contexts)}),
            ("level", {"context": draw(self.contexts)}),
            ("photo", {"number": draw(NUMBERS), "contexts": [draw(self.contexts)] * 2}),
            ("find", {"number": draw(NUMBERS), "context": draw(self.contexts)}), ("burial", {"contexts": [draw(self.contexts)]}),
            ("outline", {"context": draw(self.contexts)}), ("strange", {"depth": 1}),
        ])  # fmt: skip
        free = {"unit": self.units, "context": self.contexts}.get(kind)
        change = self.pen.create(kind, values, record=draw(free) if free else None)
        self.made.setdefault(change.record, kind)
        return change


def assert_same_look_ups(ours: SiteRecord, theirs: SiteRecord) -> None:
    """Both records hold the same, in the same order, and every look-up gives the same."""
    assert_same_record(ours, theirs)
    assert ours.by_id == theirs.by_id
    assert ours._by_number == theirs._by_number
    for kind in KINDS.values():
        assert ours.all(kind, void=True) == theirs.all(kind, void=True)
        for name, said in fields_of(kind):
            if said.refers:
                assert ours._pointers(kind, name) == theirs._pointers(kind, name), (kind.KIND, name)
    for entity in ours.by_id.values():
        assert called(ours, entity) == called(theirs, entity)


@pytest.mark.parametrize("seed", range(12))
def test_a_renewed_record_is_the_record_made_anew(seed: int, tmp_path: Path) -> None:
    """After each of many random batches a store that has kept its record gives what a store opened afresh gives."""
    digging = Digging(seed)
    memory = MemoryStore()
    with open_site(tmp_path / "kept.gpkg", create=True) as kept:
        for _ in range(8):
            batch = [digging.change() for _ in range(digging.dice.choice((1, 2, 30)))]
            for store in (kept, memory):
                store.append(batch, merging=True)
            with open_site(tmp_path / "kept.gpkg", read_only=True) as fresh:
                anew = fresh.record()
            assert_same_look_ups(kept.record(), anew)
            assert_same_look_ups(memory.record(), anew)
        assert kept.record() is kept.record()
        assert len(kept.record().by_id) > 5


def test_what_another_program_wrote_is_seen(tmp_path: Path) -> None:
    """A record that is kept takes in what another program writes to the same file."""
    digging = Digging(3)
    with open_site(tmp_path / "site.gpkg", create=True) as ours, open_site(tmp_path / "site.gpkg") as theirs:
        for store in (ours, theirs, ours, theirs):
            store.append([digging.change() for _ in range(5)], merging=True)
            assert_same_look_ups(ours.record(), theirs.record())


def test_the_check_can_fail() -> None:
    """A record whose look-ups were not brought along is caught."""
    digging = Digging(1)
    store = MemoryStore()
    store.append([digging.change() for _ in range(40)], merging=True)
    before = store.record()
    store.append([digging.pen.create("photo", {"number": "99"})])
    with pytest.raises(AssertionError):
        assert_same_look_ups(before, store.record())
    assert exchanged((), (), ()) == ()


@pytest.mark.parametrize("seed", range(16))
def test_what_a_viewer_has_is_brought_along_as_the_rule_says(seed: int) -> None:
    """After each batch every viewer has what the rule gives for the record made anew, whether or not it was asked of all again."""
    digging = Digging(seed, remains=0.03 if seed % 2 else 0.6)
    store, asked_again = MemoryStore(), 0
    store.append([digging.change() for _ in range(40)], merging=True)
    seen = SeenRecords(store.record())
    for step in range(25):
        revision = store.revision()
        store.append([digging.change() for _ in range(digging.dice.choice((1, 1, 4)))], merging=True)
        seen = seen.renewed(store.record(), {change.record for change in store.changes(revision)})
        if step % 3 == 1:
            continue  # nobody looks at this revision
        anew = SiteRecord.of(store.record().by_id.values(), store.record().differences, store.revision())
        for view in (View.CREW, View.PUBLIC):
            theirs = record_for(anew, view, also=neighbours_that_show(anew))
            assert_same_look_ups(seen.by(view), theirs)
            assert withheld_from(store.record(), view).why.keys() == withheld_from(anew, view).why.keys()
            assert withheld_from(store.record(), view).bare == withheld_from(anew, view).bare
        asked_again += seen._brought_along(View.CREW) is None
    assert asked_again < 17, "nothing was ever brought along"


def test_a_record_that_becomes_withheld_is_not_brought_along() -> None:
    """The negative control: when a context is read as a grave, what was worked out before is not kept."""
    digging = Digging(2)
    store = MemoryStore()
    context = digging.pen.create("context", {"number": "1"})
    level = digging.pen.create("level", {"context": context.record, "level": 4.0})
    store.append([context, level])
    seen = SeenRecords(store.record())
    assert level.record in seen.by(View.CREW).by_id
    store.append([digging.pen.write(store, context.record, "cut_function", "grave")])
    now = seen.renewed(store.record(), {context.record})
    assert now._brought_along(View.CREW) is None
    assert level.record not in now.by(View.CREW).by_id
    assert now.by(View.CREW).get(Context, context.record) == Context(id=context.record, number="1")
