"""`baulk soil` from words to answer."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from baulk.cli import main

from .conftest import Run, answer


def test_fractions_name_the_class_and_every_boundary(run: Run, tmp_path: Path) -> None:
    """A soil inside a class has it alone, one on a boundary names the others, one where four meet all of them; it can be drawn."""
    inside = answer(run("soil", "--fractions", 60, 30, 10, "--json"))
    assert (inside["texture"], inside["also"], inside["file"]) == ("sandy loam", [], None)
    edge = answer(run("soil", "--fractions", 40, 33, 27, "--json"))
    assert (edge["texture"], edge["also"]) == ("clay loam", ["loam"])
    corner = answer(run("soil", "--fractions", 45, 28, 27, "--json"))
    assert {corner["texture"], *corner["also"]} == {"loam", "sandy clay loam", "clay loam"}
    drawn = run("soil", "--fractions", 40, 33, 27, "--triangle", tmp_path / "soil.svg")
    assert "Texture: clay loam; it stands on the boundary with loam." in drawn.stdout
    assert 'data-name="this soil"' in (tmp_path / "soil.svg").read_text(encoding="utf-8")
    again = run("soil", "--fractions", 40, 33, 27, "--triangle", tmp_path / "soil.svg")
    assert again.exit_code == 3 and "soil.svg is already there: nothing was written" in again.stderr
    wrong = run("soil", "--fractions", 40, 33, 7)
    assert wrong.exit_code == 3 and "leave gravel out" in wrong.stderr


def test_feel_is_asked_and_can_be_scripted() -> None:
    """Questions are asked until a class is found, by number or by words; those given are not asked; JSON tells the next."""
    asked = CliRunner().invoke(main, ["soil", "--feel"], input="yes\n1\nover 50 mm\n3\n")
    assert asked.exit_code == 0
    assert "Does a ribbon form before it breaks?" in asked.stderr
    assert asked.stdout == "Texture by feel: clay (field flow chart of soil surveys, from memory).\n"
    words = ["soil", "--feel", "--answer", "ball=yes", "--answer", "ribbon=no"]
    assert CliRunner().invoke(main, words).stdout.startswith("Texture by feel: loamy sand")
    step = answer(CliRunner().invoke(main, ["soil", "--feel", "--answer", "ball=yes", "--json"], obj="json"))
    assert step["texture"] is None and step["next"]["name"] == "ribbon" and step["next"]["answers"] == ["yes", "no"]
    odd = CliRunner().invoke(main, ["soil", "--feel", "--answer", "ball"])
    assert odd.exit_code == 3 and "is no answer by name. Write the question, = and the answer" in odd.stderr
    assert CliRunner().invoke(main, ["soil", "--feel"], input="perhaps\n").exit_code == 1  # asked again, and then there is no more


def test_two_readings_of_a_colour(run: Run) -> None:
    """Neighbouring chips lie within reading error, distant ones do not; the chips' own colours are told."""
    near = answer(run("soil", "--colours", "10YR 4/3", "10YR 4/4", "--json"))
    assert near["within_reading_error"] is True and near["chips"][0] == "#735C41"
    far = answer(run("soil", "--colours", "10YR 3/2", "10YR 6/4", "--json"))
    assert far["within_reading_error"] is False and far["difference"] > near["difference"]
    assert "On screen 10YR 4/3 is #735C41" in run("soil", "--colours", "10YR 4/3", "10YR 5/4").stdout
    assert "A Munsell colour is hue value/chroma" in run("soil", "--colours", "brown", "10YR 5/4").stderr


@pytest.fixture
def speckled(tmp_path: Path) -> tuple[Path, float]:
    """Return a photo, stored on its side, of a patch of soil with light grains, and their true share in per cent."""
    rng = np.random.default_rng(5)
    rows, columns = np.mgrid[:400, :600]
    mask = np.zeros(rows.shape, bool)
    for down, across in rng.uniform((0, 0), (400, 600), (80, 2)):
        mask |= (rows - down) ** 2 + (columns - across) ** 2 < 64
    upright = np.where(mask, 210, 90) + rng.normal(0, 4, mask.shape)
    sheet = Image.fromarray(np.clip(upright, 0, 255).astype(np.uint8)).convert("RGB").transpose(Image.Transpose.ROTATE_90)
    note = Image.Exif()
    note[0x0112] = 6  # turned a quarter to the right it stands upright
    sheet.save(tmp_path / "patch.png", exif=note)
    return tmp_path / "patch.png", 100 * float(mask[100:300, 200:500].mean())


def test_inclusions_of_a_patch_with_their_error(run: Run, speckled: tuple[Path, float]) -> None:
    """The share inside the box is measured on the upright photo, its error covers the spread of the parts, and sizes are in mm."""
    photo, share = speckled
    said = answer(run("soil", "--patch", photo, "--box", 200, 100, 500, 300, "--pixel", 0.5, "--json"))
    assert said["share"] == pytest.approx(share, abs=0.3)
    assert 0.5 < said["standard_error"] < 5 and said["parts"] == 16
    assert said["in"] == "mm" and said["method"] == "lighter, Otsu's limit" and said["contrast"] > 0.9
    dark = answer(run("soil", "--patch", photo, "--box", 200, 100, 500, 300, "--inclusions", "dark", "--json"))
    assert dark["share"] == pytest.approx(100 - share, abs=0.3)
    assert "% of the patch by area" in (words := run("soil", "--patch", photo, "--box", 200, 100, 500, 300).stdout)
    assert "from 16 parts of the patch. The largest is" in words


def test_what_cannot_be_measured_is_refused(run: Run, speckled: tuple[Path, float]) -> None:
    """No question, two at once, a patch without edges or beyond the photo, too small a patch and a pixel of nothing are refused."""
    photo, _ = speckled
    assert "Give one of --fractions, --feel, --colours or --patch" in run("soil").stderr
    assert run("soil", "--feel", "--fractions", 1, 2, 97).exit_code == 2
    assert "A patch has edges: give --box" in run("soil", "--patch", photo).stderr
    beyond = run("soil", "--patch", photo, "--box", 0, 0, 700, 300)
    assert (
        beyond.exit_code == 3
        and "The patch runs from column 0 to 700 and from row 0 to 300; the photo has 600 × 400" in beyond.stderr
    )
    small = run("soil", "--patch", photo, "--box", 0, 0, 600, 3)
    assert "The patch is 3 pixels across, too few to part it into 4 by 4" in small.stderr
    assert "A pixel is said to cover 0 mm" in run("soil", "--patch", photo, "--box", 0, 0, 9, 9, "--pixel", 0).stderr
