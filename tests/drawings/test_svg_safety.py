"""What an SVG may hold: escaped words, nothing from outside, the same text each time."""

from __future__ import annotations

import re

import pytest

from baulk.drawing import Group, Line, Scene, Spot, Stroke, Text, plan_drawing, site_drawing, to_svg, wall_drawing
from baulk.drawing.look import LINES
from baulk.drawing.safe_text import safe_words
from baulk.drawing.textures import TEXTURES, texture_named, texture_tile
from baulk.record import KINDS, VOCABULARIES, SiteRecord, build
from tests.drawings.otter_yard import UNIT, WALL, yard, yard_entities
from tests.drawings.read_svg import groups, read, words

_HOSTILE = [
    '<script>alert("1")</script>',
    '"><image href="https://example.invalid/x"/>',
    "]]><svg onload='x'>",
    "nul\x00 bell\x07 escape\x1b[31m",
    "turned \u202e round \u2066",
    "a" * 10_000,
    "&amp;&#0;",
]


@pytest.mark.parametrize("words_given", _HOSTILE)
def test_hostile_words_stay_words(words_given: str) -> None:
    """Whatever a name holds, the SVG parses, has no element or attribute made from it, and no control character."""
    fields = {"name": words_given, "code": words_given}
    entities = [entity for entity in yard_entities(**fields) if entity.id not in ("c1002", UNIT, WALL, "l0")]
    made = {
        "context": {
            "id": "c1002",
            "number": words_given,
            "kind": "deposit",
            "units": [UNIT],
            "title": words_given,
            "texture": words_given,
        },
        "unit": {"id": UNIT, "number": words_given, "corners": [(100, 200), (102, 200), (102, 202), (100, 202)]},
        "wall": {"id": WALL, "number": words_given, "unit": UNIT, "ends": [(100, 202), (102, 202)], "drawn_by": words_given},
        "level": {"id": words_given, "context": "c1002", "easting": 101.6, "northing": 201.7, "level": 40.87},
    }
    record = SiteRecord.of([*entities, *(build(KINDS[kind], values) for kind, values in made.items())])
    for scene in (plan_drawing(record, UNIT), wall_drawing(record, WALL), site_drawing(record)):
        text = to_svg(scene)
        text.encode("utf-8")
        root = read(text)
        assert {part.tag.rpartition("}")[2] for part in root.iter()} <= {
            "svg", "title", "desc", "defs", "pattern", "path", "rect", "g", "text",
        }  # fmt: skip
        assert not any(name.startswith("on") or "href" in name for part in root.iter() for name in part.attrib)
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\ud800-\udfff]", text)


def test_right_to_left_words_are_closed_off() -> None:
    """A Hebrew or Arabic name stands between isolates so that the words beside it keep their order; a Latin one does not."""
    assert safe_words("חצר 12") == "\u2068חצר 12\u2069"
    assert safe_words("yard 12") == "yard 12"


def test_half_a_character_becomes_a_space() -> None:
    """A lone surrogate, which no file can hold, is not written."""
    assert safe_words("lone \ud800 half") == "lone half"


def test_same_scene_same_text_and_nothing_from_outside() -> None:
    """The SVG of a record is the same each time and refers to nothing beyond itself."""
    one, two = to_svg(plan_drawing(yard(), UNIT)), to_svg(plan_drawing(yard(), UNIT))
    assert one == two
    assert set(re.findall(r"https?://[^\"' ]+", one)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"<style|<script|@font-face|@import|<image|<use|href", one)
    assert all(name in one for name in re.findall(r"url\(#([^)]+)\)", one))
    used, defined = set(re.findall(r"url\(#([^)]+)\)", one)), set(re.findall(r'<pattern id="([^"]+)"', one))
    assert used == defined


def test_reader_who_cannot_see_is_told() -> None:
    """The drawing has role, title and description, and every drawn record its own title and id."""
    root = read(to_svg(plan_drawing(yard(), UNIT)))
    assert root.get("role") == "img"
    names = {part.get("id"): part.text for part in root if part.tag.endswith(("title", "desc"))}
    assert "Unit 1: plan, OTW · Otter Weir glassworks yard · invented example" in names[root.get("aria-labelledby")]
    assert "latest first: 1002 (deposit)" in names[root.get("aria-describedby")]
    for role in ("deposit", "fill", "cut", "structure", "piece", "point"):
        assert all(group.get("data-record") and group[0].tag.endswith("title") and group[0].text for group in groups(root, role))


def test_scene_text_and_groups_come_through() -> None:
    """A scene made by hand keeps its words, places and record ids, and its size in millimetres."""
    line = Line(((Spot(1, 2), Spot(3.00049, 4)),), Stroke("own", 0.3, colour="#FF0000"))
    scene = Scene("x y", "t", 50, 20, (Group((line, Text("5 < 6", Spot(1, 1), 2)), "about", 'r"1', "thing", "n"),))
    text = to_svg(scene)
    assert 'width="50mm" height="20mm" viewBox="0 0 50 20"' in text
    assert 'd="M1 2L3 4" fill="none" class="baulk-own baulk-line-own" stroke="#FF0000"' in text
    assert groups(read(text), "thing")[0].get("data-record") == 'r"1'
    assert words(read(text)) == ["5 < 6"]


def test_every_texture_of_the_list_has_its_own_pattern() -> None:
    """No term of the composition list is without a pattern, and no two patterns are the same."""
    terms = VOCABULARIES["texture"].terms
    assert all(texture_named(term) == term for term in terms)
    tiles = [texture_tile(term) for term in terms]
    assert len(set(tiles)) == len(terms)
    assert all(strokes or solids for strokes, solids in tiles)
    assert texture_named("not a soil") == texture_named(None) == ""


def test_sandier_is_dottier_and_clayier_has_more_lines() -> None:
    """The signs of mixed textures follow their names: dots fall from sand to silt, lines rise from loam to clay."""
    dots = [TEXTURES[name].get("dot", 0) for name in ("sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt")]
    line = [TEXTURES[name].get("line", 0) for name in ("loam", "clay loam", "silty clay", "clay")]
    assert dots == sorted(dots, reverse=True)
    assert line == sorted(line)


def test_line_qualities_differ_in_print() -> None:
    """No two qualities of line share both dashes and width."""
    assert len({(stroke.dashes, stroke.width) for stroke in LINES.values()}) == len(LINES)
