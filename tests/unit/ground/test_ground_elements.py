"""Laid pieces: rectangles, attitude, rows, what they turn round, cut edges, sizes, firing, and the assisted outline."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
import shapely

from baulk.errors import MeasureError
from baulk.ground.attitude import BOND_TERMS, CANNOT_TELL, attitude_of_face, bond_term_of_face
from baulk.ground.axial import axes_apart
from baulk.ground.brick_size import absorption, absorption_classes, size_statistics, statutes_near
from baulk.ground.circle import algebraic_circle
from baulk.ground.edge_finder import propose_outline
from baulk.ground.elements import laying_of, pieces_of
from baulk.ground.making import absorption_in_words, firing_in_words, hardness_in_words, reuse_in_words
from baulk.ground.rows import courses_of, rows_of
from baulk.ground.truncation import cut_end, fit_cut_edge, pieces_at_edge
from baulk.ground.turning import axis_along, concentric_place, turning_place


def rectangle(centre, bearing, length, width):
    """Return the corners of a piece."""
    turn = np.radians(bearing)
    along, across = np.array([np.sin(turn), np.cos(turn)]), np.array([np.cos(turn), -np.sin(turn)])
    return [np.asarray(centre) + a * length / 2 * along + b * width / 2 * across for a, b in ((1, 1), (1, -1), (-1, -1), (-1, 1))]


def ring_of_setts(centre, rng, *, spread=2.0, counts=(6, 8, 10), first=0.5, arc=130.0):
    """Return outlines of setts laid along circles round a centre, their axes off by `spread` degrees."""
    rings = []
    for course, count in enumerate(counts):
        for turn in np.linspace(20, 20 + arc, count):
            radius = first + 0.1 * course + rng.normal(0, 0.003)
            place = np.asarray(centre) + radius * np.array([np.sin(np.radians(turn)), np.cos(np.radians(turn))])
            rings.append(rectangle(place, turn + 90 + rng.normal(0, spread), 0.2, 0.09))
    return rings


def test_rectangles_are_found_however_they_lie() -> None:
    """Size, middle and axis of 200 pieces at random bearings come back; a square piece has no axis."""
    rng = np.random.default_rng(0)
    bearings = rng.uniform(0, 180, 200)
    middles = rng.uniform(100, 110, (200, 2))
    found = pieces_of([rectangle(middle, bearing, 0.21, 0.1) for middle, bearing in zip(middles, bearings, strict=True)])
    assert np.abs(axes_apart(bearings, found.bearings)).max() < 1e-6
    assert found.centres == pytest.approx(middles)
    assert (found.longer.min(), found.shorter.max()) == (pytest.approx(0.21), pytest.approx(0.1))
    odd = pieces_of([rectangle((0, 0), 30, 0.1, 0.098), None])
    assert np.isnan(odd.bearings).all()
    assert np.isnan(odd.centres[1]).all()


def test_rectangle_of_a_ragged_outline_is_the_smallest() -> None:
    """No rectangle at any of 720 bearings about a ragged outline is smaller than the one given."""
    rng = np.random.default_rng(3)
    for _ in range(20):
        points = shapely.get_coordinates(shapely.MultiPoint(rng.normal(0, (0.1, 0.05), (12, 2))).convex_hull)[:-1]
        found = pieces_of([points])
        turns = np.radians(np.arange(0, 180, 0.25))
        along = np.ptp(points @ np.array([np.sin(turns), np.cos(turns)]), axis=0)
        across = np.ptp(points @ np.array([np.cos(turns), -np.sin(turns)]), axis=0)
        assert found.longer[0] * found.shorter[0] <= (along * across).min() * (1 + 1e-9)


def test_outline_without_area_is_refused() -> None:
    """Three corners in one line are refused with the piece's place in the list."""
    with pytest.raises(MeasureError, match="The outline of piece 2 encloses no area"):
        pieces_of([rectangle((0, 0), 0, 0.2, 0.1), [(0, 0), (1, 1), (2, 2)]])


def test_attitude_from_the_visible_face() -> None:
    """Flat, on edge and on end are told by the face; too-alike sides and unknown faces cannot be told; a cut piece is bounded."""
    brick = (215, 102.5, 65)
    assert attitude_of_face(216, 101, brick).attitude == "flat"
    assert attitude_of_face(66, 213, brick).attitude == "on edge"
    assert attitude_of_face(102, 64, brick).attitude == "on end"
    alike = attitude_of_face(212, 102, (210, 104, 100))
    assert (alike.attitude, set(alike.candidates)) == (CANNOT_TELL, {"flat", "on edge"})
    assert "its sides are too alike to tell" in alike.why
    assert attitude_of_face(150, 102, brick).attitude == CANNOT_TELL
    assert "none of its faces" in attitude_of_face(150, 80, brick).why
    assert attitude_of_face(150, 102, brick, whole=False).candidates == ("flat",)
    with pytest.raises(MeasureError, match=r"A side is given as 0\. Every side of a piece is a length above zero"):
        attitude_of_face(0, 100, brick)
    with pytest.raises(MeasureError, match=r"2 sides are given for a brick\. It has three"):
        attitude_of_face(200, 100, (200, 100))


