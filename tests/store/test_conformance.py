"""What every store does, run against each of them."""

from __future__ import annotations

import datetime
import random
import threading
from pathlib import Path

import pytest
from msgspec.structs import replace

from baulk.errors import FieldError, InputError, Overtaken, UnknownRecord
from baulk.record import KINDS, Change, Context, Level, Relation, absent, fold_record, rewrite, undoing
from baulk.store import Histories, Store, open_site

from .samples import CUT, DUMP, OTHER, RING, UNIT, assert_same_record, made, record_id, shuffled, small_site, stamp, written


def test_every_store_keeps_the_protocol(store):
    """A store has every method of the Protocol, which has at most eight."""
    assert isinstance(store, Store)
    assert len([name for name in vars(Store) if not name.startswith("_")]) == 8
    assert not isinstance(object(), Store)


def test_what_is_appended_comes_back(store):
    """Changes come back as written, in order of arrival, with plain lists for tuples."""
    changes = small_site()
    assert store.append(changes) == len(changes) == store.revision()
    assert list(store.changes()) == changes
    assert list(store.changes(after=9)) == changes[9:]
    assert list(store.changes(after=99)) == []


def test_an_empty_store(store):
    """A new store has nothing, and says so without an error."""
    assert store.revision() == store.append([]) == 0
    assert store.record().entities == {}
    assert store.folded("nobody") is None
    assert store.columns("context", ["id", "units"]) == {"id": [], "units": []}
    assert store.left_out() == ()


def test_a_change_given_again_counts_once(store):
    """Sending a batch again, whole, in part or twice over in one batch, changes nothing."""
    changes = small_site()
    store.append(changes[:7])
    assert store.append([*changes[3:], *changes[3:]]) == len(changes)
    before = store.record()
    assert store.append(shuffled(changes, 1)) == len(changes)
    assert_same_record(store.record(), before)


@pytest.mark.parametrize("seed", range(6))
def test_the_order_of_arrival_does_not_matter(new_store, seed):
    """Batches of any size in any order give the same record, columns and list of what is left out."""
    changes = [*small_site(), written(12, DUMP, "glaze", "?"), written(13, DUMP, "colour_moist", "brown", by=OTHER)]
    straight, mixed = new_store(), new_store()
    straight.append(changes, merging=True)
    rest, dice = shuffled(changes, seed), random.Random(seed)
    while rest:
        size = dice.randint(1, 4)
        mixed.append(rest[:size], merging=True)
        rest = rest[size:]
    assert_same_record(mixed.record(), straight.record())
    assert mixed.left_out() == straight.left_out() != ()
    for kind in KINDS.values():
        assert mixed.columns(kind.KIND, list(kind.model_fields)) == straight.columns(kind.KIND, list(kind.model_fields))


def test_both_stores_agree(new_store, tmp_path):
    """The record, the columns and the folds of a store are those of any other store with the same changes."""
    first = new_store()
    first.append(small_site())
    with open_site(tmp_path / "second.gpkg", create=True) as second:
        for change in small_site():
            second.append([change])
        assert_same_record(first.record(), second.record())
        fields = list(Context.model_fields)
        assert first.columns("context", fields) == second.columns("context", fields)
        assert first.folded(DUMP) == second.folded(DUMP)


def test_the_record_holds_what_was_written(store):
    """Values come back in the record under their rules: spelling of colours, lists, yes/no, absences, defaults, void."""
    store.append(small_site())
    record = store.record()
    dump = record.numbered(Context, "1002")
    assert (dump.colour_moist, dump.units, dump.phase, dump.natural) == ("10YR 4/3", (UNIT,), 2, False)
    assert dump.absences == {"checked_by": "not done: rain"}
    assert [context.number for context in record.all(Context, void=True)] == ["1001", "1002"]
    assert record.all(Context) == (dump,)
    assert record.get(Context, CUT).void == "a root, not a pit"
    assert record.all(Relation)[0].how == "cuts"
    assert record.all(Level)[0].surface == "top"
    assert record.revision == 11


def test_columns_come_whole_and_plain(store):
    """Columns leave out void records and hold plain lists, booleans, mappings and None."""
    store.append(small_site())
    assert store.columns("contexts", ["number", "units", "natural", "absences", "phase", "depth"]) == {
        "number": ["1002"],
        "units": [[UNIT]],
        "natural": [False],
        "absences": [{"checked_by": "not done: rain"}],
        "phase": [2],
        "depth": [None],
    }
    assert type(store.columns("context", ["natural"])["natural"][0]) is bool
    assert store.columns("outline", ["ring"])["ring"] == [RING]
    assert store.columns("context", []) == {}


