"""The pen stamps who, when and what was in view."""

from __future__ import annotations

import pytest

from baulk.errors import InputError, UnknownRecord
from baulk.record import Change, FoldedRecord, HybridTime, absent, fold_record
from baulk.work.pen import Pen


class Drawer:
    """A store of a few changes."""

    def __init__(self) -> None:
        self.held: list[Change] = []

    def folded(self, record_id: str) -> FoldedRecord | None:
        """Fold what is held of one record."""
        found = [change for change in self.held if change.record == record_id]
        return fold_record(found) if found else None


def test_a_write_names_what_it_replaces_and_what_was_in_view() -> None:
    """A rewrite carries the value replaced and the change that wrote it; a second one follows the first."""
    pen, drawer = Pen("AK", "tablet"), Drawer()
    first = pen.create("context", {"number": "101", "title": "turf", "notes": None})
    drawer.held.append(first)
    second = pen.write(drawer, first.record, "title", "turf and cinders", why="seen again in the wall")
    assert (second.replaced, second.after, second.why) == ("turf", (first.id,), "seen again in the wall")
    assert "notes" not in first.value and first.time < second.time
    drawer.held.append(second)
    third = pen.write(drawer, first.record, "title", absent("not visible"))
    drawer.held.append(third)
    assert pen.write(drawer, first.record, "title", "x").replaced == absent("not visible")
    drawer.held.append(pen.undo(drawer, third))
    folded = drawer.folded(first.record)
    assert folded is not None
    assert folded.values["title"] == "turf and cinders"


def test_the_pen_writes_later_than_all_it_has_seen() -> None:
    """A device whose clock is behind still writes later than what it has seen."""
    fast = Pen("AK", "a", clock=lambda: 9_000_000)
    slow = Pen("TB", "b", clock=lambda: 1000)
    change = fast.create("context", {"number": "1"})
    slow.saw([change])
    assert HybridTime.parse(slow.create("context", {"number": "2"}).time) > HybridTime.parse(change.time)
    slow.saw_time("0000099999999.000000")
    assert slow.stamp().time > "0000099999999.000000"


def test_nobody_and_nothing_are_refused() -> None:
    """A pen without a person, and a write to a record that is not there, are refused in words."""
    with pytest.raises(InputError, match="give your initials"):
        Pen("  ", "a")
    with pytest.raises(UnknownRecord, match="There is no record"):
        Pen("AK", "a").write(Drawer(), "none", "title", "x")
