"""Drawings are read, kept apart and measured without changing what they show."""

from __future__ import annotations

import pytest

from baulk.report.svg_text import described, inline_svg, read_svg, redacted_svg, size_in_mm, svg_text
from tests.report.sample_site import bar_figure


@pytest.mark.parametrize(("given", "millimetres"), [("10mm", 10.0), ("2.5cm", 25.0), ("1in", 25.4), ("72pt", 25.4), ("96", 25.4)])
def test_sizes_are_read_in_every_length_of_svg(given, millimetres):
    """Width and height come out in mm; a bare number is a pixel of 1/96 inch."""
    root = read_svg(f'<svg xmlns="http://www.w3.org/2000/svg" width="{given}" height="{given}"/>')
    assert size_in_mm(root) == pytest.approx((millimetres, millimetres))


def test_reading_and_writing_keep_the_drawing():
    """Shapes and words of a plain drawing are the same after reading and writing."""
    text = svg_text(read_svg(bar_figure()))
    for kept in ('width="120mm"', 'viewBox="0 0 120 90"', 'fill="url(#soil)"', ">Level 10.23<", 'width="100"'):
        assert kept in text


def test_ids_get_a_prefix_wherever_they_are_used():
    """An id, the fill that uses it, a link to it and a label by it all get the same prefix."""
    root = read_svg(
        '<svg xmlns="http://www.w3.org/2000/svg" width="1mm" height="1mm" aria-labelledby="t"><title id="t">T</title>'
        '<g id="a"/><use href="#a"/><rect fill="url(#a)" style="stroke:url(#a)"/><rect fill="url(#elsewhere)"/></svg>'
    )
    inline_svg(root, "figure-3")
    text = svg_text(root)
    for kept in ('id="figure-3-a"', 'href="#figure-3-a"', 'fill="url(#figure-3-a)"', "stroke:url(#figure-3-a)", "url(#elsewhere)"):
        assert kept in text
    assert 'aria-labelledby="figure-3-t"' in text


def test_title_and_description_are_the_drawings_own():
    """Title and description are those of the whole drawing, not of a group in it."""
    inner = '<g xmlns="http://www.w3.org/2000/svg"><title>of a group</title></g></svg>'
    assert described(read_svg(bar_figure().replace("</svg>", inner))) == ("Plan of unit 1", "Plan of unit 1, as seen from above.")


def test_redaction_takes_groups_and_labels_only():
    """A group that carries a withheld id goes with all it holds; what carries another id stays."""
    root = read_svg(
        '<svg xmlns="http://www.w3.org/2000/svg" width="1mm" height="1mm"><g data-record="x"><g><path d="M0 0"/></g></g>'
        '<g data-record="y"><text>stays</text><text>goes</text></g></svg>'
    )
    redacted_svg(root, {"x"}, lambda words: words.replace("goes", "-"))
    text = svg_text(root)
    assert "<path" not in text
    assert "stays" in text
    assert "goes" not in text
