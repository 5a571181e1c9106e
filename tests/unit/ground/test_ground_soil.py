"""Soil: refusals of the texture class, texture by feel, readings of colour, inclusions."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from baulk.drawing.svg import to_svg
from baulk.drawing.texture_triangle import texture_triangle
from baulk.errors import InputError, MeasureError
from baulk.ground.feel import QUESTIONS, texture_by_feel
from baulk.ground.inclusions import inclusions_of, otsu
from baulk.ground.soil import CLASSES, compare_colours, separate_of, texture_class, texture_classes


def test_shares_that_make_no_whole_are_refused() -> None:
    """Shares that do not add up to 100 and one below nought are refused with what to do; rounding to half a per cent is let by."""
    with pytest.raises(MeasureError, match=r"add up to 80 %.*leave gravel out"):
        texture_class(30, 30, 20)
    with pytest.raises(MeasureError, match="The clay is given as -5 %"):
        texture_class(60, 45, -5)
    assert texture_class(33.3, 33.3, 33.3) == "clay loam"
    assert texture_classes([np.nan], [50], [50]).tolist() == [-1]


def test_separates_have_their_limits() -> None:
    """Grains fall into the separate whose limits hold them; a boundary belongs to the coarser; above 2 mm it is a fragment."""
    sizes = {0.001: "clay", 0.002: "silt", 0.06: "very fine sand", 0.1: "fine sand", 0.3: "medium sand", 0.7: "coarse sand"}
    assert {size: separate_of(size) for size in sizes} == sizes
    assert (separate_of(2.0), separate_of(2.1)) == ("very coarse sand", "rock fragment")
    with pytest.raises(MeasureError, match="A grain of 0 mm is given"):
        separate_of(0)


def test_every_way_of_answering_ends_in_a_class() -> None:
    """Asking question after question, every way of answering ends in one of the twelve classes within four answers."""
    reached = set()
    for choice in product(*(one.answers for one in QUESTIONS.values())):
        given = dict(zip(QUESTIONS, choice, strict=True))
        answers: dict[str, str] = {}
        while (step := texture_by_feel(answers)).texture is None:
            answers[step.next_question.name] = given[step.next_question.name]
        reached.add(step.texture)
        assert "from memory" in step.mark
    assert reached == set(CLASSES) - {"silt"}


def test_feel_refuses_other_words() -> None:
    """An unknown question or answer is refused with those that may be given."""
    with pytest.raises(InputError, match=r"There is no question “ribon”. Did you mean ribbon"):
        texture_by_feel({"ribon": "yes"})
    with pytest.raises(InputError, match=r"“maybe” is no answer to “ball”. Answer with one of: yes, no"):
        texture_by_feel({"ball": "maybe"})


def test_colour_readings() -> None:
    """Neighbouring chips lie within reading error, chips three values apart do not, and the words say whose limit it is."""
    near, far = compare_colours("10YR 4/3", "10YR 4/4"), compare_colours("10YR 3/2", "10YR 6/4")
    assert (near.within_reading_error, far.within_reading_error) == (True, False)
    assert "house value" in near.words
    assert compare_colours("10YR 4/3", "10YR 4/3").difference == 0


def test_inclusions_are_counted_and_measured_in_millimetres() -> None:
    """Three light discs of 20, 12 and 8 pixels at half a millimetre a pixel measure 10, 6 and 4 mm within a pixel."""
    rows, columns = np.mgrid[:120, :120]
    picture = np.full((120, 120, 3), (110.0, 80, 60))
    for down, across, wide in ((30, 30, 20), (80, 40, 12), (60, 95, 8)):
        picture[(rows - down) ** 2 + (columns - across) ** 2 <= (wide / 2) ** 2] = (220, 210, 200)
    found = inclusions_of(picture, which="other colour", millimetres=0.5)
    assert found.count == 3
    assert [one.most for one in found.sizes] == pytest.approx([10, 6, 4], abs=1.0)
    assert "3 pieces" in found.words
    assert inclusions_of(picture, which="lighter", limit=150).share == pytest.approx(found.share)


def test_patches_that_cannot_be_parted_are_refused() -> None:
    """One shade, an unknown way and an empty patch are refused in words."""
    with pytest.raises(MeasureError, match="All of the patch has one shade"):
        otsu([5, 5, 5])
    with pytest.raises(MeasureError, match="Inclusions that are “redder” are asked for"):
        inclusions_of(np.eye(5), which="redder")
    with pytest.raises(MeasureError, match="Cut it from the photo again"):
        inclusions_of(np.zeros((0, 3)))


def test_triangle_names_every_class_and_soil() -> None:
    """The drawing holds the twelve classes by name and each soil at its own place."""
    svg = to_svg(texture_triangle([("112", 40, 40, 20)]))
    for name in CLASSES:
        assert f'data-name="{name}"' in svg
    assert "112: sand 40, silt 40, clay 20 %" in svg
