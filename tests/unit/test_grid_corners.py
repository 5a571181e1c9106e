"""Corners estimated from taped sides and diagonals."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.corners import fit_corners
from baulk.grid.layout import LINES, Taped, lay_out
from baulk.grid.points import GridPoint

LAYOUT = lay_out(GridPoint(104.0, 212.0), width=2.0, bearing=12.0)


def _taped(corners, **off):
    """The six lengths between corners, in metres, each made longer by what `off` says."""
    ends = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]
    lengths = {name.lower(): math.dist(corners[a], corners[b]) for name, (a, b) in zip(LINES, ends, strict=True)}
    return Taped(**{name: length + off.get(name, 0.0) for name, length in lengths.items()})


def test_true_tapes_give_the_corners():
    """Tapes without error give the designed corners, no residual and no suspect."""
    fit = fit_corners(LAYOUT, _taped(LAYOUT.corners))
    assert fit.corners == pytest.approx(LAYOUT.corners, abs=1e-7)
    assert np.abs(fit.residuals).max() < 1e-7
    assert fit.degrees_of_freedom == 1
    assert fit.suspect is None
    assert "That is within what tapes of ±5 mm give." in fit.statement


def test_a_peg_set_wrong_is_found_where_it_is():
    """A corner pegged 60 mm off is where the tapes put it: the tapes agree with each other, not with the design."""
    real = LAYOUT.corners.copy()
    real[2] += [0.060, 0.0]
    fit = fit_corners(LAYOUT, _taped(real))
    assert fit.sd_of_unit_weight < 1e-7
    assert fit.suspect is None
    assert int(fit.displacement.argmax()) == 2
    assert fit.displacement.max() > 0.03


def test_one_spare_line_cannot_tell_which_is_wrong():
    """With one line to spare all standardised residuals are alike, so the residuals themselves name nobody."""
    fit = fit_corners(LAYOUT, _taped(LAYOUT.corners, ac=0.080))
    ends = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]
    design = np.zeros((6, 8))  # change of each length with each co-ordinate of each corner
    for row, (a, b) in enumerate(ends):
        step = (fit.corners[b] - fit.corners[a]) / math.dist(fit.corners[a], fit.corners[b])
        design[row, 2 * a : 2 * a + 2], design[row, 2 * b : 2 * b + 2] = -step, step
    spare = np.diag(np.eye(6) - design @ np.linalg.pinv(design))
    assert spare.sum() == pytest.approx(1.0)
    standardised = np.abs(fit.residuals) / np.sqrt(spare)
    assert standardised == pytest.approx(np.full(6, standardised[0]), rel=1e-3)


@pytest.mark.parametrize("line", [name.lower() for name in LINES])
def test_the_wrong_tape_is_named_against_the_design(line):
    """One tape read 100 mm too long is named, because without it the other five agree with the design."""
    fit = fit_corners(LAYOUT, _taped(LAYOUT.corners, **{line: 0.100}))
    assert fit.suspect == line.upper()
    assert f"Without {fit.suspect} the other five agree with the design: tape {fit.suspect} again." in fit.statement


def test_two_wrong_tapes_name_nobody():
    """Negative control: with two tapes wrong no single line explains it, and none is named."""
    fit = fit_corners(LAYOUT, _taped(LAYOUT.corners, ab=0.150, ac=-0.120))
    assert fit.suspect is None
    assert "six tapes alone cannot say which line is wrong: tape all again." in fit.statement


def test_small_errors_are_not_accused():
    """Tapes off by their usual few millimetres are not accused."""
    fit = fit_corners(LAYOUT, _taped(LAYOUT.corners, ab=0.004, cd=-0.005, ac=0.006))
    assert fit.suspect is None
    assert "within what tapes" in fit.statement


def test_five_lines_have_no_check():
    """Five tapes fix the corners, and the statement says that nothing checks them."""
    taped = _taped(LAYOUT.corners)
    fit = fit_corners(LAYOUT, Taped(taped.ab, taped.bc, taped.cd, taped.da, taped.ac))
    assert fit.corners == pytest.approx(LAYOUT.corners, abs=1e-7)
    assert math.isnan(fit.sd_of_unit_weight)
    assert math.isnan(fit.residuals[5])
    assert fit.statement == "Five taped lines fix the four corners exactly: no check. Tape the sixth line."


def test_too_few_lines():
    """Four lines leave the figure loose and are refused."""
    with pytest.raises(
        MeasureError, match=r"Only 4 of the six lines are taped\. Four corners need four sides and one diagonal at least"
    ):
        fit_corners(LAYOUT, Taped(2, 2, 2, 2))


def test_lines_that_do_not_close():
    """Sides too short for the diagonal are refused with the worst line."""
    with pytest.raises(MeasureError, match=r"do not close into a four-cornered figure; the largest residual is"):
        fit_corners(LAYOUT, Taped(2, 2, 2, 2, 5.0))
