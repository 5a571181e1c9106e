"""The report says what the record says, in the order of its chapters, and says where the record says nothing."""

from __future__ import annotations

import pytest

from baulk.errors import FileError, UnknownRecord
from baulk.record import Context, LevelRun, Relation, Sight, Site, SiteRecord, Station, Unit, View, withheld_from
from baulk.report import DrawnFigure, sequence_facts, unit_report
from baulk.report.tree import Caution, Figure, Heading, KeyValues, Listing, Paragraph, Report, Table
from baulk.sequence.from_record import relations_from
from baulk.sequence.order import order_of
from tests.report.sample_site import UNIT, bar_figure, changed, sample_record, sample_report, with_changes

CHAPTERS = (
    "Summary", "Introduction", "Setting and background", "Aims", "Methods as carried out", "Results: the contexts",
    "Sequence", "Levels", "Volumes", "Dating argument", "Readings", "Plan and walls", "Finds and samples", "Follow-ups",
    "Closing result", "Human remains", "Cautions", "Archive", "References", "Context register", "Relations",
    "Levels on contexts", "Finds register", "Sample register", "Photo register", "Drawing register",
)  # fmt: skip


def chapter_text(report: Report, title: str) -> str:
    """Return every word of one chapter, one node a line."""
    found = next(chapter for chapter in report.chapters if chapter.title == title)
    return "\n".join(_words(node) for node in found.parts)


def _words(node: object) -> str:
    match node:
        case Heading():
            return node.text
        case Paragraph():
            return f"{node.lead} {node.text}".strip()
        case Listing():
            return "\n".join(node.items)
        case KeyValues():
            return "\n".join(f"{label}: {value}" for label, value in node.rows)
        case Table():
            return "\n".join([node.caption, *(" | ".join(row) for row in (node.head, *node.rows)), node.note])
        case Figure():
            return node.caption
        case Caution():
            return f"{node.title}: {node.text} {node.source}"
    raise AssertionError(node)


@pytest.fixture(scope="module")
def report() -> Report:
    """Return the sample unit's full report."""
    return sample_report()


def test_chapters_stand_in_the_order_of_the_trade(report):
    """Chapters follow the common table of contents; appendices come last and are lettered."""
    assert tuple(chapter.title for chapter in report.chapters) == CHAPTERS
    numbers = [placed.number for placed in report.placed()]
    assert numbers[:3] == ["1", "2", "3"]
    assert numbers[-1] == "G"


def test_figures_and_tables_are_counted_through_the_report(report):
    """Figures and tables are numbered from 1 without a gap, each with an anchor of its own."""
    items = [item for chapter in report.placed() for item in chapter.placed]
    for kind in (Figure, Table):
        assert [item.number for item in items if isinstance(item.node, kind)] == [
            str(place) for place in range(1, sum(isinstance(item.node, kind) for item in items) + 1)
        ]
    anchors = [item.anchor for item in items if item.anchor]
    assert len(anchors) == len(set(anchors))


def test_summary_counts_what_the_record_holds(report):
    """The summary's counts are those of the record, void contexts not counted."""
    words = chapter_text(report, "Summary")
    assert "Unit 1 at Sample yard was opened on 11 May 2026 and is still open." in words
    assert ", 1 is waived." in words
    assert "7 contexts recorded: 2 deposits, 2 fills, 2 cuts, 1 structure." in words
    assert "4 finds or bags with 13 counted pieces (2 without a count)." in words
    assert "Context 1002, Glass waste. Dump of waste. (Doubtful.)" in words
    assert "The recorded order has no loops." in words
    assert "2 follow-ups still open." in words


def test_blanks_are_stated(report):
    """A blank is printed as not recorded, never filled in, and a reason for an absence is printed as it was given."""
    assert "Setting. Not recorded." in chapter_text(report, "Setting and background")
    results = chapter_text(report, "Results: the contexts")
    entry = results[results.index("Context 1002") : results.index("Context 1003")]
    assert "Colour, dry: not done: rain" in entry
    assert "Not recorded. thickness from; thickness to;" in entry
    assert "colour, dry" not in entry.split("Not recorded.")[1]


def test_description_stands_apart_from_interpretation_with_its_doubt(report):
    """Each context has description, interpretation, reasons, alternatives and confidence under their own names."""
    results = chapter_text(report, "Results: the contexts")
    entry = results[results.index("Context 1002") : results.index("Context 1003")]
    for words in (
        "Description. Crucible sherds in ash; said Bo Tern.",
        "Interpretation. Dump of waste.",
        "Reasons. Fresh breaks.",
        "Alternatives. Levelling; a second section would tell.",
        "Confidence. Doubtful; provisional date from 1790, by find 1.",
        "Relations. Fill of 1003; fills 1003 (firm); lies under 1001 (firm).",
    ):
        assert words in entry


def test_contexts_come_latest_first(report):
    """The latest context stands first and the earliest last."""
    results = chapter_text(report, "Results: the contexts")
    places = [results.index(f"Context {number}") for number in ("1001", "1002", "1003", "1004", "1005")]
    assert places == sorted(places)


