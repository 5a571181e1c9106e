"""A photo with its board: kept on the device, in the register, and on the server's shelf."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import expect

from baulk.record import Context, Photo
from tests.browser.recording import Devices, ServedSite
from tests.browser.waiting import until

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A picture as a camera gives it."""
    path = tmp_path_factory.mktemp("camera") / "IMG_0042.jpg"
    Image.linear_gradient("L").resize((640, 480)).convert("RGB").save(path)
    return path


def test_a_photo_with_its_board(devices: Devices, recorded: ServedSite, picture: Path) -> None:
    """The board shows what the register will hold; the picture is kept, numbered, sent, and looked at."""
    context = recorded.record.numbered(Context, "107")
    page = devices.record(devices.of(), f"photo.{context.id}", heading="Photo")
    page.get_by_label("What it shows").fill("Upper fill of the pit, cleaned, from the south")
    page.get_by_text("during", exact=True).click()
    page.get_by_text("N", exact=True).click()
    page.get_by_label("a scale", exact=True).check()
    page.get_by_label("a north arrow", exact=True).check()
    page.get_by_label("Length of the scale, for the board").fill("0.5 m")
    page.get_by_role("button", name="Show the board").click()
    board = page.get_by_role("dialog", name="Board: hold the device beside what is photographed")
    for words in ("OTW26", "107", "during", "looking N", "0.5 m"):
        expect(board).to_contain_text(words)
    size = board.locator("dd").first.evaluate("one => parseFloat(getComputedStyle(one).fontSize)")
    assert size >= 40
    board.get_by_role("button", name="Put the board away").click()
    expect(page.get_by_label("the board", exact=True)).to_be_checked()
    camera = page.locator("input[type=file][capture=environment]")
    camera.set_input_files(picture)
    expect(page.get_by_role("status").filter(has_text=re.compile(r"Photo \d+ is kept on this device"))).to_be_visible()
    shown = page.locator("main img")
    assert shown.evaluate("one => one.decode().then(() => one.naturalWidth)") == 640
    page.get_by_role("button", name="Yes, sharp").click()
    sha = hashlib.sha256(picture.read_bytes()).hexdigest()
    said = "Upper fill of the pit, cleaned, from the south"
    until(lambda: any(photo.subject == said and photo.in_focus for photo in recorded.record.all(Photo)))
    (photo,) = (photo for photo in recorded.record.all(Photo) if photo.subject == said)
    assert photo.file == sha
    assert (photo.stage, photo.facing, photo.kind) == ("during", "N", "record")
    assert (photo.scale, photo.north, photo.board, photo.sensitive) == (True, True, True, False)
    assert (photo.contexts, photo.file_name, photo.photographer) == ((context.id,), "IMG_0042.jpg", "AK")
    until(lambda: sha in recorded.office.files)


def test_what_is_no_picture_is_refused(devices: Devices, tmp_path: Path) -> None:
    """A text file is refused in words and nothing is written."""
    page = devices.record(devices.of(), "photo", heading="Photo")
    text = tmp_path / "notes.txt"
    text.write_text("no picture", encoding="utf-8")
    page.locator("input[type=file]").last.set_input_files(text)
    expect(page.get_by_role("alert").filter(has_text="That is no picture.")).to_be_visible()


def test_a_sensitive_photo_is_withheld_once_it_is_sent(devices: Devices, recorded: ServedSite, picture: Path) -> None:
    """A photo ticked as showing remains reaches the server marked so, and is on the crew's device no longer."""
    page = devices.record(devices.of(), "photo", heading="Photo")
    page.get_by_label("What it shows").fill("Covered with boards")
    page.get_by_label("human remains, or what gives a place away").check()
    expect(page.locator("main")).to_contain_text("Such a photo is withheld")
    page.locator("input[type=file]").last.set_input_files(picture)
    until(lambda: any(photo.sensitive and photo.subject == "Covered with boards" for photo in recorded.record.all(Photo)))
