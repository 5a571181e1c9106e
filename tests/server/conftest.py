"""The small site served to a test client."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from baulk.server import create_app
from baulk.store import FileShelf
from baulk.work.study import Study
from tests.server.tiny_site import PICTURE, SECRET_PICTURE, tiny_record


@pytest.fixture
def shelf(tmp_path: Path) -> FileShelf:
    """A shelf with one open and one sensitive picture."""
    shelf = FileShelf(tmp_path / "site.files")
    shelf.keep(PICTURE)
    shelf.keep(SECRET_PICTURE)
    return shelf


@pytest.fixture
def client(shelf: FileShelf, tmp_path: Path) -> TestClient:
    """A client of the small site; no page is built for it."""
    study = Study(tiny_record(), shelf)
    return TestClient(create_app(lambda: study, static=tmp_path / "none"), base_url="http://127.0.0.1:4321")