def test_six_bond_terms_and_no_more() -> None:
    """Upright axis and axis along the face name the six terms one to one, and each is told from its own face."""
    assert len(set(BOND_TERMS.values())) == 6
    sides = {"L": 215.0, "B": 102.5, "T": 65.0}
    for name, (upright, along) in BOND_TERMS.items():
        assert bond_term_of_face(sides[along], sides[upright], (215, 102.5, 65)).attitude == name


def test_rows_part_where_they_should() -> None:
    """Rows a piece apart are parted and counted; where scatter fills the gap the answer says that the parting is in doubt."""
    rng = np.random.default_rng(1)
    offsets = np.repeat(np.arange(6) * 0.1, 9) + rng.normal(0, 0.006, 54)
    found = rows_of(rng.permutation(offsets), 0.09)
    assert found.counts.tolist() == [9] * 6
    assert found.spacing == pytest.approx(0.1, abs=0.005)
    assert found.clear
    assert not rows_of(np.concatenate([rng.normal(0, 0.03, 30), [0.2]]), 0.02).clear
    assert courses_of([29.1, 29.165, 29.102, np.nan], 0.065).row.tolist() == [0, 1, 0, -1]
    with pytest.raises(MeasureError, match="The width of a piece is given as 0"):
        rows_of([1.0], 0)


def test_centre_lies_in_its_ellipse_nineteen_times_in_twenty() -> None:
    """Over 300 made arcs the true centre is inside the 95 % ellipse in 95 %, and hardly ever when the ellipse is shrunk."""
    rng = np.random.default_rng(4)
    inside = small = 0
    for _ in range(300):
        turns = rng.uniform(20, 150, 24)
        places = rng.choice((0.5, 0.6, 0.7), 24)[:, None] * np.column_stack([np.sin(np.radians(turns)), np.cos(np.radians(turns))])
        found = turning_place(places, turns + 90 + rng.normal(0, 3, 24))
        turn = np.radians(found.bearing)
        along, across = np.array([np.sin(turn), np.cos(turn)]), np.array([np.cos(turn), -np.sin(turn)])
        away = -np.array([found.easting, found.northing])
        reach = (away @ along / found.half_axes[0]) ** 2 + (away @ across / found.half_axes[1]) ** 2
        inside, small = inside + (reach < 1), small + (reach < 0.04)
    assert inside / 300 == pytest.approx(0.95, abs=0.035)
    assert small / 300 < 0.25


def test_straight_rows_do_not_turn() -> None:
    """Parallel rows with two degrees of scatter are called turning in at most 1 in 50; pieces that radiate are called so."""
    rng = np.random.default_rng(5)
    grid = np.stack(np.meshgrid(np.arange(6) * 0.2, np.arange(5) * 0.1), -1).reshape(-1, 2)
    called = [bool(turning_place(grid, 40 + rng.normal(0, 2, 30)).turns) for _ in range(200)]
    assert np.mean(called) <= 0.02
    toward = turning_place(grid, np.degrees(np.arctan2(*(grid - (0.4, -0.5)).T)) + rng.normal(0, 1, 30))
    assert (toward.turns, toward.how) == (True, "toward")
    assert (toward.easting, toward.northing) == pytest.approx((0.4, -0.5), abs=0.05)
    few = turning_place(grid[:4], [1, 2, 3, 4])
    assert few.turns is None
    assert "cannot be told" in few.words


def test_setts_round_a_post_are_read_whole() -> None:
    """Three courses round a centre are found as three, the centre within its bound by both ways, each row turning with the arc."""
    rng = np.random.default_rng(6)
    found = laying_of(pieces_of(ring_of_setts((112.2, 205.8), rng)))
    assert found.place is not None
    assert np.hypot(found.place.easting - 112.2, found.place.northing - 205.8) < found.place.within
    assert found.place.within < 0.05
    assert found.rows.counts.tolist() == [6, 8, 10]
    assert all(abs(along.turn - 130) < 10 for along in found.along if along is not None)
    assert found.along[0].radius == pytest.approx(0.5, rel=0.1)
    straight = laying_of(
        pieces_of([rectangle((0.22 * i, 0.1 * j), 90 + rng.normal(0, 1), 0.2, 0.09) for i in range(6) for j in range(4)])
    )
    assert straight.place is None
    assert straight.rows.counts.tolist() == [6] * 4
    assert straight.axis.mean == pytest.approx(90, abs=1)


