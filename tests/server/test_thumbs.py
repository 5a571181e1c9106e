"""Small pictures for devices: small, upright, without a word of the file's own, and only of what is shown."""

from __future__ import annotations

import io
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from baulk.record import Photo, SiteRecord, build
from baulk.server import create_app
from baulk.server.thumbs import LONGEST_SIDE
from baulk.store import FileShelf
from baulk.work.study import Study
from tests.server.test_server_guard import refused
from tests.server.tiny_site import SECRET_PICTURE

ORIENTATION, MAKER, PLACE = 0x0112, 0x010F, 0x8825


def camera_photo(orientation: int) -> bytes:
    """Return a JPEG of 1600 by 800 whose stored left third is red, with a maker, a place and an orientation in its notes."""
    picture = Image.new("RGB", (1600, 800), (20, 60, 180))
    picture.paste((200, 20, 20), (0, 0, 533, 800))
    picture.paste((240, 240, 240), (0, 0, 1600, 200))
    notes = Image.Exif()
    notes[MAKER], notes[ORIENTATION] = "CameraMaker", orientation
    notes.get_ifd(PLACE).update({1: "N", 2: (51.0, 30.0, 0.0)})
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=95, exif=notes)
    return out.getvalue()


def served(folder: Path, content: bytes, **photo: Any) -> tuple[TestClient, str]:
    """Return a client of a site with one photo of this file, and the file's hash."""
    shelf = FileShelf(folder / "site.files")
    sha = shelf.keep(content)
    study = Study(SiteRecord.of([build(Photo, {"id": "p", "number": "P1", "file": sha, **photo})]), shelf)
    return TestClient(create_app(lambda: study, static=folder / "none"), base_url="http://localhost"), sha


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_small_picture_is_upright_and_silent(tmp_path: Path, orientation: int) -> None:
    """It is at most 320 pixels long, turned as the imaging library turns the file, and holds no note at all."""
    content = camera_photo(orientation)
    client, sha = served(tmp_path, content)
    answer = client.get(f"/api/thumbs/{sha}")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/jpeg")
    assert len(answer.content) < 20_000
    for trace in (b"Exif", b"CameraMaker"):
        assert trace in content  # the control: the file tells it
        assert trace not in answer.content
    small = Image.open(io.BytesIO(answer.content))
    assert max(small.size) == LONGEST_SIDE
    assert not small.getexif()
    whole = Image.open(io.BytesIO(content))
    right = _turned(whole, orientation).resize(small.size)
    assert _apart(small, right) < 6
    assert _apart(small, right.transpose(Image.Transpose.ROTATE_180)) > 40  # the control


def _turned(whole: Image.Image, orientation: int) -> Image.Image:
    """Return the upright picture by the library's own turns."""
    ways = {2: "FLIP_LEFT_RIGHT", 3: "ROTATE_180", 4: "FLIP_TOP_BOTTOM", 5: "TRANSPOSE", 6: "ROTATE_270", 7: "TRANSVERSE"}
    way = ways.get(orientation, "ROTATE_90")
    return whole if orientation == 1 else whole.transpose(Image.Transpose[way])


def _apart(one: Image.Image, other: Image.Image) -> float:
    """Return how far two pictures are apart, mean of the channels."""
    pairs = zip(one.convert("RGB").tobytes(), other.convert("RGB").tobytes(), strict=True)
    return sum(abs(a - b) for a, b in pairs) / (one.width * one.height * 3)


def test_a_small_photo_is_not_blown_up(tmp_path: Path) -> None:
    """A picture smaller than the limit keeps its size."""
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "green").save(out, "PNG")
    client, sha = served(tmp_path, out.getvalue())
    assert Image.open(io.BytesIO(client.get(f"/api/thumbs/{sha}").content)).size == (40, 30)


@pytest.mark.parametrize("form", ["WEBP", "GIF", "PNG"])
def test_other_forms_of_picture_are_drawn_small_too(tmp_path: Path, form: str) -> None:
    """A WebP file, a GIF file and a PNG file with a table of colours have a small picture that looks like them."""
    picture = Image.open(io.BytesIO(camera_photo(1)))
    out = io.BytesIO()
    (picture if form == "WEBP" else picture.quantize(16)).save(out, form)
    client, sha = served(tmp_path, out.getvalue())
    answer = client.get(f"/api/thumbs/{sha}")
    assert answer.status_code == 200, answer.text
    small = Image.open(io.BytesIO(answer.content))
    assert max(small.size) == LONGEST_SIDE
    assert _apart(small, picture.resize(small.size)) < 6
    assert _apart(small, picture.resize(small.size).transpose(Image.Transpose.ROTATE_180)) > 40  # the control


def test_what_is_withheld_has_no_small_picture(client: TestClient, tmp_path: Path) -> None:
    """A sensitive photo is answered like an unknown one, also after someone who may see it had it drawn."""
    refused(client.get(f"/api/thumbs/{sha256(SECRET_PICTURE).hexdigest()}"), 404, "unknown_file", "No record that is shown here")
    refused(client.get(f"/api/thumbs/{'0' * 64}"), 404, "unknown_file", "No record that is shown here")
    shelf = FileShelf(tmp_path / "site.files")
    sha = shelf.keep(camera_photo(1))
    marks: list[dict[str, Any]] = [{}]

    def study() -> Study:
        return Study(SiteRecord.of([build(Photo, {"id": "p", "number": "P1", "file": sha, **marks[0]})]), shelf)

    there = TestClient(create_app(study, static=tmp_path / "none"), base_url="http://localhost")
    assert there.get(f"/api/thumbs/{sha}").status_code == 200
    marks[0] = {"sensitive": True}
    refused(there.get(f"/api/thumbs/{sha}"), 404, "unknown_file", "No record that is shown here")


def test_a_file_that_is_no_picture_is_told_as_such(tmp_path: Path) -> None:
    """A document, or a picture cut short, has no small picture, and the answer says why."""
    client, sha = served(tmp_path, b"%PDF-1.7 not a picture")
    refused(client.get(f"/api/thumbs/{sha}"), 404, "unknown_file", "cannot be read as a picture")
