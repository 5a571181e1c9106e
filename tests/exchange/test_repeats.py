"""Rows that relate a context to itself, say again what is on record, or name a number that two records share."""

import pytest

from baulk.errors import TableError
from baulk.exchange import Drafted, Take, drafts, table_of_text
from baulk.record import Contact, Context, Entity, Level, Outline, Position, Relation, Sight, SiteRecord, Wall
from baulk.record.site import LevelRun
from tests.exchange.made import ids

CONTEXTS = (Context(id="a", number="101"), Context(id="b", number="102"))


def _taken(kind: str, text: str, *held: Entity, skip: bool = False) -> Drafted:
    table = table_of_text(text, f"{kind}.csv")
    return drafts(table, kind, SiteRecord.of([*CONTEXTS, *held]), new_id=ids(), skip_repeats=skip)


@pytest.mark.parametrize("kind", ["relation", "contact"])
def test_nothing_is_related_to_itself(kind: str) -> None:
    """A relation or contact of a context to itself is refused in words, on its line."""
    wall = Wall(id="w", number="W1", unit="u")
    rows = "W1,101,102\nW1,101,101\n" if kind == "contact" else "101,102\n101,101\n"
    with pytest.raises(TableError, match=r"line 3, column “earlier”: A .* joins two contexts, and both sides name the same one"):
        _taken(kind, ("wall," if kind == "contact" else "") + "later,earlier\n" + rows, wall)


HELD: list[tuple[str, str, str, tuple[Entity, ...]]] = [
    ("relation", "later,earlier", "101,102", (Relation(id="r", later="a", earlier="b"),)),
    ("level", "context,easting,northing,level", "101,1,2,9.5", (Level(id="l", context="a", easting=1, northing=2, level=9.5),)),
    (
        "contact",
        "wall,later,earlier,line",
        "W1,101,102,0 1; 2 1",
        (
            Wall(id="w", number="W1", unit="u"),
            Contact(id="k", wall="w", later="a", earlier="b", line=(Position(0, 1), Position(2, 1))),
        ),
    ),
    (
        "outline",
        "context,ring",
        "101,0 0; 1 0; 1 1",
        (Outline(id="o", context="a", ring=(Position(0, 0), Position(1, 0), Position(1, 1))),),
    ),
    ("sight", "run,place,backsight", "R1,1,1.5", (LevelRun(id="n", number="R1"), Sight(id="s", run="n", place=1))),
]


@pytest.mark.parametrize(("kind", "head", "row", "held"), HELD, ids=[case[0] for case in HELD])
def test_what_is_on_record_is_not_taken_twice(kind: str, head: str, row: str, held: tuple[Entity, ...]) -> None:
    """A row that repeats a record is refused by its line, or left out with a note when repeats are skipped."""
    text = f"{head}\n{row}\n"
    with pytest.raises(TableError, match=r"line 2: This .* is already on record.*leave repeats out with --skip-repeats"):
        _taken(kind, text, *held)
    left = _taken(kind, text, *held, skip=True)
    assert left.drafts == ()
    assert left.notes == (f"{kind}.csv, line 2: 1 record left out: already on record.",)


def test_a_void_record_and_another_sheet_are_no_repeats() -> None:
    """A relation is taken beside a void one like it, and beside the same one entered from the other sheet."""
    void = Relation(id="r", later="a", earlier="b", void="entered twice")
    other = Relation(id="q", later="a", earlier="b", sheet="later's sheet")
    text = "later,earlier,sheet\n101,102,earlier's sheet\n101,102,\n"
    assert len(_taken("relation", text, void, other).drafts) == 2


def test_an_id_on_record_is_skipped_only_for_the_same_record() -> None:
    """With repeats skipped, a row under an id on record is left out when it says the same, else refused."""
    held = Relation(id="r", later="a", earlier="b")
    assert _taken("relation", "id,later,earlier\nr,101,102\n", held, skip=True).drafts == ()
    with pytest.raises(TableError, match="A record has this id already"):
        _taken("relation", "id,later,earlier\nr,102,101\n", held, skip=True)


def test_a_number_that_two_records_share_names_neither() -> None:
    """A reference to a number that two records have is refused until one has another number; a void record shares none."""
    twin, void = Context(id="c", number="101"), Context(id="c", number="101", void="entered twice")
    with pytest.raises(TableError, match="Number 101 is given twice: give one of them another number first"):
        _taken("relation", "later,earlier\n101,102\n", twin)
    assert _taken("relation", "later,earlier\n101,102\n", void).drafts[0].values["later"] == "a"


def test_a_mapping_says_whether_repeats_are_skipped() -> None:
    """`repeats = "skip"` in a mapping does what the option does."""
    plan = Take(kind="relation", columns={"later": "over", "earlier": "under"}, repeats="skip")
    table = table_of_text("over,under\n101,102\n102,101\n", "matrix.csv")
    record = SiteRecord.of([*CONTEXTS, Relation(id="r", later="a", earlier="b")])
    found = drafts(table, "relation", record, new_id=ids(), take=plan)
    assert [draft.line for draft in found.drafts] == [3]
    assert "matrix.csv, line 2: 1 record left out: already on record." in found.notes
