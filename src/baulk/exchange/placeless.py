"""A picture without what its file says of place, person and camera: the pixels stay byte for byte as they are.

JPEG, PNG, WebP and GIF. Of the notes only the orientation is kept, since a picture lies on its side without it, and the colour
profile. Thumbnails, maker's notes, comments and what stands after the end of the picture go: any of them may hold the place.

References
----------
JPEG: ITU-T T.81, annex B. PNG: W3C Portable Network Graphics, third edition, 5 and 11. WebP: RFC 9649, 2.7. GIF: version 89a, 23 to
26. That cameras write places into maker's notes and second pictures after the end: common practice, no source.
"""

from __future__ import annotations

import io
import re
import struct
import zlib
from collections.abc import Iterator

from PIL import Image

from baulk.errors import FileError

__all__ = ["may_tell_place", "without_place"]

_JPEG, _PNG, _GIF = b"\xff\xd8", b"\x89PNG\r\n\x1a\n", b"GIF8"
_ORIENTATION = 0x0112
_PNG_KEPT = frozenset({
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sBIT", b"sRGB", b"cICP", b"bKGD", b"pHYs",
    b"acTL", b"fcTL", b"fdAT",
})  # fmt: skip
_WEBP_KEPT = frozenset({b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"})
_NEXT_MARK = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
_UNREADABLE = (
    "This picture cannot be shown without what its file may say of the place where it was taken. Save it as a JPEG or PNG, or open "
    "the site with --restricted if you may know of burials."
)


def may_tell_place(head: bytes) -> bool:
    """Tell from the first bytes of a file whether it is a picture or film of a kind that may hold where it was taken."""
    return (
        head.startswith((_JPEG, _PNG, _GIF, b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"))
        or (head[:4] == b"RIFF" and head[8:12] == b"WEBP")
        or head[4:8] == b"ftyp"
    )


def without_place(content: bytes) -> bytes:
    """Return a picture's file without notes of place, person and camera.

    Parameters
    ----------
    content : bytes
        The whole file.

    Raises
    ------
    FileError
        When it is of a kind, or so damaged, that the notes cannot be told from the picture.
    """
    try:
        if content.startswith(_JPEG):
            return b"".join(_jpeg(content))
        if content.startswith(_PNG):
            return b"".join(_png(content))
        if content.startswith(b"RIFF") and content[8:12] == b"WEBP":
            return _webp(content)
        if content.startswith(_GIF):
            return b"".join(_gif(content))
    except (IndexError, struct.error):
        raise FileError(_UNREADABLE) from None
    raise FileError(_UNREADABLE)


def _orientation(content: bytes) -> int:
    """Return which way up the picture is, 1 to 8, as far as its own note can be read."""
    try:
        with Image.open(io.BytesIO(content)) as picture:
            found = int(picture.getexif().get(_ORIENTATION, 1) or 1)
    except Exception:  # noqa: BLE001  a note that cannot be read, of whatever fault, tells nothing
        return 1
    return found if 1 <= found <= 8 else 1


def _orientation_note(content: bytes) -> bytes:
    turned = _orientation(content)
    if turned == 1:
        return b""
    note = Image.Exif()
    note[_ORIENTATION] = turned
    return bytes(note.tobytes())


def _jpeg(content: bytes) -> Iterator[bytes]:
    yield _JPEG
    note = _orientation_note(content)
    if note:
        yield b"\xff\xe1" + struct.pack(">H", len(note) + 2) + note
    at = 2
    while True:
        if content[at] != 0xFF:
            raise FileError(_UNREADABLE)
        while content[at + 1] == 0xFF:
            at += 1
        mark = content[at + 1]
        if mark == 0xD9:
            yield b"\xff\xd9"
            return
        (length,) = struct.unpack_from(">H", content, at + 2)
        end = at + 2 + length
        if length < 2 or end > len(content):
            raise FileError(_UNREADABLE)
        yield _kept_part(mark, content[at:end])
        at = end
        if mark == 0xDA:
            found = _NEXT_MARK.search(content, end)
            if found is None:  # cut short: what is there is pixels
                yield content[end:]
                return
            yield content[end : found.start()]
            at = found.start()


def _kept_part(mark: int, segment: bytes) -> bytes:
    """Return what of a JPEG segment belongs to the picture: no comment, of the notes only colour, of the head no thumbnail."""
    held = segment[4:18]
    if mark == 0xE0:  # its extension, JFXX, is a thumbnail and nothing else
        return b"\xff\xe0\0\x10" + segment[4:16] + b"\0\0" if held.startswith(b"JFIF\0") and len(segment) >= 18 else b""
    if mark == 0xE2:
        return segment if held.startswith(b"ICC_PROFILE\0") else b""
    if mark == 0xEE:
        return segment if held.startswith(b"Adobe") else b""
    return b"" if mark == 0xFE or 0xE0 <= mark <= 0xEF else segment


def _png(content: bytes) -> Iterator[bytes]:
    yield _PNG
    note, at = _orientation_note(content).removeprefix(b"Exif\0\0"), len(_PNG)
    while at < len(content):
        name = content[at + 4 : at + 8]
        end = at + 12 + (struct.unpack_from(">I", content, at)[0] if at + 4 <= len(content) else 0)
        if end > len(content):
            raise FileError(_UNREADABLE)
        if name in _PNG_KEPT:
            yield content[at:end]
        if name == b"IHDR" and note:
            yield struct.pack(">I", len(note)) + b"eXIf" + note + struct.pack(">I", zlib.crc32(b"eXIf" + note))
        if name == b"IEND":
            return
        at = end
    raise FileError(_UNREADABLE)


def _webp(content: bytes) -> bytes:
    parts, at = [], 12
    note = _orientation_note(content).removeprefix(b"Exif\0\0")
    while at + 8 <= len(content):
        name, length = content[at : at + 4], struct.unpack_from("<I", content, at + 4)[0]
        end = at + 8 + length + length % 2
        part = content[at:end]
        if name == b"VP8X":
            flags = (part[8] & ~0x0C) | (0x08 if note else 0)  # neither EXIF nor XMP
            part = part[:8] + bytes([flags]) + part[9:]
        if name in _WEBP_KEPT:
            parts.append(part)
        at = end
    if note and parts and parts[0].startswith(b"VP8X"):
        parts.append(b"EXIF" + struct.pack("<I", len(note)) + note + b"\0" * (len(note) % 2))
    body = b"WEBP" + b"".join(parts)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _gif(content: bytes) -> Iterator[bytes]:
    at = 13 + _colours(content[10])
    yield content[:at]
    while content[at] != 0x3B:
        start = at
        if content[at] == 0x2C:
            kept, at = True, at + 10 + _colours(content[at + 9]) + 1
        elif content[at] == 0x21:
            kept, at = content[at + 1] == 0xF9 or content[at + 3 : at + 14] == b"NETSCAPE2.0", at + 2
        else:
            raise FileError(_UNREADABLE)
        while content[at]:
            at += content[at] + 1
        at += 1
        if kept:
            yield content[start:at]
    yield b"\x3b"


def _colours(packed: int) -> int:
    """Return how many bytes a GIF's table of colours takes."""
    return int(3 * 2 ** ((packed & 7) + 1)) if packed & 0x80 else 0
