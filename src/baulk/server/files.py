"""Photos and other kept files, sent only when a record that is shown names them."""

from __future__ import annotations

from pathlib import Path

from fastapi.responses import FileResponse

from baulk.errors import FileError
from baulk.record import Document, Drawing, Photo
from baulk.server.problems import NoSuchFile
from baulk.server.record_view import Shown

__all__ = ["kept_file"]

_MARKS = (
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"GIF8", "image/gif"),
    (b"%PDF-", "application/pdf"),
)
_SANDBOX = {"content-security-policy": "default-src 'none'; sandbox", "cache-control": "private, max-age=3600"}


def kept_file(shown: Shown, sha: str) -> FileResponse:
    """Return the answer that sends a kept file; only pictures and PDF are shown in the browser, all else is offered for saving.

    Raises
    ------
    NoSuchFile
        When no shown record names the file, or it is not on the shelf.
    """
    files = shown.study.files
    if files is None or not _is_named(shown, sha):
        raise NoSuchFile("No record that is shown here has a file of that hash. Open the file from its photo or drawing record.")
    try:
        path = files.path(sha)
    except FileError as missing:
        raise NoSuchFile(str(missing)) from None
    media = _media_of(path)
    inside = media.startswith("image/") or media == "application/pdf"
    return FileResponse(
        path, media_type=media, filename=sha, content_disposition_type="inline" if inside else "attachment", headers=_SANDBOX
    )


def _is_named(shown: Shown, sha: str) -> bool:
    holders = [*shown.record.all(Photo, void=True), *shown.record.all(Drawing, void=True), *shown.record.all(Document, void=True)]
    return any(getattr(holder, "file", None) == sha for holder in shown.keeps(holders))


def _media_of(path: Path) -> str:
    with path.open("rb") as stream:
        head = stream.read(16)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "image/webp"
    return next((media for mark, media in _MARKS if head.startswith(mark)), "application/octet-stream")
