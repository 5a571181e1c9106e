"""A real photo with two tapes in it (B. Marwick et al., trampling experiment, CC BY 4.0), rectified by the tapes' own marks.

The photo stays outside the project: the folder named by BAULK_TRIAL_DATA, else ../shared/data beside the checkout. The marks were
read off the photo by eye, to about a pixel (1.6 mm). Set BAULK_TRIAL_OUT to a folder to keep the picture and look at it.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from baulk.record import Site, SiteRecord
from baulk.work.rectify import rectify_photo

HERE = Path(__file__).resolve().parent
PHOTO = Path(os.environ.get("BAULK_TRIAL_DATA") or HERE.parents[2] / "shared" / "data") / "mjbtramp_photos" / "20120725_084601.jpg"

pytestmark = pytest.mark.skipif(
    not PHOTO.exists(),
    reason="the photo with the tapes is not here: put it into a folder and name it by BAULK_TRIAL_DATA to run this trial",
)

# Centimetres on the tape that lies down the picture, and the pixel of each mark.
DOWN = {10: (180.4, 93.3), 20: (175.1, 151), 30: (168, 212.1), 40: (162.8, 271.7), 50: (156.3, 331.9),
        60: (149.4, 397), 70: (142.9, 460.9), 80: (135.2, 525.7), 90: (127.8, 593), 100: (120.1, 660.9)}  # fmt: skip
# The same on the tape that lies across; it begins 1.4 cm beside the first and 11.3 cm down it, and is taken to be square to it.
ACROSS = {10: (249, 99), 20: (312.3, 96.6), 30: (375.6, 94.5), 94: (772.1, 90.9), 100: (809.3, 91)}


def _table(path: Path, marks: dict[str, tuple[tuple[float, float], tuple[float, float]]]) -> Path:
    rows = [f"{name},{column},{row},{east:.4f},{north:.4f}" for name, ((column, row), (east, north)) in marks.items()]
    path.write_text("\n".join(["point,column,row,easting,northing", *rows]) + "\n", encoding="utf-8")
    return path


def _marks() -> dict[str, tuple[tuple[float, float], tuple[float, float]]]:
    down = {f"down {mark}": (pixel, (10.0, 20.0 - mark / 100)) for mark, pixel in DOWN.items()}
    return down | {f"across {mark}": (pixel, (10.014 + mark / 100, 20.0 - 0.113)) for mark, pixel in ACROSS.items()}


def test_tapes_of_a_real_photo_agree(tmp_path: Path) -> None:
    """Fifteen marks on two tapes fit to a few millimetres, and each is foretold by the others to within a centimetre."""
    out = Path(os.environ.get("BAULK_TRIAL_OUT") or tmp_path)
    found = rectify_photo(
        SiteRecord.of([Site(id="s", code="TRIAL")]), PHOTO, _table(tmp_path / "points.csv", _marks()), out, cell=0.001, lens=False
    )
    assert found.fit.root_mean_square < 4
    assert found.fit.left_out_error is not None
    assert found.fit.left_out_error < 10
    assert 0.0013 < found.fit.resolution() < 0.0019
    with Image.open(found.files[1]) as picture:
        shown = np.asarray(picture)[..., 3] > 0
    assert shown.mean() > 0.9


def test_a_misread_mark_is_named(tmp_path: Path) -> None:
    """The mark of 60 cm read as 50 is named: a negative control on real marks."""
    marks = _marks()
    marks["down 60"] = (marks["down 60"][0], marks["down 50"][1])
    del marks["down 50"]
    found = rectify_photo(
        SiteRecord.of([Site(id="s", code="TRIAL")]), PHOTO, _table(tmp_path / "points.csv", marks), tmp_path, lens=False
    )
    assert any(note.startswith("Point down 60 is missed by") for note in found.notes)
