"""A copy of a photo for the public: without position, camera, time, names and thumbnails; its pixels are not touched.

A thumbnail can show what was cut away or blurred, so it goes too. What stays is what is needed to show the picture: the colour
profile and which way is up.
"""

from __future__ import annotations

import io
import struct

from PIL import Image

from baulk.errors import FileError, shorten

__all__ = ["without_data"]

_ORIENTATION = 0x0112
_KEPT_CHUNKS = (b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"bKGD")
_APP0, _APP1, _APP2, _APP14, _APP15, _COMMENT, _SCAN, _END = 0xE0, 0xE1, 0xE2, 0xEE, 0xEF, 0xFE, 0xDA, 0xD9


def without_data(content: bytes, name: str = "the photo") -> bytes:
    """Return the bytes of a JPEG or PNG without what it says of place, time, camera and people.

    Parameters
    ----------
    content : bytes
        The whole file.
    name : str
        What to call it in a refusal.

    Raises
    ------
    FileError
        It is neither a JPEG nor a PNG, or its parts do not hang together.

    Notes
    -----
    JPEG: segments APP1 to APP15 and comments are left out, but APP2 with a colour profile and APP14 (the colour transform);
    an orientation other than upright is written anew, alone. Everything after the end mark is left out. PNG: chunks of text, time,
    Exif and of unknown kinds are left out.
    """
    try:
        if content.startswith(b"\xff\xd8"):
            return _jpeg(content)
        if content.startswith(b"\x89PNG\r\n\x1a\n"):
            return _png(content)
    except (struct.error, IndexError, ValueError):
        raise FileError(f"{shorten(name, 80)} is damaged: its parts do not hang together. Copy it from the camera again.") from None
    raise FileError(f"{shorten(name, 80)} is neither JPEG nor PNG. Save it as one of the two before it goes to the public.")


def _jpeg(content: bytes) -> bytes:
    out = [b"\xff\xd8", _upright(content)]
    place = 2
    while True:
        if content[place] != 0xFF:
            raise ValueError
        marker = content[place + 1]
        if marker == 0xFF:
            place += 1
            continue
        (length,) = struct.unpack_from(">H", content, place + 2)
        end = place + 2 + length
        if length < 2 or end > len(content):
            raise ValueError
        if marker == _SCAN:
            out.append(_scans(content, place))
            return b"".join(out)
        if _kept(marker, content[place + 4 : place + 16]):
            out.append(content[place:end])
        place = end


def _kept(marker: int, start: bytes) -> bool:
    if marker == _APP2:
        return start.startswith(b"ICC_PROFILE")
    return not (_APP1 <= marker <= _APP15 or marker == _COMMENT) or marker == _APP14


def _scans(content: bytes, place: int) -> bytes:
    """Return the picture itself from its first scan to the end mark; segments between scans are kept, comments among them not."""
    out, begin = [], place
    while True:
        following = content.index(b"\xff", place + 1)
        marker = content[following + 1]
        if marker == _END:
            out.append(content[begin : following + 2])
            return b"".join(out)
        if marker in (0x00, 0xFF) or 0xD0 <= marker <= 0xD7:
            place = following + (1 if marker != 0xFF else 0)
            continue
        (length,) = struct.unpack_from(">H", content, following + 2)
        if _APP0 <= marker <= _APP15 or marker == _COMMENT:
            out.append(content[begin:following])
            begin = following + 2 + length
        place = following + 1 + length


def _upright(content: bytes) -> bytes:
    """Return a segment that holds the orientation and nothing else; nothing when the picture is upright or does not say."""
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG", "MPO")) as picture:
            turned = picture.getexif().get(_ORIENTATION, 1)
    except (OSError, SyntaxError, ValueError, TypeError):
        return b""
    if turned not in range(2, 9):
        return b""
    data = b"Exif\0\0" + struct.pack(">2sHIHHHIHHI", b"MM", 42, 8, 1, _ORIENTATION, 3, 1, int(turned), 0, 0)
    return struct.pack(">BBH", 0xFF, _APP1, len(data) + 2) + data


def _png(content: bytes) -> bytes:
    out, place = [content[:8]], 8
    while True:
        length, name = struct.unpack_from(">I4s", content, place)
        end = place + 12 + length
        if end > len(content):
            raise ValueError
        if name in _KEPT_CHUNKS:
            out.append(content[place:end])
        if name == b"IEND":
            return b"".join(out)
        place = end