def test_columns_of_something_unknown(store):
    """A kind or field that is not there is named, with the nearest ones."""
    with pytest.raises(UnknownRecord, match=r"no kind of record “contxt”\. Did you mean context"):
        store.columns("contxt", ["id"])
    with pytest.raises(InputError, match=r"A context has no field “colour_moistt”\. Did you mean colour_moist"):
        store.columns("context", ["colour_moistt"])


def test_the_fold_names_what_is_in_view(store):
    """The fold of a record is that of its changes, with the heads that a further change names."""
    store.append(small_site())
    of_dump = [change for change in small_site() if change.record == DUMP]
    assert store.folded(DUMP) == fold_record(of_dump)
    assert store.folded(DUMP).heads["title"] == (stamp(10).id,)


def test_a_difference_opens_and_is_settled(store):
    """Two writes without sight of each other open a difference with the later in view; a write that saw both settles it."""
    store.append(small_site())
    seen = store.folded(DUMP).heads["title"]
    ours, theirs = written(20, DUMP, "title", "slag", after=seen), written(21, DUMP, "title", "cullet", after=seen, by=OTHER)
    store.append([theirs])
    assert store.record().differences == ()
    store.append([ours])
    (difference,) = store.record().differences
    assert (difference.kind, difference.record, difference.field) == ("context", DUMP, "title")
    assert [(write.value, write.person) for write in difference.writes] == [("cullet", "CD"), ("slag", "AB")]
    assert store.columns("context", ["title"]) == {"title": ["cullet"]}
    store.append([written(22, DUMP, "title", "slag and cullet", after=store.folded(DUMP).heads["title"])])
    assert store.record().differences == ()
    assert store.columns("context", ["title"]) == {"title": ["slag and cullet"]}


def test_undo_is_a_further_change(store):
    """Undoing brings the earlier value back and keeps both changes in the log."""
    store.append(small_site())
    changed = written(20, DUMP, "phase", 3, after=store.folded(DUMP).heads["phase"], replaced=2)
    store.append([changed])
    store.append([undoing(stamp(21), changed, store.folded(DUMP).heads["phase"])])
    assert store.columns("context", ["phase"]) == {"phase": [2]}
    assert store.revision() == 13
    creation = small_site()[4]
    store.append([undoing(stamp(22), creation, ())])
    assert store.record().all(Relation) == ()
    assert store.columns("relation", ["id"]) == {"id": []}


def test_a_field_is_made_blank_again(store):
    """A write of None or of an absence takes the value away in the tables too."""
    store.append(small_site())
    store.append(
        [
            written(20, DUMP, "phase", None, after=(stamp(3).id,)),
            written(21, DUMP, "natural", absent("not visible"), after=(stamp(3).id,)),
        ]
    )
    assert store.columns("context", ["phase", "natural"]) == {"phase": [None], "natural": [None]}
    assert store.record().get(Context, DUMP).absences["natural"] == "not visible"


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (
            made(30, "context", record_id(30), number="7", colour_moist="brownish"),
            "context 7: Colour, moist is given as “brownish”",
        ),
        (made(30, "context", record_id(30), number="7", color="x"), "A context has no such field"),
        (made(30, "relation", record_id(30), later=CUT), "Earlier is given as “None”. A relation cannot be kept without it"),
        (made(30, "contxt", record_id(30)), "knows no such kind of record. Did you mean context"),
        (made(30, "context", record_id(30), id="another"), "It is not a field that a change writes"),
        (made(30, "context", record_id(30), phase=10**40), "at most 18 digits"),
        (written(30, DUMP, "dug", 200), "Share dug is given as “200”"),
        (written(30, DUMP, "title", absent("no idea")), "“not applicable”, “not visible” or “not done: reason”"),
        (written(30, DUMP, "nonsense", absent("not visible")), "A context has no such field"),
        (written(0, DUMP, "dug", 200, after=()), "Share dug is given as “200”"),
        (written(30, DUMP, "title", "x", kind="find"), "This record is a context already"),
    ],
)
def test_a_value_that_breaks_its_rule_takes_the_batch_with_it(store, bad, says):
    """A strict batch with one bad value leaves everything as it was, and the refusal names field, value and rule."""
    store.append([*small_site(), written(12, DUMP, "dug", 50)])
    before = store.record()
    with pytest.raises(FieldError) as refusal:
        store.append([written(40, DUMP, "notes", "good"), bad])
    assert says in str(refusal.value)
    assert_same_record(store.record(), before)
    assert store.revision() == 12


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (made(30, "context", record_id(30), title={1, 2, object()}), "is not plain text, number, yes/no or a list of these"),
        (made(30, "context", record_id(30), title="\ud800"), "is not plain text"),
        (made(30, "context", ""), "has no record"),
        (written(30, record_id(77), "title", "x"), "the site holds no such record. Create it first"),
        (written(3, DUMP, "title", "x"), "is already held with other content"),
        (rewrite(stamp(30), "context", DUMP, "title", "x", after=(7,)), "is not plain text"),
        (replace(written(30, DUMP, "title", "x"), time="tomorrow"), "The time “tomorrow” of a change cannot be read"),
        (replace(written(30, DUMP, "title", "x"), time="177000000000².000000"), "it has 13 digits, a point and 6 digits"),
    ],
)
def test_what_cannot_be_a_change(store, bad, says):
    """A change that is not plain, lacks what every change has, or bears the id of another is refused with its batch."""
    store.append(small_site())
    with pytest.raises(InputError) as refusal:
        store.append([written(40, DUMP, "notes", "good"), bad])
    assert says in str(refusal.value)
    assert store.revision() == 11