def test_axis_along_a_row_is_in_order_and_does_not_jump() -> None:
    """A row given in any order that turns through north is followed past 180 without a jump, at its true rate."""
    turns = np.arange(60, 131, 10.0)
    places = 2 * np.column_stack([np.sin(np.radians(turns)), np.cos(np.radians(turns))])
    mixed = np.random.default_rng(0).permutation(len(turns))
    found = axis_along(places[mixed], ((turns + 90) % 180)[mixed])
    assert np.abs(np.diff(found.axis)).max() == pytest.approx(10)
    assert abs(found.turn) == pytest.approx(70)
    assert found.radius == pytest.approx(2, rel=0.01)


def test_concentric_rows_have_a_centre_only_with_a_check() -> None:
    """Two rows of three give a centre with one figure to spare; fewer give none."""
    turns = np.radians([10, 50, 90, 20, 60, 100])
    radii = np.array([0.5, 0.5, 0.5, 0.6, 0.6, 0.6])
    places = radii[:, None] * np.column_stack([np.sin(turns), np.cos(turns)])
    found = concentric_place(places, [0, 0, 0, 1, 1, 1])
    assert found is not None
    assert found[:2] == pytest.approx((0, 0), abs=1e-6)
    assert concentric_place(places[:4], [0, 0, 0, 1]) is None


def test_cut_pieces_and_the_edge_they_leave() -> None:
    """Bricks that end at a trench's line are found, those it crosses are told apart, and the edge's bearing is its own."""
    rng = np.random.default_rng(7)
    edge = np.array([(-1, 0.5), (2, 0.5 + 3 * np.tan(np.radians(10)))])
    rings = []
    for place in range(8):
        east = 0.12 * place
        top = 0.5 + (east + 1) * np.tan(np.radians(10)) - 0.005 + rng.normal(0, 0.002)
        rings.append([(east, 0), (east + 0.1, 0), (east + 0.1, top), (east, top)])
    rings.append(rectangle((0.4, 0.2), 0, 0.2, 0.1))
    rings.append(rectangle((1.4, 0.92), 0, 0.2, 0.1))
    near, crossed = pieces_at_edge(rings, edge)
    assert near.tolist() == [True] * 8 + [False] * 2
    assert crossed.tolist() == [False] * 9 + [True]
    found = fit_cut_edge([cut_end(ring, edge) for ring in np.array(rings, dtype=object)[near]])
    assert (found.form, found.bearing) == ("straight", pytest.approx(80, abs=1.5))
    assert found.words.startswith("A straight edge of bearing 79.9° ± 0.1° through 8 ends")
    arc = [(0.3 * np.sin(turn) + rng.normal(0, 0.003), 0.3 * np.cos(turn) + rng.normal(0, 0.003)) for turn in np.linspace(0, 2, 8)]
    bow = fit_cut_edge(arc)
    assert bow.form == "round"
    assert bow.circle.radius == pytest.approx(0.3, abs=0.02)
    assert "no check" in fit_cut_edge([(0, 0), (1, 1)]).words
    with pytest.raises(MeasureError, match=r"1 cut ends are given for an edge\. It takes two"):
        fit_cut_edge([(0, 0)])


def test_sizes_are_weak_evidence_only() -> None:
    """Bricks of 9 × 4 1/2 × 2 1/2 in are near several sizes of law at once, and each sentence calls the evidence weak."""
    rng = np.random.default_rng(8)
    sizes = np.array([228.6, 114.3, 63.5]) + rng.normal(0, 3, (20, 3))
    found = size_statistics(sizes)
    near = statutes_near(found)
    assert {"1723", "by 1725"} <= {statute.when for statute, _ in near}
    assert all("Weak evidence: size does not date a brick" in words for _, words in near)
    assert "Twenty" not in found.words
    assert "are better than 5" in size_statistics(sizes[:5]).words
    assert statutes_near(size_statistics([[228, 114, np.nan]])) == ()
    with pytest.raises(MeasureError, match="Leave out what was not measured; do not write 0 for it"):
        size_statistics([[228, 114, 0]])


def test_absorption_reproduces_the_printed_table() -> None:
    """Davis's 20 bricks give the printed per cents, cut off and not rounded; the classes overlap. (Read, computed.)."""

    def pounds(text: str) -> float:
        whole, ounces = text.split("-")
        return int(whole) + int(ounces) / 16

    table = [("5-0", "5-2", 2.5), ("4-15", "5-7", 10.12), ("4-14", "5-10", 15.3), ("2-8", "3-1", 22.5), ("4-3", "4-6", 4.47)]
    for dry, wet, printed in table:
        assert absorption(pounds(dry), pounds(wet)) == pytest.approx(printed, abs=0.1)
    assert set(absorption_classes(15.3)) == {"hard", "dark", "light"}
    assert absorption_classes(30) == ()
    with pytest.raises(MeasureError, match="A wet brick weighs no less"):
        absorption(5, 4)


