"""Photos and other kept files, sent only when a record that is shown names them and no withheld one does.

Pictures are sent without what their files say of place, person and camera, unless the viewer may know of burials.
"""

from __future__ import annotations

from pathlib import Path

from fastapi import Response
from fastapi.responses import FileResponse

from baulk.errors import FileError
from baulk.exchange.placeless import may_tell_place, without_place
from baulk.record import Document, Drawing, Entity, Photo, SiteRecord, View
from baulk.server.problems import NoSuchFile
from baulk.server.record_view import Shown

__all__ = ["file_shown", "kept_file"]

_MARKS = (
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"GIF8", "image/gif"),
    (b"%PDF-", "application/pdf"),
)
_SANDBOX = {"content-security-policy": "default-src 'none'; sandbox", "cache-control": "private, max-age=3600"}


def kept_file(shown: Shown, sha: str) -> Response:
    """Return the answer that sends a kept file; only pictures and PDF are shown in the browser, all else is offered for saving.

    Raises
    ------
    NoSuchFile
        When no shown record names the file, a withheld one names it too, or it is not on the shelf.
    FileError
        When the place where it was taken cannot be taken out of it.
    """
    path = file_shown(shown, sha)
    head = _head_of(path)
    media = _media_of(head)
    inside = media.startswith("image/") or media == "application/pdf"
    if shown.viewer is View.RESTRICTED or not may_tell_place(head):
        how = "inline" if inside else "attachment"
        return FileResponse(path, media_type=media, filename=sha, content_disposition_type=how, headers=_SANDBOX)
    disposition = f'{"inline" if inside else "attachment"}; filename="{sha}"'
    return Response(without_place(path.read_bytes()), media_type=media, headers={**_SANDBOX, "content-disposition": disposition})


def file_shown(shown: Shown, sha: str) -> Path:
    """Return where a kept file lies that a shown record names and no withheld one.

    Raises
    ------
    NoSuchFile
        When there is none.
    """
    files = shown.study.files
    if files is None or not _is_named(shown, sha):
        raise NoSuchFile("No record that is shown here has a file of that hash. Open the file from its photo or drawing record.")
    try:
        return files.path(sha)
    except FileError as missing:
        raise NoSuchFile(str(missing)) from None


def _is_named(shown: Shown, sha: str) -> bool:
    """Tell whether a shown record names a file, and no withheld one."""
    naming = [
        entity
        for entity in _holders(shown.study.record)
        if getattr(entity, "file", None) == sha or (isinstance(entity, Drawing) and entity.picture == sha)
    ]
    return bool(naming) and not any(shown.leaves_out(entity.id) for entity in naming)


def _holders(record: SiteRecord) -> tuple[Entity, ...]:
    return (*record.all(Photo, void=True), *record.all(Drawing, void=True), *record.all(Document, void=True))


def _head_of(path: Path) -> bytes:
    with path.open("rb") as stream:
        return stream.read(16)


def _media_of(head: bytes) -> str:
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "image/webp"
    return next((media for mark, media in _MARKS if head.startswith(mark)), "application/octet-stream")
