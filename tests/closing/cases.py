"""For every rule: what breaks it, and what leaves nobody able to tell, each with the other rules that must change with it.

While the kind of a context is blank, nobody can tell whether the rules that ask one kind ask this one: such a change
shows in all of them.
"""

from __future__ import annotations

from typing import NamedTuple

from baulk.record import Context, Find, LevelRun, Photo, Relation
from tests.closing.breaking import Change, adds, leaves_out, sets, sets_all, together
from tests.closing.complete import box

FAIL, CANNOT_TELL = "fail", "cannot tell"


class Case(NamedTuple):
    """One change of the complete record, what the rule then answers, words of the answer, and other rules that change too."""

    rule: str
    outcome: str
    change: Change
    says: str
    also: str = ""


_NEW = {"units": ("unit",), "interpretation": "spread", "reasons": "looks", "confidence": "firm", "alternatives": "none plausible",
        "recorded_by": "AB", "checked_by": "CD", "checked_on": "2026-05-15", "key_context": False}  # fmt: skip

POSITION = (
    Case("B01", FAIL, sets("unit", diagonals=(2.828, 2.860)), "BD +32 mm"),
    Case("B01", CANNOT_TELL, sets("unit", diagonals=None), "AC, BD not taped"),
    Case("B02", FAIL, sets("bm2", status="destroyed"), "1 of 2 permanent marks"),
    Case("B02", CANNOT_TELL, sets("bm2", permanent=None), "nobody says it of BM2"),
    Case("B03", FAIL, sets("unit", closed="2026-05-16"), "no levels run is booked on the last day, 2026-05-16"),
    Case("B03", CANNOT_TELL, sets("run1", end=None), "no known level", "B04"),
    Case("B04", FAIL, sets("s2", booked_level=10.1), "a level of 10.100 is printed", "B03"),
    Case("B04", CANNOT_TELL, adds(LevelRun, id="run2", number="2", day="2026-05-14", two_peg_on="2026-05-10"), "no readings"),
    Case("B04", CANNOT_TELL, leaves_out("s3"), "run 1: it is not closed yet: no foresight on a known mark ends it.", "B03"),
    Case("B04", CANNOT_TELL, leaves_out("s2", "s3"), "Read the staff on the mark again and book that foresight on a line", "B03"),
    Case("B04", FAIL, together(leaves_out("s3"), sets("s2", booked_level=10.1)), "a level of 10.100 is printed", "B03"),
    Case("B05", FAIL, sets("run1", two_peg_on="2026-01-10"), "125 days from the run; 30 are allowed"),
    Case("B05", CANNOT_TELL, sets("run1", two_peg_on=None), "two-peg check is blank"),
    Case("B06", FAIL, leaves_out("l1009base0", "l1009base1"), "1009 has no level on its base"),
    Case("B06", CANNOT_TELL, sets("1002", left_in_place=None), "nobody says whether it stays in the ground"),
    Case("B07", FAIL, sets("l1006top0", level=9.97, on_plan=9.97), "the top of 1006 is 170 mm above its base"),
    Case(
        "B07",
        CANNOT_TELL,
        together(*(sets(f"l1009{surface}{place}", easting=None) for surface in ("top", "base") for place in (0, 1))),
        "1009 has no two levels at about the same point",
    ),
    Case("B08", FAIL, sets("unit", base_levels=(9.4, 9.4, 9.3)), "3 levels of 5"),
    Case("B08", CANNOT_TELL, sets("unit", base_levels=None), "the levels of the final base are blank", "B11 B38"),
    Case("B09", FAIL, sets("l1006top0", on_plan=9.57), "9.750 in the record and 9.570 on the plan"),
    Case("B09", CANNOT_TELL, sets("l1006top0", on_plan=None), "what the plan says is blank"),
    Case("B10", FAIL, sets("site", grid_rotation=None), "bearing of site grid north"),
    Case("B10", CANNOT_TELL, sets("site", declination=None), "whether a compass was used"),
    Case("B11", FAIL, sets("f1", easting=105), "find 1 lies 3.00 m outside the unit"),
    Case("B11", CANNOT_TELL, sets("m3", level=None), "sample 3 has no level"),
)
SEQUENCE = (
    Case("B12", FAIL, sets("r10061007", sheet="later's sheet"), "1006 overlies 1007 is not entered on the sheet of 1007"),
    Case("B12", CANNOT_TELL, sets("r10061007", sheet=None), "nobody says on which sheets"),
    Case(
        "B13",
        FAIL,
        adds(Relation, id="bad", later="1007", earlier="1001", how="overlies", sheet="both sheets", certainty="firm"),
        "recorded as earlier than itself",
        "B17 B58",
    ),
    Case(
        "B13",
        CANNOT_TELL,
        adds(Context, id="1010", number="1010", kind="disturbance", disturbance_type="roots", **_NEW),
        "1010 has no relations",
        "B14 B37",
    ),
    Case("B14", FAIL, leaves_out("r10011002"), "nothing is recorded above 1002", "B07 B22 B23"),
    Case("B14", CANNOT_TELL, sets("1007", natural=None, dug=None), "nobody says whether it is natural", "B06 B34 B54"),
    Case("B15", FAIL, leaves_out("r10041006", "r10041007", "r10041008"), "1004 cuts nothing on record", "B14 B23"),
    Case(
        "B15", CANNOT_TELL, sets("1004", kind=None), "the kind of 1004 is blank", "B16 B18 B19 B26 B27 B28 B29 B31 B32 B41 B53 B54"
    ),
    Case("B16", FAIL, sets("1009", fill_of="1006"), "1009 is recorded as filling 1004, 1006: a fill has one cut"),
    Case("B16", CANNOT_TELL, sets("1009", kind=None), "the kind of 1009 is blank", "B15 B18 B19 B26 B27 B28 B29 B32 B41 B53"),
    Case("B17", FAIL, leaves_out("r10051009"), "1009 and 1005, both fills of 1004, are not put in order", "B14 B23"),
    Case(
        "B17",
        CANNOT_TELL,
        adds(Relation, id="bad", later="1009", earlier="1005", how="overlies", sheet="both sheets", certainty="firm"),
        "fills of 1004 lie in a loop",
        "B07 B13",
    ),
    Case("B18", FAIL, sets("1004", cut_from=None), "from which layer 1004 was cut"),
    Case("B18", CANNOT_TELL, sets("1004", cut_from_shown=None), "no wall or section is named"),
    Case("B20", FAIL, leaves_out("r10021003"), "structures 1002 and 1003 meet in plan"),
    Case("B20", CANNOT_TELL, sets("r10021003", how=None), "does not say whether they are bonded", "B21"),
    Case("B21", FAIL, sets("r10061008", basis=None), "1006 same as 1008 without a basis"),
    Case("B21", CANNOT_TELL, sets("r10091003", how=None), "is it “same as”?"),
    Case("B22", FAIL, sets("cwest10011002", later="1001", earlier="1007"), "no relation is on record between the two"),
    Case("B22", CANNOT_TELL, leaves_out("cwest10011002"), "no contacts are noted"),
    Case("B23", FAIL, leaves_out("r10061007", "r10041007", "r10061008"), "1006 and 1007 overlap in plan", "B14 B21 B22"),
    Case("B23", CANNOT_TELL, leaves_out("o1005"), "1005 has no outline in plan", "B26 B33 B37 B54"),
    Case("B24", FAIL, sets("r10061007", certainty="doubtful"), "nobody says what would settle it"),
    Case("B24", CANNOT_TELL, sets("r10061007", certainty="doubtful", basis="slot"), "was it tried?"),
    Case("B25", FAIL, sets("1009", number="1008"), "the number 1008 is used 2 times"),
    Case("B25", CANNOT_TELL, sets("1009", number=None), "without a number: 1 context"),
)
DESCRIPTION = (
    Case("B19", FAIL, sets("1002", absences={}), "nobody says whether 1002 has a construction cut"),
    Case("B19", CANNOT_TELL, sets("1003", construction_cut="unknown-id"), "is that a cut?"),
    Case("B26", FAIL, sets("1006", colour_moist=None), "1006 has no colour, moist"),
    Case("B26", CANNOT_TELL, sets("1006", kind=None), "is it a layer or a fill?", "B15 B16 B18 B19 B27 B28 B29 B32 B41 B53"),
    Case("B27", FAIL, sets("1004", base_shape=None), "1004 has no base"),
    Case("B27", CANNOT_TELL, sets("1004", break_base="not known"), "not known"),
    Case("B28", FAIL, sets("1003", measured_pieces=4), "10 pieces measured (there are 4)"),
    Case(
        "B28", CANNOT_TELL, sets("1003", kind=None), "is it a structure?", "B06 B15 B16 B18 B19 B20 B26 B27 B29 B31 B32 B41 B53 B54"
    ),
    Case("B29", FAIL, leaves_out("m1"), "no mortar sample of 1003", "B55"),
    Case("B29", CANNOT_TELL, sets("1002", material=None), "which samples are due", "B28"),
    Case("B30", FAIL, sets("1006", reasons=None), "1006 has no reasons"),
    Case("B30", CANNOT_TELL, sets("1006", interpretation=None), "no interpretation to be weighed"),
    Case("B31", FAIL, sets("1006", contamination=None, reliability="poor"), "called unreliable"),
    Case("B31", CANNOT_TELL, sets("1006", contamination=None), "roots, burrows or pipes"),
    Case("B32", FAIL, sets("1006", edge_north=None), "no clarity of north edge"),
    Case("B32", CANNOT_TELL, sets("1007", kind=None), "is it a layer or a fill?", "B15 B16 B18 B19 B26 B27 B28 B29"),
    Case("B33", FAIL, sets("o1006", edges=("seen", "seen")), "2 of 4 edges"),
    Case("B33", CANNOT_TELL, leaves_out("o1009"), "its edges are not known", "B23 B26 B37 B54"),
    Case("B34", FAIL, sets("unit", stop_reason="water"), "what a probe below met"),
    Case("B34", CANNOT_TELL, sets("unit", stop_reason=None), "why the unit went no deeper is blank"),
)
DRAWINGS = (
    Case("B35", FAIL, sets("unit", walls_with_layers=("north", "west", "south")), "the south wall shows layers and is not drawn"),
    Case("B35", CANNOT_TELL, sets("unit", walls_with_layers=None), "in which walls of the unit layers can be seen"),
    Case("B36", FAIL, sets("north", string_level=None), "wall W-north has no string level"),
    Case("B36", CANNOT_TELL, sets("unit", corners=None), "corners of the unit are blank", "B01 B11 B38 B45"),
    Case("B37", FAIL, sets("wnorth1007", context=None), "1 of 4 shapes on wall W-north carry no context number"),
    Case("B37", CANNOT_TELL, leaves_out("wwest1009", "o1009"), "have no outline in plan", "B23 B26 B33 B54"),
    Case("B38", FAIL, sets("north", surface_line=((0, 10), (2, 9.9))), "drawn -100 mm from the opening level"),
    Case("B38", CANNOT_TELL, sets("north", base_line=None), "its limit below"),
    Case("B39", FAIL, leaves_out("o1009", "d1", "d2"), "1009 is on no plan", "B08 B23 B26 B33 B37 B40 B41 B43 B54"),
    Case(
        "B39",
        CANNOT_TELL,
        together(leaves_out("o1009"), sets("d1", contexts=None), sets("d2", contexts=None)),
        "does not say what kind it is or which contexts it shows",
        "B23 B26 B33 B37 B41 B54",
    ),
    Case("B40", FAIL, sets("d1", north=False), "drawing 1 has no north arrow"),
    Case("B40", CANNOT_TELL, sets("d1", grid_points=None), "nobody says whether it has grid points"),
    Case("B41", FAIL, sets("d1", stage="after"), "1004 has no plan before digging"),
    Case("B41", CANNOT_TELL, sets("d1", stage=None), "not found: plan before digging"),
    Case("B43", FAIL, sets("d2", kind="plan"), "no base plan is in the drawing register", "B08"),
    Case("B43", CANNOT_TELL, sets("unit", unexcavated=None), "how much of the unit was left undug"),
    Case("B44", FAIL, sets("d1", file=None), "drawing 1 is not scanned or photographed"),
    Case("B44", CANNOT_TELL, sets("d1", number=None), "is the register complete?"),
    Case(
        "B45",
        FAIL,
        together(sets("o1007", ring=box(100, 200, 101, 202)), sets("1006", phase=2), sets("1008", phase=2)),
        "leave 50 percent of the unit bare",
    ),
    Case("B45", CANNOT_TELL, sets_all(Context, phase=None), "has a phase"),
)
PHOTOS = (
    Case("B46", FAIL, sets_all(Photo, board=False), "has scale, north arrow and board"),
    Case("B46", CANNOT_TELL, sets_all(Photo, board=None), "nobody says whether a photo has scale"),
    Case("B47", FAIL, sets("pwalls", walls=("north", "west", "south")), "no photo of the east wall"),
    Case(
        "B47",
        CANNOT_TELL,
        together(sets("unit", corners=None, walls_with_layers=None), sets("north", face=None), sets("west", face=None)),
        "how many walls the unit has is not on record",
        "B01 B11 B35 B36 B38 B45",
    ),
    Case("B48", FAIL, leaves_out("plocationbefore"), "no location shot before"),
    Case("B48", CANNOT_TELL, sets("plocationbefore", stage=None), "none is marked as a location shot before"),
    Case("B49", FAIL, sets("pwalls", in_focus=False), "photo 4 is not sharp"),
    Case("B49", CANNOT_TELL, sets("pwalls", in_focus=None), "nobody has opened it"),
    Case("B50", FAIL, sets("pwalls", facing=None), "photo 4 has no facing"),
    Case("B50", CANNOT_TELL, sets("pwalls", facing="uphill"), "which is no direction"),
)
FINDS = (
    Case("B52", FAIL, adds(Find, id="f9", number="9", count=1, recovery="hand"), "find 9 has no context"),
    Case("B52", CANNOT_TELL, sets("f2", count=None), "find 2 was not counted"),
    Case("B53", FAIL, sets("1006", sieved=None), "how much of 1006 was sieved"),
    Case("B53", CANNOT_TELL, sets("unit", mesh=None), "the mesh, or how finds were recovered"),
    Case("B54", FAIL, sets("1006", litres=300), "300 litres were counted from 1006, 700 computed (-57 percent)"),
    Case("B54", CANNOT_TELL, sets("1006", litres=None), "buckets, share dug, outline or thickness is blank"),
    Case("B55", FAIL, leaves_out("m3"), "not taken: bulk"),
    Case("B55", CANNOT_TELL, sets("m3", labelled=None), "nobody says whether it is labelled"),
    Case("B55", FAIL, together(sets("unit", sampling_plan="bulk; mortar if any is met"), leaves_out("m1")), "taken: mortar", "B29"),
    Case("B55", CANNOT_TELL, sets("unit", sampling_plan="bulk; timber if any is met"), "whether it was met"),
    Case("B56", FAIL, sets("1009", key_context=True), "key context 1009 has neither"),
    Case("B56", CANNOT_TELL, sets_all(Context, key_context=None), "which contexts are key"),
    Case("B57", FAIL, sets("f3", level=None), "find 3 was left in place without level"),
    Case("B57", CANNOT_TELL, sets("f3", status=None), "whether it was lifted"),
    Case(
        "B58",
        FAIL,
        adds(Find, id="f9", number="9", context="1009", count=1, begin=1850, recovery="hand", status="lifted"),
        "1009, below 1001",
    ),
    Case("B58", CANNOT_TELL, sets("f1", begin=None), "1001 has 1 find, none dated"),
    Case("B59", FAIL, sets("f2", recovery="spoil heap"), "comes from the spoil heap"),
    Case("B59", CANNOT_TELL, sets("f2", recovery=None), "how it was recovered is blank"),
)
PEOPLE = (
    Case("B60", FAIL, leaves_out("notice"), "nobody is on record as notified"),
    Case("B60", CANNOT_TELL, sets("notice", day=None), "who was told, when or by whom is blank"),
    Case("B61", FAIL, sets("burial", left_exposed=True), "possible burial 1 is left exposed"),
    Case("B61", CANNOT_TELL, sets("burial", left_exposed=None), "nobody says whether it is covered"),
    Case("B62", FAIL, sets("burial", loose_bone=2), "2 pieces of loose bone without a plan"),
    Case("B62", CANNOT_TELL, sets("burial", loose_bone=None), "whether loose bone was found"),
    Case("B63", FAIL, sets("visit", answer="no answer"), "has not answered"),
    Case("B63", CANNOT_TELL, leaves_out("visit"), "no visit is on record"),
    Case("B64", FAIL, together(sets("unit", protection=None), sets("day2", depth=1.6)), "1.60 m deep"),
    Case("B64", CANNOT_TELL, sets("day2", depth=None), "2026-05-15: the depth at the end of the day is blank"),
    Case("B66", FAIL, sets("1006", checked_by="ab"), "1006 was checked by the person who recorded it"),
    Case("B66", CANNOT_TELL, sets("1006", recorded_by=None), "whether that is a second person is not known"),
)
FILLING_IN = (
    Case("B67", FAIL, sets("backfill", liner="none"), "no liner is laid"),
    Case("B67", CANNOT_TELL, sets("backfill", token=None), "blank: dated token"),
    Case(
        "B68",
        FAIL,
        sets("backfill", support=None, absences={"support": "not done: no sand"}),
        "without support (not done: no sand)",
    ),
    Case("B68", CANNOT_TELL, sets("backfill", support=None), "how masonry or surfaces are cushioned is blank"),
    Case("B69", FAIL, sets("backfill", material=None), "what the unit is filled with"),
    Case("B69", CANNOT_TELL, sets("backfill", volume=None), "blank: volume"),
    Case("B70", FAIL, sets("backfill", copies="office"), "kept at 1 place of 2"),
    Case("B70", CANNOT_TELL, sets("backfill", copies=None), "where the copies of the record are is blank"),
)
CASES = (*POSITION, *SEQUENCE, *DESCRIPTION, *DRAWINGS, *PHOTOS, *FINDS, *PEOPLE, *FILLING_IN)