def test_reuse_and_firing_claim_no_more_than_was_seen() -> None:
    """A clinging remnant shows an earlier use; its absence shows nothing; nothing looked at cannot tell."""
    assert "cannot be its own" in reuse_in_words(["clinging remnant", "none"], "none (dry)")
    assert "neither shows nor rules out" in reuse_in_words(["none"] * 4)
    assert reuse_in_words([None, "not visible"]).startswith("Reuse cannot be told")
    assert firing_in_words([None]) == "Firing was recorded on none of 1 pieces."


def test_hardness_and_absorption_claim_no_firing() -> None:
    """Hardness is counted; a mean absorption names every class of Davis's bricks that holds it, as weak, or names none."""
    assert hardness_in_words(["hard", "hard", "soft", "not known", None]) == "Hardness: 2 hard, 1 soft; 2 not known."
    assert hardness_in_words([None, None]) == "Hardness was recorded on none of 2 pieces."
    several = absorption_in_words([14.0, 16.6, None])
    assert several.startswith("Absorption 15.3 % (14.0–16.6) of 2 pieces: among Davis's bricks that is hard or dark or light.")
    assert "Weak evidence: the classes overlap" in several
    assert absorption_in_words([40.0]).endswith("none of Davis's bricks took up as much or as little.")
    assert absorption_in_words([None]) == "Absorption was measured on none of 1 pieces."
    with pytest.raises(MeasureError, match=r"An absorption of 140 % is given\. It runs from 0 to 100 per cent of the dry mass"):
        absorption_in_words([140])


def made_setts(rng):
    """Return a picture of setts with joints, and the outline of the middle one."""
    picture = np.full((300, 300, 3), (70, 75, 80), float)
    turn, length, width = rng.uniform(0, 180), rng.uniform(100, 130), rng.uniform(45, 60)
    middle = rng.uniform(120, 180, 2)
    along = np.array([np.cos(np.radians(turn)), np.sin(np.radians(turn))])
    across = np.array([-along[1], along[0]])
    shades = [(120, 90, 60), (110, 85, 65), (130, 95, 70), (115, 95, 75), (125, 92, 62)]
    steps = [0 * along, along * (length + 8), -along * (length + 8), across * (width + 8), -across * (width + 8)]
    corners = [middle + a * length / 2 * along + b * width / 2 * across for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    for step, shade in zip(steps, shades, strict=True):
        cv2.fillPoly(picture, [np.round((np.array(corners) + step) * 16).astype(np.int32)], shade, cv2.LINE_8, 4)
    return cv2.GaussianBlur(picture, (0, 0), 0.8) + rng.normal(0, 6, picture.shape), middle, np.array(corners)


def test_outline_proposed_covers_the_piece() -> None:
    """On 30 made pictures the proposal and the true outline share at least 95 % of their joint area, from any seed inside."""
    rng = np.random.default_rng(0)
    shares = []
    for _ in range(30):
        picture, middle, corners = made_setts(rng)
        found = propose_outline(picture, tuple(middle + rng.normal(0, 5, 2)))
        ours, true = shapely.Polygon(found.ring), shapely.Polygon(corners)
        shares.append(ours.intersection(true).area / ours.union(true).area)
        assert not found.leaked
        hull = shapely.Polygon(propose_outline(picture, tuple(middle), hull=True).ring)
        assert hull.intersection(true).area / hull.union(true).area > 0.9
    assert min(shares) > 0.95


def test_proposal_says_when_it_cannot_be_trusted() -> None:
    """Plain ground without an edge leaks and says so; a fleck of three pixels or outside the picture is refused."""
    rng = np.random.default_rng(2)
    flat = np.full((200, 200, 3), 120.0) + rng.normal(0, 3, (200, 200, 3))
    found = propose_outline(flat, (100, 100))
    assert found.leaked
    assert "draw the outline by hand" in found.why
    with pytest.raises(MeasureError, match="lies outside the picture of 200 × 200 pixels"):
        propose_outline(flat, (250, 10))
    fleck = np.full((200, 200), 120.0)
    fleck[100:103, 100:103] = 255
    with pytest.raises(MeasureError, match="No piece stands out at column 101, row 101"):
        propose_outline(fleck, (101, 101), smoothing=0.3)


def test_circle_refusals_say_why() -> None:
    """Two points and points in one line make no circle, and the refusal says what to do."""
    with pytest.raises(MeasureError, match=r"2 points are given for a circle\. It takes three"):
        algebraic_circle([(0, 0), (1, 1)])
    with pytest.raises(MeasureError, match="A straight edge has no centre: measure further round"):
        algebraic_circle([(0, 0), (1, 1), (2, 2)])