def test_doubts_of_the_order_are_listed(report):
    """Relations that are not firm, one-sided or implied are listed, the implied one with the path that implies it."""
    words = chapter_text(report, "Sequence")
    assert "1003 cuts 1004: probable" in words
    assert "Entered on one sheet only. 1:\n1003 cuts 1004" in words
    assert "1001 overlies 1004 (follows from 1001 > 1002 > 1003 > 1004)" in words
    assert "Loops. No context is recorded as earlier than itself." in words


def test_a_loop_is_told_and_its_contexts_have_no_step():
    """A loop is written out, and the table says that nobody can tell the steps of its contexts."""
    back = Relation(id="r-8", later="c-4", earlier="c-2", how="overlies", certainty="doubtful")
    report = sample_report(with_changes(sample_record(), back))
    words = chapter_text(report, "Sequence")
    assert "a context cannot be later than itself, so at least one of these 3 relations is wrong" in words
    assert "1002 | fill | Glass waste | cannot tell | cannot tell" in words
    assert "The recorded order holds 1 loop to be mended." in chapter_text(report, "Summary")


def test_levels_are_reduced_with_their_misclosure(report):
    """The run is reduced, and its misclosure is stated against its limit."""
    words = chapter_text(report, "Levels")
    assert "The run of 2 set-ups misses the known level of BM1 by -3.0 mm, within the limit of 5.0 mm (set by the site)." in words
    assert "2 | top of 1001 |  | 1.200 |  | 0.300 |  | 10.300 |" in words


def test_a_booked_level_that_differs_is_marked():
    """A level in the book that the readings do not give is marked; one that agrees is not."""
    record = sample_record()
    wrong = changed(record.get(Sight, "si-2"), booked_level=10.33)
    assert "10.300 | 10.330 (differs)" in chapter_text(sample_report(with_changes(record, wrong)), "Levels")
    right = changed(record.get(Sight, "si-2"), booked_level=10.3)
    assert "differs" not in chapter_text(sample_report(with_changes(record, right)), "Levels")


def test_a_run_that_cannot_be_reduced_says_why():
    """Without a known level at its start a run is not reduced, and the report says so instead."""
    record = sample_record()
    words = chapter_text(sample_report(with_changes(record, Station(id="s-1", number="BM1"))), "Levels")
    assert "Cannot tell. The level run has no benchmark." in words
    assert "Table" not in words


def test_closing_result_names_every_rule_in_the_way_and_each_waiver(report):
    """The closing chapter says whether the unit is ready, what stands in the way, and who waived what and why."""
    words = chapter_text(report, "Closing result")
    assert words.startswith("Not ready. By the closing check the unit is not ready to be filled in")
    assert "Rules that fail (" in words
    assert "Rules of which nobody can tell (" in words
    assert (
        "B35 | Every wall in which layers can be seen is drawn, or it is said why not. | waived | Ada Quill, 13 May 2026" in words
    )


def test_without_order_closing_and_figures_the_report_says_so():
    """What was not computed or drawn is said not to have been, and nothing stands in its place."""
    report = unit_report(sample_record(), UNIT, None, None, {}, public=False)
    assert "The order was not computed for this report." in chapter_text(report, "Sequence")
    assert "The closing check was not run for this report." in chapter_text(report, "Closing result")
    walls = chapter_text(report, "Plan and walls")
    assert "No plan was drawn for this report." in walls
    assert "The wall W1 is on record; no drawing of it was made for this report." in walls


def test_an_empty_unit_gives_a_whole_report():
    """A unit with nothing but its number is reported without an invented word."""
    record = SiteRecord.of([Unit(id="u", number="9")])
    report = sample_like_empty(record)
    assert tuple(chapter.title for chapter in report.chapters) == CHAPTERS
    assert report.cover.title == "Site without a name"
    assert "No contexts are recorded for this unit." in chapter_text(report, "Results: the contexts")
    assert "No levels book is recorded" in chapter_text(report, "Levels")


def sample_like_empty(record: SiteRecord) -> Report:
    """Return the report of unit 9 of a record without anything else."""
    return unit_report(record, "u", None, None, {}, public=False)


def test_invented_data_is_marked_only_when_it_is_invented():
    """The cover and the foot of every page say that the data is invented, and only then."""
    invented = sample_report()
    assert "Invented example: this record is made up and is not of a real place." in invented.cover.banners
    assert invented.notice == "Restricted: not for the public · Invented data, not of a real place"
    real = sample_report(sample_record(invented=False))
    assert not any("Invented" in words for words in real.cover.banners)
    assert real.notice == "Restricted: not for the public"