def test_a_batch_made_from_an_earlier_revision_is_refused_when_it_says_so(store):
    """A writer that names the revision it read is told when somebody else wrote since, and nothing of its batch is kept."""
    store.append(small_site())
    assert store.append([written(12, DUMP, "notes", "one")], at=11) == 12
    with pytest.raises(Overtaken, match="made from revision 11 and the site stands at 12: somebody else wrote in between"):
        store.append([written(13, DUMP, "notes", "two")], at=11)
    assert store.revision() == 12


def test_every_store_tells_the_changes_behind_its_records(store):
    """The history of a record is all its changes in order of arrival, up to a revision when one is named."""
    assert isinstance(store, Histories)
    store.append(small_site())
    found = store.histories([DUMP, CUT, "nobody"])
    assert found == {one: [each for each in small_site() if each.record == one] for one in (DUMP, CUT)}
    assert [each.id for each in store.histories([DUMP], until=10)[DUMP]] == [stamp(3).id, stamp(10).id]
    assert store.histories([DUMP], until=2) == {}
    assert store.histories([]) == {}


def test_the_latest_time_stops_at_a_limit(store):
    """The latest time leaves out what lies after the limit, so that one clock far ahead does not count."""
    assert store.latest_time(not_after="9999999999999.000000") is None
    far = replace(written(12, DUMP, "notes", "far ahead"), time="9000000000000.000000")
    store.append([*small_site(), far])
    assert store.latest_time(not_after="9999999999999.999999") == "9000000000000.000000"
    assert store.latest_time(not_after="1800000000000.000000") == "1770000000011.000000"
    assert store.latest_time(not_after="0000000000001.000000") is None


def test_a_creation_without_values_by_field(store):
    """A creation holds a mapping of first values."""
    with pytest.raises(InputError, match="instead of first values by field"):
        store.append([Change(id="a", time="1", device="d", person="p", kind="context", record="r", value=[1])])


def test_a_merge_keeps_what_it_does_not_understand(store):
    """A merge keeps every change; a field or kind that breaks the rules is left out of view, with the reason."""
    store.append(small_site())
    strange = [
        written(30, DUMP, "glaze", "green", by=OTHER),
        written(31, DUMP, "dug", 200, by=OTHER),
        written(32, DUMP, "title", "cullet", by=OTHER, after=(stamp(10).id,)),
        made(33, "core", record_id(33), depth=2),
        made(34, "relation", record_id(34), later=CUT),
        written(35, record_id(77), "title", "of a record not yet here", by=OTHER),
    ]
    assert store.append(strange, merging=True) == 17
    assert list(store.changes(after=11)) == strange
    assert [(left.kind, left.record, left.field) for left in store.left_out()] == [
        ("context", DUMP, "dug"),
        ("context", DUMP, "glaze"),
        ("core", record_id(33), ""),
        ("relation", record_id(34), "earlier"),
    ]
    assert "Should be less than or equal to 100" in store.left_out()[0].reason
    record = store.record()
    assert record.get(Context, DUMP).title == "cullet"
    assert record.get(Context, DUMP).dug is None
    assert record.get(Context, record_id(77)).title == "of a record not yet here"
    assert len(record.all(Relation)) == 1
    assert store.folded(DUMP).values["glaze"] == "green"
    assert store.folded(record_id(33)).values == {"depth": 2}


