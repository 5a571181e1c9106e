"""Published arguments about what a feature was, entered as cases.

Only what could be read is used, and each case says how much that was. The sightings are the author's; how expected each is under
each reading is ours, either from a shipped pattern or, where the author's rivals are finer than any pattern, set down here. So a
case does not test an author: it shows what the tool makes of an author's list, and where the two part.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from baulk.exchange.pattern_folder import pattern_named
from baulk.reading.pattern import begin
from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.scale import expectation_of
from baulk.reading.weigh import Weighed, weigh

__all__ = ["CASES", "PublishedArgument"]


@dataclass(frozen=True)
class PublishedArgument:
    """One argument and what comes of it.

    Parameters
    ----------
    name : str
        Short name.
    citation, read : str
        Where it stands, and how much of it was read.
    concludes : str
        The author's conclusion, in our words.
    reading : str
        Id of the reading that says so.
    rivals : str
        What the author argues against, in our words.
    agrees : bool
        Whether the reading that leads here is the author's.
    leads, rival : str
        Ids of the reading that leads here and of its closest rival.
    note : str
        What is to be known about the agreement or its absence.
    pattern : str
        The shipped pattern; empty when the question is set down here.
    seen : mapping of str to bool
        The author's sightings by line.
    own : Question or None
        The question set down here.
    """

    name: str
    citation: str
    read: str
    concludes: str
    reading: str
    rivals: str
    agrees: bool
    leads: str
    rival: str
    note: str
    pattern: str = ""
    seen: Mapping[str, bool] = field(default_factory=dict)
    own: Question | None = None

    def weighed(self) -> Weighed:
        """Weigh the case."""
        if self.own is not None:
            return weigh(self.own)
        return weigh(begin(pattern_named(self.pattern), seen=dict(self.seen)).question)


_TRENCH_LINES = {
    # sighting: vineyard, vegetable beds, lazy beds, drains
    "parallel": ("parallel trenches about 5 m apart over hectares", "usually usually seldom now_and_then", "plan"),
    "box": ("steep sides and flat base, 0.6 to 0.85 m wide, about 0.3 m deep", "often often seldom as_often_as_not", ""),
    "posts": ("post pits along both sides, renewed", "often seldom hardly_ever hardly_ever", "support"),
    "root-balls": ("root balls at even steps", "often seldom hardly_ever hardly_ever", "support"),
    "prompt": ("filled back promptly", "often often now_and_then seldom", ""),
    "dry": ("no sign of standing or running water, no irrigation", "often often often hardly_ever", ""),
    "few-finds": ("few finds and few plant remains", "often as_often_as_not as_often_as_not as_often_as_not", ""),
}
_TRENCH_READINGS = (
    Reading("vineyard", "Vineyard", 0.2),
    Reading("beds", "Planting beds for vegetables", 0.3),
    Reading("lazy", "Lazy beds", 0.2),
    Reading("drains", "Field drains", 0.2),
)


def _trenches(number: str, *names: str) -> Question:
    pieces = []
    for name in names:
        saw, words, cause = _TRENCH_LINES[name]
        cells = {
            reading.id: expectation_of(word.replace("_", " "))
            for reading, word in zip(_TRENCH_READINGS, words.split(), strict=True)
        }
        pieces.append(Evidence(name, saw, cells, cause=cause or None, source="ours"))
    return question_of("What were the rows of trenches for?", _TRENCH_READINGS, pieces, number=number)


CASES = (
    PublishedArgument(
        "Elms Farm, dark fills of hollows",
        "R. I. Macphail 2015, Soil microstratigraphy, in Atkinson & Preston, Heybridge. Internet Archaeology 40, 4.9",
        "summary and opening",
        "Waste gathered while people and stock lived there: kitchen debris, night-soil, stabling waste, droppings of scavengers.",
        "midden",
        "levelling dumps; flood deposits",
        True,
        "midden",
        "garden",
        "The lines were set from another report by the same author, so agreement is no surprise. The closest rival here "
        "is not one of his: a levelling dump comes far behind, and a flood deposit is no reading of the pattern and falls "
        "to none of these.",
        "dark-soil",
        {"ash-food": True, "gnawed": True},
    ),
    PublishedArgument(
        "Danebury, beehive pits",
        "B. Cunliffe on the pits of Danebury, as printed at digitaldigging.net",
        "opening, to the description of pit 1115",
        "Grain storage pits (the title says so; straight-sided ones would be hard to seal), later filled with rubbish and silt.",
        "storage",
        "pits dug for rubbish",
        True,
        "storage",
        "well",
        "Three of the four lines cite this author, so agreement says that the words are his argument and no more. The "
        "closest rival is a well, which he does not discuss: nothing in the list speaks of water.",
        "round-cut",
        {"undercut": True, "smooth-cut": True, "deep-for-width": True, "refuse-later": True},
    ),
    PublishedArgument(
        "Wollaston, rows of trenches",
        "A. G. Brown & I. Meadows 2000, Roman vineyards in Britain. Antiquity 74; and Brown, Meadows, Turner & Mattingly "
        "2001, Antiquity 75 (volumes from memory)",
        "opening of the first, abstract of the second",
        "A vineyard: posts carried a crop that stood as root balls; vines in the pollen (that part was not read and is "
        "left out).",
        "vineyard",
        "lazy beds, as similar trenches at Grendon were called",
        True,
        "vineyard",
        "beds",
        "Words are ours, set with both papers known. Posts and root balls carry it: without the two the lead is lost to "
        "planting beds.",
        own=_trenches("Wollaston", "parallel", "box", "posts", "root-balls"),
    ),
    PublishedArgument(
        "Eastern England, rows of trenches",
        "R. Wiseman and others 2020, Archaeology on Furlough: Roman planting trenches in the east of England. Cambridge "
        "repository, handle 1810/313053",
        "abstract and summary",
        "Planting beds like house gardens but far larger.",
        "beds",
        "vineyards; lazy beds",
        False,
        "beds",
        "vineyard",
        "Not in agreement: level. Words are ours and the same as for Wollaston; what could be read hardly tells beds and "
        "vineyard apart. The authors lean on Roman writers and on the sheer extent, which are not entered.",
        own=_trenches("Furlough", "parallel", "box", "prompt", "dry", "few-finds"),
    ),
    PublishedArgument(
        "Northern Ohio midden, basins with charcoal",
        "B. Redmond, field notes of 4 July 2008, brianredmondarchaeology.blogspot.com",
        "whole note",
        "Suspected smudge pits for smoking hides: small basins with dense charcoal at the base, burnt deer bone.",
        "smudge",
        "not named in the note; cooking pits in that of 13 July",
        False,
        "ash-dump",
        "cooking",
        "Not in agreement. Raked-out ash leads, since smudge pits are held rare before the evidence and the list has "
        "nothing against a dump. The note's strongest argument, that such pits are well known from historical accounts, "
        "is a prior, and is not entered.",
        "burnt-patch",
        {"charcoal-base": True, "food": True},
    ),
    PublishedArgument(
        "Northern Ohio midden, basins with red soil",
        "B. Redmond, field notes of 13 July 2008, brianredmondarchaeology.blogspot.com",
        "whole note",
        "Cooking pits and no smudge pits: cracked rock and bright red layers of burnt soil.",
        "cooking",
        "smudge pits",
        True,
        "cooking",
        "hearth",
        "Two lines cite this note, so agreement is no surprise. The closest rival is a plain hearth, which the note does "
        "not discuss.",
        "burnt-patch",
        {"cracked-stone": True, "reddened": True},
    ),
    PublishedArgument(
        "Occaneechi Town, Feature 49",
        "H. T. Ward, Feature 49, Excavating Occaneechi Town, eotonline.org (printed 1998, from memory)",
        "most of the page, cut short at its end",
        "Probably a burial, though no bone is told of: mottled clay with few artefacts in a roughly rectangular pit of "
        "0.76 by 0.46 m.",
        "grave",
        "not named in what was read",
        True,
        "grave",
        "none of these",
        "Entered blind, and then not in agreement: a foundation trench led with the grave at 9 %, since the pattern's "
        "size line spoke of outstretched adults alone. Burial care acted even so. The line was widened to children and "
        "crouched burials; this is the result since. The shaft-and-chamber shape, the author's other ground, has no line.",
        "rectangular-cut",
        {"rectangular": True, "mixed": True, "refuse": False, "grave-size": True},
    ),
    PublishedArgument(
        "Occaneechi Town, Feature 31",
        "H. T. Ward, Feature 31, Excavating Occaneechi Town, eotonline.org (printed 1998, from memory)",
        "most of the page, cut short at its end",
        "A probable burial: an oval of mottled clay with darker soil slumped in at the middle, few finds, no bone.",
        "grave",
        "not named; poor preservation is given for the absence of bone",
        False,
        "post",
        "none of these",
        "Not in agreement. Entered blind, a post hole led as it still does: round graves are held very rare before the "
        "evidence. Two lines, mottled fill and a slumped middle, were added because of it and raise the grave; burial "
        "care acts. On a site with known burials the prior would be higher, which is what the author's comparison with "
        "them amounts to.",
        "round-cut",
        {"mottled": True, "slumped": True, "refuse-later": False, "one-tip": False},
    ),
    PublishedArgument(
        "Prescot Street, row of bricks 523",
        "S. Clancy 2008, context 523, Prescot Street excavation archive, lparchaeology.com",
        "whole record",
        "Probably what is left of a drain, with curved tiles in a hollow beside one course of bricks laid in earth.",
        "drain",
        "not named",
        False,
        "kerb",
        "path",
        "Not in agreement. Entered blind, a path led with the drain at 3 %; a line for a channel or tiles alongside was "
        "added because of it, and the drain rose to a close third. Curved tiles in quantity say drain more plainly than "
        "that line does.",
        "setting",
        {"one-course": True, "dry": True, "channel": True},
    ),
)  # fmt: skip
"""The cases, papers and books first."""
