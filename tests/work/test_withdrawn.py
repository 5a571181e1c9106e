"""A device of the crew drops what becomes withheld, and is never told of what was withheld from its beginning."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest

from baulk.record import Change, View
from baulk.store import open_site
from baulk.work.office import SiteOffice
from baulk.work.pen import Pen
from baulk.work.pull import Asked, HeldRecord
from baulk.work.scope import Scope, all_in_scope, open_units
from tests.property.test_renewed_record import Digging


def plain(change: Change) -> dict[str, Any]:
    """Return a change as it travels."""
    found: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(change))
    return found


class Tablet:
    """A device that keeps what it pulls, as a device of the crew does."""

    def __init__(self, office: SiteOffice, name: str = "tablet") -> None:
        self.office, self.name, self.revision = office, name, 0
        self.held: dict[str, HeldRecord] = {}
        self.heard: list[str] = []

    def pull(self) -> None:
        """Bring what is held up to date."""
        page, after = "", self.revision
        while True:
            answer = self.office.pull(Asked(after, (), page, View.CREW, self.name))
            for one in answer.records:
                self.heard.append(one.id)
                if one.gone:
                    self.held.pop(one.id, None)
                else:
                    self.held[one.id] = one
            self.revision = answer.revision
            if answer.next is None:
                return
            page = answer.next


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A new site file."""
    open_site(tmp_path / "site.gpkg", create=True).close()
    return tmp_path / "site.gpkg"


@pytest.fixture
def office(path: Path) -> Iterator[SiteOffice]:
    """The office of a new site."""
    with SiteOffice(path, clock=lambda: 1_790_000_000_000) as office:
        yield office


def dug(pen: Pen) -> tuple[Change, Change, Change, Change]:
    """Return a unit, a context in it, and a level and a find on it."""
    unit = pen.create("unit", {"number": "1"})
    context = pen.create("context", {"number": "101", "units": [unit.record], "title": "grey fill"})
    return (
        unit,
        context,
        pen.create("level", {"context": context.record, "level": 3.0}),
        pen.create("find", {"context": context.record}),
    )


def test_what_becomes_withheld_is_dropped(office: SiteOffice) -> None:
    """When a context is read as a grave its level and find go from the device, and it stays with its number alone."""
    pen = Pen("AK", "laptop")
    changes = dug(pen)
    office.push([plain(change) for change in changes])
    tablet = Tablet(office)
    tablet.pull()
    _, context, level, find = changes
    assert {level.record, find.record} <= tablet.held.keys()
    office.push([plain(pen.write(office.store(), context.record, "cut_function", "grave"))])
    tablet.pull()
    assert {level.record, find.record}.isdisjoint(tablet.held)
    assert set(tablet.held[context.record].fields) == {"number"}
    office.push([plain(pen.write(office.store(), context.record, "cut_function", "pit"))])
    tablet.pull()
    assert {level.record, find.record} <= tablet.held.keys()
    assert tablet.held[context.record].fields["title"][0].value == "grey fill"


def test_what_was_withheld_from_its_beginning_is_never_told_of(office: SiteOffice) -> None:
    """A grave that another device records is not told of by so much as an id; to who wrote it the answer is to drop it."""
    writer, reader = Tablet(office, "restricted laptop"), Tablet(office, "tablet")
    pen = Pen("AK", "restricted laptop")
    changes = dug(pen)
    office.push([plain(change) for change in changes])
    writer.pull()
    reader.pull()
    bone = pen.create("find", {"context": changes[1].record, "material": "human bone"})
    burial = pen.create("burial", {"contexts": []})
    office.push([plain(bone), plain(burial)])
    told = office.pull(Asked(writer.revision, (), "", View.CREW, "restricted laptop"))
    assert {one.id for one in told.records if one.gone} == {bone.record, burial.record}
    reader.pull()
    assert {bone.record, burial.record}.isdisjoint(reader.heard)


@pytest.mark.parametrize("seed", range(8))
def test_a_device_holds_what_a_device_that_starts_afresh_holds(seed: int, path: Path) -> None:
    """Over random changes, restarts and absences a device ends with all that a new one is given, and what has left its units."""
    digging, dice = Digging(seed, remains=0.4), random.Random(seed)
    office = SiteOffice(path, clock=lambda: 1_790_000_000_000)
    tablets = [Tablet(office, f"tablet {n}") for n in range(3)]
    moved = 0
    for _ in range(14):
        office.push([plain(digging.change()) for _ in range(dice.choice((1, 3, 8)))])
        if dice.random() < 0.3:
            office.close()
            with open_site(path) as store:  # a command writes while nothing is served
                store.append([digging.change() for _ in range(3)], merging=True)
            office = SiteOffice(path, clock=lambda: 1_790_000_000_000)
        for tablet in tablets:
            tablet.office = office
            if dice.random() < 0.5:
                before = len(tablet.held)
                tablet.pull()
                moved += len(tablet.held) < before
    fresh = Tablet(office, "fresh")
    fresh.pull()
    for tablet in tablets:
        tablet.pull()
        shown = office.study().seen_by(View.CREW)
        scope = Scope(office.study().record, open_units(office.study().record))
        for each, one in tablet.held.items():
            assert each in shown.by_id, "a withheld record stayed on the device"
            assert (each in fresh.held) == (office.study().record.by_id[each] in scope)
            assert each not in fresh.held or one.fields == fresh.held[each].fields
        assert not [each for each in fresh.held.keys() - tablet.held.keys() if shown.by_id[each].void is None]
    office.close()


@pytest.mark.parametrize("seed", range(8))
def test_one_walk_finds_what_the_scope_has_in_it(seed: int, office: SiteOffice) -> None:
    """What is given to a new device is the same set as record by record, with pointers that lead nowhere or in a circle."""
    digging = Digging(seed, remains=0.5)
    office.push([plain(digging.change()) for _ in range(60)])
    pen = Pen("AK", "hostile", clock=lambda: 5)
    level, find = pen.new_id(), pen.new_id()
    office.push([
        plain(pen.create("level", {"context": find}, record=level)), plain(pen.create("find", {"context": level}, record=find)),
    ])  # fmt: skip
    record = office.study().record
    for units in ([], digging.units[:1], digging.units, ["nobody"], [digging.contexts[0]]):
        scope = Scope(record, units)
        assert all_in_scope(record, units) == {each for each, entity in record.by_id.items() if entity in scope}