def test_a_record_with_something_strange_can_still_be_written(store):
    """What a merge brought and is not understood does not stop a strict write of another field, and is mended by a good value."""
    store.append(small_site())
    bad = written(30, DUMP, "dug", 200, by=OTHER)
    store.append([bad], merging=True)
    store.append([written(40, DUMP, "notes", "good")])
    store.append([written(41, DUMP, "dug", 20, after=(bad.id,))])
    assert store.left_out() == ()
    assert store.columns("context", ["dug", "notes"]) == {"dug": [20.0], "notes": ["good"]}


def test_one_record_under_two_kinds(new_store):
    """When two copies use one id for two kinds, the kind written first counts, whichever arrives first, and the other is named."""
    changes = [made(1, "find", DUMP, number="9"), made(2, "context", DUMP, number="5")]
    for order in (changes, changes[::-1]):
        store = new_store()
        for change in order:
            store.append([change], merging=True)
        assert [list(found) for found in store.record().entities.values() if found] == [[store.record().by_id[DUMP]]]
        assert store.record().by_id[DUMP].KIND == store.folded(DUMP).kind == "find"
        assert "One record is of one kind" in store.left_out()[0].reason


def test_hostile_words_survive(store):
    """Text of any script and length, control characters and formulas come back letter for letter."""
    words = [
        "=1+1",
        "../../etc",
        "نص من اليمين",
        "a\0b",
        "x" * 10_000,
        "'; DROP TABLE change; --",
        "🏺",
        "\u202e",
        '"',
        "line\nline",
    ]
    store.append(
        [made(number, "context", record_id(number), number=str(number), notes=text) for number, text in enumerate(words, 1)]
    )
    assert store.columns("context", ["notes"]) == {"notes": words}
    assert [context.notes for context in store.record().all(Context)] == words


def test_values_become_plain_on_the_way_in(store):
    """A date or tuple handed in is kept as its JSON form, so that every store folds alike."""
    store.append([made(1, "unit", UNIT, opened=datetime.date(2026, 5, 4), sides=(2.0, 2.0))])
    assert store.folded(UNIT).values == {"opened": "2026-05-04", "sides": [2.0, 2.0]}


def test_a_backup_is_the_whole_site(store, tmp_path):
    """A backup opens as a site file with the same changes and record, and a later one takes its place."""
    store.append(small_site()[:8])
    target = tmp_path / "copy.gpkg"
    store.backup(target)
    with open_site(target, read_only=True) as copy:
        assert list(copy.changes()) == list(store.changes())
        assert_same_record(copy.record(), store.record())
    store.append(small_site())
    store.backup(target)
    with open_site(target, read_only=True) as copy:
        assert copy.revision() == 11
    assert sorted(path.suffix for path in tmp_path.iterdir() if path.name.startswith(".")) == []


def test_reading_while_writing(store):
    """A reader half-way through the changes does not stop a writer, and threads may share a store."""
    store.append(small_site())
    reader = store.changes()
    next(reader)
    faults: list[BaseException] = []

    def write(hand: int) -> None:
        try:
            for number in range(20):
                store.append([written(100 + number, DUMP, "notes", str(number), by=(f"device {hand}", "EF"))])
                store.record()
        except BaseException as fault:  # noqa: BLE001 - handed to the test
            faults.append(fault)

    threads = [threading.Thread(target=write, args=(hand,)) for hand in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert store.revision() == 71
    assert len(list(reader)) >= 10


def test_closing_twice(store, tmp_path: Path):
    """Closing twice does no harm, and `with` closes."""
    with store:
        pass
    store.close()


def test_a_change_that_does_not_say_when_or_where_is_refused(store):
    """What every change has is asked for by name, and nothing of the batch is kept."""
    blank = Change(id="x", time="", device="", person="AK", kind="context", record=record_id(77), value={})
    with pytest.raises(
        InputError, match=r"has no time and no device\. Every change says what it changes, when and on which device"
    ):
        store.append([blank])
    assert store.revision() == 0