def test_a_report_with_a_possible_burial_says_that_it_is_restricted():
    """Cover and every page say it when the record holds a possible burial; without one, and in the public version, none does."""
    held = sample_report()
    assert held.cover.banners[0].startswith("Restricted: not for the public.")
    record = sample_record(invented=False)
    gone = withheld_from(record, View.PUBLIC).why
    plain = sample_report(SiteRecord.of(one for found in record.entities.values() for one in found if one.id not in gone))
    assert (plain.cover.banners, plain.notice) == ((), "")
    assert "Restricted" not in sample_report(public=True).notice


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"spot_begin": 2026, "spot_end": 2026, "spot_by": "witness"}, "provisional date 2026, by witness."),
        ({"spot_begin": 1780, "spot_end": 1799}, "provisional date 1780 to 1799."),
        ({"spot_end": 1799}, "provisional date until 1799."),
    ],
)
def test_provisional_dates_are_read_as_a_range(given, says):
    """One year stands alone, two as a range, one bound with its side."""
    record = sample_record()
    changed_one = changed(record.get(Context, "c-1"), **given)
    assert says in chapter_text(sample_report(with_changes(record, changed_one)), "Results: the contexts")


def test_declination_has_degrees_and_a_side():
    """Magnetic north is said to lie east or west of true north."""
    record = sample_record()
    for degrees, says in ((0.8, "Declination: 0.8° east"), (-2.5, "Declination: 2.5° west")):
        told = sample_report(with_changes(record, changed(record.site, declination=degrees)))
        assert says in chapter_text(told, "Methods as carried out")


def test_what_does_not_apply_to_a_kind_has_no_line():
    """Of a cut neither the share sieved nor contamination is printed, though the record holds words for them."""
    record = sample_record()
    cut = changed(record.get(Context, "c-3"), contamination="none seen", reliability="good")
    words = chapter_text(sample_report(with_changes(record, cut)), "Results: the contexts")
    entry = words[words.index("Context 1003") : words.index("Context 1004")]
    assert "Contamination" not in entry
    assert "Reliability" not in entry


def test_feet_are_printed_as_feet():
    """A site kept in feet is reported in feet, and its run closes against a limit in metres."""
    record = sample_record()
    in_feet = with_changes(
        record, changed(record.site, length_unit="ft"), changed(record.get(LevelRun, "lr-1"), limit=0.01, number="1")
    )
    report = sample_report(in_feet)
    assert "Width as designed: 2.00 ft" in chapter_text(report, "Methods as carried out")
    assert "by -0.9 mm, within the limit of 3.0 mm" in chapter_text(report, "Levels")


def test_void_numbers_stay_in_the_register(report):
    """A void context keeps its line in the register with its reason."""
    assert "1009 | void | Void: given twice" in chapter_text(report, "Context register")


def test_an_unknown_unit_is_refused():
    """A unit that the record does not have is refused in words."""
    with pytest.raises(UnknownRecord, match=r"There is no unit “u-77”\. The site has 1 of this kind\."):
        unit_report(sample_record(), "u-77", None, None, {}, public=False)


@pytest.mark.parametrize(
    ("svg", "says"),
    [
        ("not a drawing", "A figure of the report is no SVG drawing"),
        ("<html/>", "A figure of the report is <html>, not an SVG drawing"),
        ('<svg xmlns="http://www.w3.org/2000/svg"/>', "does not state its width and height in mm"),
        ('<!DOCTYPE svg [<!ENTITY a "b">]><svg/>', "declares a document type"),
    ],
)
def test_a_figure_that_is_no_drawing_is_refused(svg, says):
    """A figure that cannot be printed at scale is refused, with what to do."""
    with pytest.raises(FileError, match=says):
        unit_report(sample_record(), UNIT, None, None, {"plan": svg}, public=False)


def test_a_drawn_figure_keeps_its_own_caption():
    """A figure given with caption, description and scale is reported with these."""
    given = {"plan": DrawnFigure(bar_figure(), "Base plan", "A plan of the base", 50), "extra": bar_figure("Sketch")}
    report = unit_report(sample_record(), UNIT, None, None, given, public=False)
    figures = [node for chapter in report.chapters for node in chapter.parts if isinstance(node, Figure)]
    assert [(figure.caption, figure.alt, figure.scale) for figure in figures] == [
        ("Base plan", "A plan of the base", 50),
        ("Sketch", "Sketch, as seen from above.", None),
    ]


def test_other_units_stay_out():
    """Contexts of another unit are not in the report."""
    record = with_changes(
        sample_record(),
        Unit(id="u-2", number="2"),
        Context(id="c-99", number="2001", units=("u-2",), title="Elsewhere"),
        Site(id="x"),
    )
    assert "2001" not in chapter_text(sample_report(record), "Context register")


def test_a_relation_without_its_sheets_is_never_told_as_entered_on_both():
    """Blank sheets are counted as “cannot tell”; a unit without corners and outlines says why it has no plan."""
    contexts = [Context(id=f"c{n}", number=str(n), units=("u",)) for n in (1, 2)]
    record = SiteRecord.of([Unit(id="u", number="9"), *contexts, Relation(id="r", later="c1", earlier="c2")])
    made = relations_from(record)
    facts = sequence_facts(made, order_of(made.relations))
    report = unit_report(record, "u", facts, None, {}, public=False)
    words = chapter_text(report, "Sequence")
    assert "Cannot tell for 1 of 1 relation: on which sheets they were entered is blank." in words
    assert "Entered on one sheet only" not in words
    assert "neither a corner of the unit nor an outline of a context is on record" in chapter_text(report, "Plan and walls")
