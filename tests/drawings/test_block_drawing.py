"""The block drawing: lengths along the three axes are to scale, nearer hides farther, tops keep their soil colour."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from baulk.drawing import to_svg
from baulk.drawing.block import block_drawing
from baulk.drawing.block_faces import BlockView, Side, Top, faces_of
from baulk.errors import InputError
from baulk.ground.solid import ContextSolid, Solid, solid_between
from baulk.record import Context, Site, SiteRecord, Unit, build
from tests.drawings.read_svg import entries, groups, read, words

SQUARE = shapely.box(112, 204, 114, 206)


def flat(level: float) -> Any:
    """A level surface."""
    return lambda places: np.full(len(places), level)


def box(ground: Any = SQUARE, top: float = 29.4, base: float = 29.2) -> Solid:
    """A slab."""
    return solid_between(ground, flat(top), flat(base), step=0.25)


def record() -> SiteRecord:
    """Two layers, one without a colour, and an unnamed unit of 2 m."""
    return SiteRecord.of(
        [
            build(Site, {"id": "s", "code": "OTW26", "name": "Otter Weir (invented)", "invented": True}),
            build(Unit, {"id": "u", "number": "1"}),
            build(Context, {"id": "c1", "number": "101", "kind": "deposit", "title": "Turf", "colour_moist": "10YR 4/3"}),
            build(Context, {"id": "c2", "number": "102", "kind": "structure", "title": "Setts", "material": "stone"}),
        ]
    )  # fmt: skip


def drawn(**asked: Any) -> Any:
    """Return the parsed drawing of the two layers."""
    solids = [ContextSolid("c2", (box(top=29.2, base=29.0),), 0), ContextSolid("c1", (box(),), 1)]
    found = record()
    return read(to_svg(block_drawing(found, found.all(Unit)[0], solids, **asked)))


def test_the_three_axes_are_to_scale() -> None:
    """A metre east, north or upright is 25 mm on the sheet at 1:40; east runs right, north left, both up."""
    view = BlockView(0, 0, (112, 204, 29), 25.0)
    start = view.spot((112, 204, 29))
    for place, right in (((113, 204, 29), 1), ((112, 205, 29), -1), ((112, 204, 30), 0)):
        spot = view.spot(place)
        assert np.hypot(spot.across - start.across, spot.down - start.down) == pytest.approx(25.0)
        assert np.sign(round(spot.across - start.across, 6)) == right
        assert spot.down < start.down
    assert view.spot((112, 204, 29), 0.4).down == pytest.approx(start.down - 10.0)


def test_a_slab_shows_two_sides_and_its_top() -> None:
    """Of an upright slab the west and the south side are seen, the west side lighter, the top painted last."""
    faces = faces_of([box()])
    sides = [face for face in faces if isinstance(face, Side)]
    assert [type(face) for face in faces] == [Side, Side, Top]
    west, south = sorted(sides, key=lambda side: side.upper[:, 0].mean())
    assert np.allclose(west.upper[:, 0], 112)
    assert np.allclose(south.upper[:, 1], 204)
    assert west.tone > south.tone
    assert all(side.start and side.end for side in sides)


def test_the_far_wall_of_a_hole_is_seen_and_lies_under_the_top() -> None:
    """Of a square hole the two farther walls are seen, facing the reader; they are painted before the top."""
    faces = faces_of([box(SQUARE.difference(shapely.box(112.8, 204.8, 113.2, 205.2)))])
    inner = [
        face
        for face in faces
        if isinstance(face, Side) and 112.5 < face.upper[:, 0].mean() < 113.5 and face.upper[:, 1].min() > 204.5
    ]
    assert len(inner) == 2
    assert all(face.upper[:, 0].mean() > 113 or face.upper[:, 1].mean() > 205 for face in inner)
    assert isinstance(faces[-1], Top)
    assert len(faces[-1].rings) == 2


def test_what_is_left_under_a_cut_is_painted_between_the_far_wall_and_the_top() -> None:
    """A pit that does not go through: first the far walls, then the floor, last the top round it."""
    hole = shapely.box(112.8, 204.8, 113.2, 205.2)
    faces = faces_of([box(SQUARE.difference(hole)), box(hole, top=29.25)])
    tops = [at for at, face in enumerate(faces) if isinstance(face, Top)]
    floor, top = tops
    assert [len(face.rings) for face in faces if isinstance(face, Top)] == [1, 2]
    assert top == len(faces) - 1
    walls = [
        at for at, face in enumerate(faces) if isinstance(face, Side) and face.upper[0, 2] > 29.3 and face.upper[:, 1].min() > 204.5
    ]
    assert min(walls) < floor


def test_tops_keep_their_soil_colour_and_sides_are_darker() -> None:
    """The top of 10YR 4/3 is #735C41, as everywhere; both sides are darker and no colour is given to masonry."""
    root = drawn()
    turf = next(group for group in groups(root, "deposit") if group.get("data-record") == "c1")
    fills = [part.get("fill") for part in turf.iter() if (part.get("fill") or "").startswith("#")]
    assert "#735C41" in fills
    sides = [fill for fill in fills if fill and fill != "#735C41"]
    assert sides
    assert all(int(fill[1:3], 16) < 0x73 for fill in sides)
    setts = next(group for group in groups(root, "structure") if group.get("data-record") == "c2")
    assert not any((part.get("fill") or "") in fills for part in setts.iter())


def test_the_latest_is_painted_last_and_labelled_on_top() -> None:
    """Groups stand in the order in which they are painted; labels stand from the latest down; the key lists both."""
    root = drawn()
    order = [
        group.get("data-record") for group in root.iter() if group.get("data-record") and "label" not in (group.get("class") or "")
    ]
    assert order == ["c2", "c1"]
    assert [group.get("data-name") for group in sorted(groups(root, "label"), key=_down)] == ["101", "102"]
    assert {"line: firm"}.isdisjoint(entries(root))
    assert "Turf" in words(root)


def _down(group: Any) -> float:
    text = next(part for part in group.iter() if part.tag.endswith("text") and (part.text or "") in ("Turf", "Setts"))
    return float(text.get("y") or (text.get("transform") or "0 0").split()[-1].rstrip(")"))


def test_lifting_can_be_left_out_and_notes_say_what_is_missing() -> None:
    """In place there is no word of lifting and the sheet is lower; contexts without a solid and withheld ones are told."""
    apart, together = drawn(), drawn(apart=0, without=["103"], withheld=4)
    assert float(apart.get("height", "0mm")[:-2]) > float(together.get("height", "0mm")[:-2])
    said = " ".join(words(together))
    assert "Drawn apart" not in said
    assert "levels to give one: 103." in said
    assert "4 restricted records not drawn." in said
    assert "RESTRICTED" in " ".join(words(drawn(restricted=True)))


def test_a_unit_without_solids_is_refused() -> None:
    """Without a solid there is nothing to draw, and the refusal says what to enter."""
    found = record()
    with pytest.raises(InputError, match="Enter these for at least one context"):
        block_drawing(found, found.all(Unit)[0], [])
