"""An invented unit, small enough to read, with everything a report has to cope with: blanks, doubts, a loop, a possible grave."""

from __future__ import annotations

from baulk.closing.check import check_unit
from baulk.record import (
    Burial,
    Context,
    DayEntry,
    Document,
    Drawing,
    Entity,
    Find,
    FollowUp,
    Level,
    LevelRun,
    Notice,
    Outline,
    Photo,
    Relation,
    Sample,
    Sight,
    Site,
    SiteRecord,
    Station,
    Unit,
    Visit,
    Waiver,
    Wall,
    build,
)
from baulk.report import Report, sequence_facts, unit_report, wall_key
from baulk.sequence.from_record import relations_from
from baulk.sequence.order import order_of

UNIT = "u-1"
SECRET_NAMES = ("Ada Quill", "Bo Tern", "Quill", "AQ", "BT")
SECRET_PLACES = ("Heron Lane 7", "EPSG:27700", "412345.67", "298765.43", "4.62 from the weir house")
GRAVE_NUMBERS = ("1071", "1072", "G1")


def bar_figure(title: str = "Plan of unit 1", width: float = 120, height: float = 90, bar: float = 100) -> str:
    """Return a drawing with a black bar of `bar` mm."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">'
        f"<title>{title}</title><desc>{title}, as seen from above.</desc>"
        '<defs><pattern id="soil" width="4" height="4" patternUnits="userSpaceOnUse">'
        '<circle cx="1" cy="1" r="0.4"/></pattern></defs>'
        f'<rect x="5" y="5" width="{width - 10}" height="30" fill="url(#soil)"/>'
        f'<rect x="5" y="50" width="{bar}" height="6" fill="#000"/>'
        '<text x="6" y="47" font-size="4" font-family="sans-serif">Level 10.23</text></svg>'
    )


def _contexts() -> list[Entity]:
    common = {"units": (UNIT,), "recorded_by": "AQ", "recorded_on": "2026-05-12"}
    return [
        Context(id="c-1", number="1001", kind="deposit", title="Turf", description="Dark turf", confidence="firm", **common),
        Context(
            id="c-2",
            number="1002",
            kind="fill",
            title="Glass waste",
            description="Crucible sherds in ash; said Bo Tern.",
            interpretation="dump of waste",
            reasons="fresh breaks",
            alternatives="levelling; a second section would tell",
            confidence="doubtful",
            key_context=True,
            fill_of="c-3",
            colour_moist="10YR 4/3",
            spot_begin=1790,
            spot_by="find 1",
            dug=60.0,
            absences={"colour_dry": "not done: rain"},
            **common,
        ),
        Context(
            id="c-3", number="1003", kind="cut", title="Pit", description="Round cut at 412.25 E", cut_function="pit", **common
        ),
        Context(
            id="c-4", number="1004", kind="structure", title="Setts", description="Setts on edge", attitude="on edge", **common
        ),
        Context(id="c-5", number="1005", kind="deposit", title="Alluvium", natural=True, **common),
        Context(
            id="c-71", number="1071", kind="cut", title="Straight cut", description="Cut lying east", cut_function="grave", **common
        ),
        Context(id="c-72", number="1072", kind="fill", title="Mixed fill", fill_of="c-71", **common),
        Context(id="c-9", number="1009", void="given twice", units=(UNIT,)),
    ]


def _relations() -> list[Entity]:
    pairs = (
        ("r-1", "c-1", "c-2", "overlies", "firm", "both sheets"),
        ("r-2", "c-2", "c-3", "fills", "firm", "both sheets"),
        ("r-3", "c-3", "c-4", "cuts", "probable", "later's sheet"),
        ("r-4", "c-4", "c-5", "overlies", "firm", "both sheets"),
        ("r-5", "c-1", "c-4", "overlies", "firm", "both sheets"),
        ("r-6", "c-71", "c-4", "cuts", "doubtful", "both sheets"),
        ("r-7", "c-72", "c-71", "fills", "firm", "both sheets"),
    )
    return [
        Relation(id=name, later=later, earlier=earlier, how=how, certainty=surely, sheet=sheet)
        for name, later, earlier, how, surely, sheet in pairs
    ]


def _levels() -> list[Entity]:
    readings = (
        (1, "BM1", 1.5, None, None),
        (2, "top of 1001", None, 1.2, None),
        (3, "TP", 1.3, None, 1.1),
        (4, "grave top", None, 1.9, None),
        (5, "BM1", None, None, 1.703),
    )
    return [
        Station(
            id="s-1",
            number="BM1",
            level=10.0,
            easting=400.0,
            northing=200.0,
            mark="nail in the weir house step",
            projected_easting=412345.67,
            projected_northing=298765.43,
        ),
        LevelRun(id="lr-1", number="1", day="2026-05-12", start="s-1", end="s-1", limit=0.005, observer="Bo Tern"),
        *(
            Sight(id=f"si-{place}", run="lr-1", place=place, point=point, backsight=back, intermediate=inter, foresight=fore)
            for place, point, back, inter, fore in readings
        ),
        Level(id="l-1", context="c-1", easting=412.25, northing=206.75, level=10.3, sight="si-2"),
        Level(id="l-2", context="c-71", easting=413.125, northing=206.125, level=9.8, sight="si-4"),
    ]


def _registers() -> list[Entity]:
    return [
        Find(id="f-1", number="1", context="c-2", material="glass waste", count=12, mass=340.0, begin=1790, status="lifted"),
        Find(id="f-2", number="2", context="c-2", material="glass waste", status="not collected"),
        Find(id="f-3", number="33", context="c-2", material="human bone", count=1),
        Find(id="f-4", number="44", context="c-72", material="iron", object="coffin nail"),
        Sample(id="sa-1", number="1", context="c-2", type="bulk", purpose="charcoal and glass drips"),
        Photo(
            id="p-1",
            number="P1",
            subject="Pit before digging",
            contexts=("c-3",),
            unit=UNIT,
            photographer="Bo Tern",
            sensitive=False,
        ),
        Photo(id="p-2", number="P2", subject="Straight cut, covered", contexts=("c-71",), unit=UNIT),
        Photo(id="p-3", number="P3", subject="The lane and its gate", unit=UNIT, sensitive=True),
        Drawing(id="d-1", number="D1", kind="plan", unit=UNIT, contexts=("c-3", "c-71"), scale=20.0, drawn_by="Bo Tern"),
        Outline(id="o-1", context="c-71", ring=((412, 204), (413, 204), (413, 205))),
        Document(
            id="doc-1", number="1", title="Rental of 1792", source="papers (invented)", begin=1792, end=1792, says="a paved way"
        ),
        DayEntry(
            id="day-1",
            day="2026-05-12",
            unit=UNIT,
            crew="Ada Quill, Bo Tern",
            hours=16.0,
            decisions="Bo Tern moved the section. Possible grave in the north corner: stopped.",
        ),
        FollowUp(
            id="fu-1", number="1", unit=UNIT, asks="Do the setts run on?", settled_by="A unit to the west", lost="recoverable"
        ),
        FollowUp(id="fu-2", number="2", unit=UNIT, contexts=("c-71",), asks="How long is the straight cut?"),
        Visit(id="v-1", unit=UNIT, who="Ada Quill, county office", day="2026-05-13", answer="viewed"),
        Waiver(id="w-1", unit=UNIT, rule="B35", who="Ada Quill", day="2026-05-13", why="East wall unsafe."),
    ]


def sample_record(*, invented: bool = True) -> SiteRecord:
    """Return the record."""
    return SiteRecord.of(
        [
            Site(
                id="site",
                code="SMP26",
                name="Sample yard",
                invented=invented,
                vertical_datum="BM1 taken as 10.000 m",
                director="Ada Quill",
                place="Heron Lane 7, Sample yard",
                crs="EPSG:27700",
                aims="To see what lies under the setts.",
            ),
            Unit(
                id=UNIT,
                number="1",
                design_width=2.0,
                design_length=2.0,
                corners=((412, 204), (414, 204), (414, 206), (412, 206)),
                reason="The drain fell in.",
                question="How old are the setts?",
                opened="2026-05-11",
                mesh=6.35,
                sieved=100.0,
                ties="South-west corner 4.62 from the weir house",
                walls_with_layers=("north",),
            ),
            *_contexts(),
            *_relations(),
            *_levels(),
            *_registers(),
            Wall(id="wall-1", number="W1", unit=UNIT, face="north", scale=10.0, drawn_by="Bo Tern"),
            Burial(
                id="b-1",
                number="G1",
                contexts=("c-71", "c-72"),
                recognised_by="Ada Quill",
                evidence="Straight sides and a nail at 9.80",
                ring=((412, 204), (413, 204), (413, 205)),
            ),
            Notice(id="n-1", burial="b-1", to="Coroner of Sample county", answer="Leave it where it lies, ref 77/2026"),
        ]
    )


def sample_report(record: SiteRecord | None = None, *, public: bool = False, plan: str | None = None) -> Report:
    """Return the report of the sample unit with real order and closing result."""
    record = record or sample_record()
    made = relations_from(record)
    order = order_of(made.relations)
    figures = {
        "order": bar_figure("Order of the contexts"),
        "plan": plan or bar_figure(),
        wall_key("wall-1"): bar_figure("North wall of unit 1", 230, 80),
    }
    closing = check_unit(record, UNIT, order)
    return unit_report(record, UNIT, sequence_facts(made, order), closing, figures, public=public, written="2026-06-01")


def with_changes(record: SiteRecord, *changed: Entity) -> SiteRecord:
    """Return the record with some entities put in the place of those of the same id, or added."""
    ids = {entity.id for entity in changed}
    kept = [entity for entities in record.entities.values() for entity in entities if entity.id not in ids]
    return SiteRecord.of([*kept, *changed])


def changed(entity: Entity, **values: object) -> Entity:
    """Return an entity with other values, checked again."""
    given = {name: value for name, value in entity.model_dump().items() if value is not None}
    return build(type(entity), {**given, **values})
