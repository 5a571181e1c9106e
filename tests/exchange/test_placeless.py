"""A picture loses what its file says of place, person and camera, and no pixel."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from baulk.errors import FileError
from baulk.exchange.placeless import may_tell_place, without_place
from tests.work.telling_site import picture_with_place


def pixels(content: bytes) -> tuple[tuple[int, int], bytes]:
    """Return size and pixels of a picture."""
    with Image.open(io.BytesIO(content)) as picture:
        return picture.size, picture.convert("RGB").tobytes()


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_notes_go_and_pixels_stay(form: str) -> None:
    """Of each kind the artist and the place are gone, the pixels are the same, and the picture still stands upright."""
    whole = picture_with_place(form)
    assert b"Xq-artist" in whole and may_tell_place(whole[:16])
    sent = without_place(whole)
    assert b"Xq" not in sent
    assert pixels(sent) == pixels(whole)
    with Image.open(io.BytesIO(sent)) as picture:
        assert dict(picture.getexif()) == {0x0112: 6}
        assert picture.getexif().get_ifd(0x8825) == {}
    assert without_place(sent) == sent


def test_what_stands_after_the_end_of_a_jpeg_goes() -> None:
    """A second picture behind the first, as some cameras write, is not sent; nor is a comment or a maker's note."""
    whole = picture_with_place()
    sent = without_place(whole + picture_with_place() + b"Xq-trailer")
    assert sent == without_place(whole)
    assert sent.endswith(b"\xff\xd9") and b"Xq-comment" not in sent


def test_words_in_a_png_go() -> None:
    """Text chunks are notes too."""
    from PIL.PngImagePlugin import PngInfo

    said = PngInfo()
    said.add_text("Comment", "Xq-words")
    said.add_itxt("XML:com.adobe.xmp", "Xq-xmp", zip=False)
    held = io.BytesIO()
    Image.new("RGB", (4, 4)).save(held, "PNG", pnginfo=said)
    assert b"Xq-words" in held.getvalue()
    assert b"Xq" not in without_place(held.getvalue())
    assert pixels(without_place(held.getvalue())) == pixels(held.getvalue())


def test_comments_in_a_moving_picture_go() -> None:
    """A GIF keeps its frames and their timing, and loses its comment."""
    held = io.BytesIO()
    frames = [Image.new("RGB", (4, 4), colour) for colour in ("red", "blue")]
    frames[0].save(held, "GIF", save_all=True, append_images=frames[1:], loop=0, duration=80, comment=b"Xq-comment")
    sent = without_place(held.getvalue())
    assert b"Xq-comment" in held.getvalue() and b"Xq" not in sent
    with Image.open(io.BytesIO(sent)) as picture:
        assert (getattr(picture, "n_frames", 1), picture.info["duration"], picture.info["loop"]) == (2, 80, 0)


@pytest.mark.parametrize(
    "content",
    [
        b"II*\0" + bytes(40), b"\0\0\0\x18ftypheic" + bytes(40), b"\xff\xd8\xff\xe1\xff\xff" + b"Exif\0\0",
        b"\xff\xd8", b"\x89PNG\r\n\x1a\n\0\0\0\xffeXIf GPS", b"GIF89a",
    ],
)  # fmt: skip
def test_a_picture_that_cannot_be_told_from_its_notes_is_refused(content: bytes) -> None:
    """TIFF, HEIC and damaged files are refused in a sentence that says what to do, and never sent as they are."""
    assert may_tell_place(content[:16])
    with pytest.raises(FileError, match=r"cannot be shown without what its file may say of the place .* Save it as a JPEG or PNG"):
        without_place(content)


@pytest.mark.parametrize(("form", "progressive"), [("JPEG", False), ("JPEG", True), ("PNG", False)])
def test_public_copy_gives_nothing_away(form: str, progressive: bool) -> None:
    """Position, camera, words and thumbnail are gone, pixels and the way up are the same, and nothing follows the end."""
    exif = Image.Exif()
    exif[0x0112], exif[0x010F], exif[0x013B] = 6, "CameraMaker", "R. Marlow"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (1.0, 5.0, 0.0)})
    held = io.BytesIO()
    options = {"progressive": progressive, "comment": b"found beside the grave"} if form == "JPEG" else {}
    Image.effect_noise((64, 48), 60).convert("RGB").save(held, form, exif=exif, **options)
    given = held.getvalue() + b"hidden after the end"
    assert b"CameraMaker" in given  # the control: it is there before
    public = without_place(given)
    for word in (b"CameraMaker", b"R. Marlow", b"grave", b"hidden"):
        assert word not in public
    assert pixels(public) == pixels(given)
    with Image.open(io.BytesIO(public)) as after:
        assert not after.getexif().get_ifd(0x8825)
        assert dict(after.getexif()) == {0x0112: 6}


def test_thumbnail_in_the_head_of_a_jpeg_goes() -> None:
    """A small picture in the JFIF head, or in its extension, is taken out and the picture stays."""
    held = io.BytesIO()
    Image.new("RGB", (8, 8), "red").save(held, "JPEG", dpi=(72, 72))
    whole = held.getvalue()
    assert whole[2:4] == b"\xff\xe0" and whole[4:6] == b"\0\x10"
    small = b"Xq-small-"
    head = b"\xff\xe0" + (16 + len(small)).to_bytes(2, "big") + whole[6:18] + b"\x03\x01" + small
    extension = b"\xff\xe0" + (8 + len(small)).to_bytes(2, "big") + b"JFXX\0\x13" + small
    sent = without_place(whole[:2] + head + extension + whole[20:])
    assert b"Xq" not in sent and b"JFXX" not in sent
    assert sent == without_place(whole)
    assert pixels(sent) == pixels(whole)


def test_a_png_whose_parts_do_not_hang_together_is_refused() -> None:
    """What stands in a damaged PNG cannot be told from a note, so the file is refused even when no word in it looks like one."""
    held = io.BytesIO()
    Image.new("RGB", (8, 8), "red").save(held, "PNG")
    with pytest.raises(FileError, match="cannot be shown without what its file may say of the place"):
        without_place(held.getvalue()[:-20] + b"51 N 1 W")


def test_other_files_are_left_alone() -> None:
    """A PDF or a table is no picture."""
    assert not may_tell_place(b"%PDF-1.7\n") and not may_tell_place(b"number,kind\n")
