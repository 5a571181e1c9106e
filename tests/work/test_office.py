"""The office of a site: one file while it is served, whoever else writes to it or exchanges it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import msgspec
import pytest

from baulk.errors import InputError, Overtaken, StoreError
from baulk.record import Change, Context, HybridTime, NumberBlock
from baulk.store import MemoryStore, open_site
from baulk.work.hand_out import hand_out
from baulk.work.office import SiteOffice
from baulk.work.pen import A_DAY, Pen
from baulk.work.pull import Asked

NOW = 1_790_000_000_000


def plain(change: Change) -> dict[str, Any]:
    """Return a change as it travels."""
    found: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(change))
    return found


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A new site file."""
    open_site(tmp_path / "site.gpkg", create=True).close()
    return tmp_path / "site.gpkg"


@pytest.fixture
def office(path: Path) -> Iterator[SiteOffice]:
    """The office of a new site."""
    with SiteOffice(path, clock=lambda: NOW) as office:
        yield office


def test_what_a_command_writes_is_seen_at_once(office: SiteOffice, path: Path) -> None:
    """A study taken after a command wrote holds what it wrote, and the office writes later than it."""
    pen = Pen("AK", "laptop", clock=lambda: NOW + 60_000)
    with open_site(path) as store:
        change = pen.create("context", {"number": "101"})
        store.append([change])
    assert office.study().record.numbered(Context, "101").id == change.record
    assert office.pen("AK").stamp().time > change.time


def test_a_file_that_is_exchanged_is_opened_anew(office: SiteOffice, path: Path, tmp_path: Path) -> None:
    """When a backup is put in the place of the file, what is written next goes into it and not into the file that is gone."""
    pen = Pen("AK", "tablet")
    office.push([plain(pen.create("context", {"number": "1"}))])
    shutil.copy(path, tmp_path / "backup.gpkg")
    office.push([plain(pen.create("context", {"number": "2"}))])
    (tmp_path / "backup.gpkg").replace(path)
    office.push([plain(pen.create("context", {"number": "3"}))])
    assert [one.number for one in office.study().record.all(Context)] == ["1", "3"]
    with open_site(path, read_only=True) as store:
        assert store.revision() == 2
    with pytest.raises(Overtaken, match="This device has seen revision 7 of the site, and the site file here stands at 2"):
        office.pull(Asked(after=7))
    path.unlink()
    with pytest.raises(StoreError, match=r"There is no file site\.gpkg"):
        office.push([])


def test_a_file_that_cannot_be_written_is_read(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A site that may not be written is served for reading; what is sent is refused and stays on the device."""
    from baulk.work import office as module

    def only_reading(place: Path, *, read_only: bool = False) -> Any:
        if not read_only:
            raise StoreError("site.gpkg cannot be opened: it, or its folder, can only be read here.")
        return open_site(place, read_only=True)

    monkeypatch.setattr(module, "open_site", only_reading)
    with SiteOffice(path) as office:
        assert not office.writable and "can only be read here" in office.why_not
        assert office.study().record.revision == 0
        with pytest.raises(StoreError, match="This site can only be read here, so nothing was kept; it stays on the device"):
            office.push([])
        with pytest.raises(StoreError, match="stays on the device"):
            office.hand_out("context", 5, "AK")


def test_numbers_are_given_once_whoever_asks(office: SiteOffice, path: Path) -> None:
    """Many who ask at once, of the server and of commands beside it, all get numbers of their own."""

    def by_command(person: str) -> NumberBlock:
        with open_site(path) as store:
            return hand_out(store, lambda: Pen(person, "laptop"), Context, 7, person)

    with ThreadPoolExecutor(6) as many:
        asked = [many.submit(office.hand_out, "context", 5, f"P{n}") for n in range(12)]
        asked += [many.submit(by_command, f"C{n}") for n in range(4)]
        blocks = [one.result() for one in asked]
    numbers = [number for block in blocks for number in range(block.first or 0, (block.last or 0) + 1)]
    assert sorted(numbers) == list(range(1, 12 * 5 + 4 * 7 + 1))
    assert len(office.study().record.all(NumberBlock)) == 16


def test_who_is_always_overtaken_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """When others write faster than every try, it ends with the reason and not for ever."""
    store, pen = MemoryStore(), Pen("AK", "laptop")
    append = store.append

    def overtaken(changes: Any, **options: Any) -> int:
        append([pen.create("context", {"number": "1"})])
        return append(changes, **options)

    monkeypatch.setattr(store, "append", overtaken)
    with pytest.raises(Overtaken, match="somebody else wrote in between"):
        hand_out(store, lambda: pen, Context, 5, "AK")
    assert not store.record().all(NumberBlock)


def test_a_pen_is_not_dragged_into_the_future() -> None:
    """A pen starts after what lies up to a day ahead of its clock, and not after what lies further."""
    store = MemoryStore()
    for ahead in (A_DAY - 1000, 400 * A_DAY):
        store.append([Pen("AK", "tablet", clock=lambda ahead=ahead: NOW + ahead).create("context", {})])
    pen = Pen("BM", "laptop", clock=lambda: NOW)
    pen.catch_up(store)
    assert HybridTime.parse(pen.stamp().time) == HybridTime(NOW + A_DAY - 1000, 1)
    pen = Pen("BM", "laptop", clock=lambda: NOW)
    pen.catch_up(object())
    assert HybridTime.parse(pen.stamp().time) == HybridTime(NOW)


def test_getting_ready_never_fails(office: SiteOffice, path: Path) -> None:
    """What is worked out in advance changes no answer, and a fault in it is left to the request that meets it."""
    office.push([plain(Pen("AK", "tablet").create("context", {"number": "1"}))])
    office.warm()
    path.unlink()
    office.warm()


def test_an_id_that_no_change_has(office: SiteOffice) -> None:
    """An id with control marks or of endless length is refused by name, cut short."""
    told = office.push([{"id": "a\nb"}, {"id": "x" * 200}])
    assert told.kept == ()
    assert all("its id is too long or holds marks that no id has" in one.message for one in told.refused)
    with pytest.raises(InputError, match="Nobody is named as the writer"):
        office.hand_out("context", 5, " ")
