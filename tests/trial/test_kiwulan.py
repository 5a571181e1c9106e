"""The Kiwulan record (L.-Y. Wang 2018-2022, CC0), which nobody here made, is taken in through a mapping file.

The data stay outside the project: the folder named by BAULK_TRIAL_DATA, else ../shared/data beside the checkout. Counts below were
counted in the workbooks themselves.
"""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path

import pytest

from baulk.exchange import Drafted, read_mapping, take_in
from baulk.record import Context, Find, Level, Relation, SiteRecord, Unit
from tests.exchange.made import ids, record_of

HERE = Path(__file__).resolve().parent
DATA = Path(os.environ.get("BAULK_TRIAL_DATA") or HERE.parents[2] / "shared" / "data") / "kiwulan"

pytestmark = pytest.mark.skipif(
    not (DATA / "KWL_excavation_depth.xlsx").exists(),
    reason="the Kiwulan tables are not here: put them into a folder and name it by BAULK_TRIAL_DATA to run this trial",
)


@pytest.fixture(scope="module")
def found() -> Drafted:
    """Return what the mapping makes of the tables."""
    return take_in(DATA, read_mapping(HERE / "kiwulan" / "kiwulan.toml"), SiteRecord(), new_id=ids())


@pytest.fixture(scope="module")
def record(found: Drafted) -> SiteRecord:
    """Return the record that the drafts make."""
    return record_of(found.drafts)


def test_counts_are_those_of_the_tables(found: Drafted) -> None:
    """58 units, 831 layers, 827 levels and 773 superpositions."""
    counted = Counter(draft.kind for draft in found.drafts)
    assert (counted["unit"], counted["context"], counted["level"], counted["relation"]) == (58, 831, 827, 773)


def test_phases_are_those_of_the_chronology(record: SiteRecord) -> None:
    """447 layers before Europeans, 221 with them, 160 with Chinese settlers; three layers have no phase and keep none."""
    assert Counter(context.phase for context in record.all(Context)) == {1: 447, 2: 221, 3: 160, None: 3}
    assert [context.number for context in record.all(Context) if context.phase is None] == ["P064AD-20", "P064B-20", "P064C-20"]


def test_colours_are_read_and_the_one_without_a_layer_is_named(found: Drafted, record: SiteRecord) -> None:
    """785 of 786 Munsell readings belong to a layer; P071 layer 14 is in neither other table and is said, not made."""
    assert sum(context.colour_moist is not None for context in record.all(Context)) == 785
    assert record.numbered(Context, "P040-01").colour_moist == "2.5Y 4/3"
    assert record.numbered(Context, "P040-05").colour_moist == "N 1.5/0"
    assert any("P071-14" in note and "KWL_soil_color.xlsx, line 28" in note for note in found.notes)
    assert all("moist or dry" in (context.conditions or "") for context in record.all(Context) if context.colour_moist)


def test_levels_are_metres_and_keep_their_centimetres(found: Drafted, record: SiteRecord) -> None:
    """The top of P040 layer 4 is entered as 20 and stands at 0.20 m; P041 layer 13 at -1.50 m."""
    tops = {record.label(level.context): level for level in record.all(Level)}
    assert (tops["P040-04"].level, tops["P041-13"].level, tops["P051BC-01"].level) == (0.2, -1.5, 1.9)
    assert {level.surface for level in record.all(Level)} == {"top"}
    entered = {draft.values["context"]: draft.entered for draft in found.drafts if draft.kind == "level"}
    assert entered[record.numbered(Context, "P040-04").id] == "level: 20 cm"


def test_the_four_layers_without_a_level_are_left_without(record: SiteRecord) -> None:
    """P075CD 14 to 17 stand in the chronology only: they are layers in the order, with a phase and no level."""
    levelled = {level.context for level in record.all(Level)}
    assert [context.number for context in record.all(Context) if context.id not in levelled] == [
        f"P075CD-{n}" for n in (14, 15, 16, 17)
    ]


def test_every_layer_lies_over_the_next_of_its_unit(record: SiteRecord) -> None:
    """Each unit is one chain from its first to its last layer, and no relation leaves its unit; each is marked as inferred."""
    by_unit: dict[str, list[tuple[str, str]]] = {}
    for relation in record.all(Relation):
        later, earlier = record.label(relation.later), record.label(relation.earlier)
        assert later.split("-")[0] == earlier.split("-")[0] and int(earlier.split("-")[1]) == int(later.split("-")[1]) + 1
        by_unit.setdefault(later.split("-")[0], []).append((later, earlier))
        assert relation.where_seen == "inferred" and relation.certainty is None
    layers = Counter((context.number or "").split("-")[0] for context in record.all(Context))
    assert {unit: len(links) + 1 for unit, links in by_unit.items()} == dict(layers)


def test_levels_fall_with_the_order(record: SiteRecord) -> None:
    """The top of a later layer lies above the top of the one below it, in all 58 units: the two readings of the tables agree."""
    tops = {level.context: level.level for level in record.all(Level)}
    pairs = [(tops[link.later], tops[link.earlier]) for link in record.all(Relation) if link.later in tops and link.earlier in tops]
    assert len(pairs) == 769 and all((later or 0) > (earlier or 0) for later, earlier in pairs)


def test_nothing_is_guessed(record: SiteRecord) -> None:
    """No position, no corner, no recorder and no datum is made up."""
    assert all(level.easting is None and level.northing is None for level in record.all(Level))
    assert all(unit.corners is None and unit.opened is None for unit in record.all(Unit))
    assert all(context.recorded_by is None for context in record.all(Context)) and record.site.vertical_datum is None


def test_units_keep_their_former_names(record: SiteRecord) -> None:
    """P040 was AT2P8."""
    assert record.numbered(Unit, "P040").notes == "Former name: AT2P8"


def test_finds_are_taken_apart_and_those_of_other_units_named(found: Drafted, record: SiteRecord) -> None:
    """“pipe*1, jar*7” is two finds; the tables' units differ (P051, P051BC), and finds of a layer that is not there are named."""
    pipe, jar = record.numbered(Find, "P042-01-pipe"), record.numbered(Find, "P042-01-jar")
    assert (pipe.count, pipe.material, jar.count, jar.material) == (1, None, 7, "ceramic")
    assert record.numbered(Find, "P040-01-tiles").count is None
    assert any("177 records left out" in note and "P051-02" in note for note in found.notes)
