"""Every store that the conformance suite runs against."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from baulk.store import GeoPackageStore, MemoryStore, open_site

AnyStore = GeoPackageStore | MemoryStore


@pytest.fixture(params=["memory", "site file"])
def new_store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], AnyStore]]:
    """Return what makes a further empty store of one sort."""
    made: list[AnyStore] = []

    def make() -> AnyStore:
        made.append(MemoryStore() if request.param == "memory" else open_site(tmp_path / f"site {len(made)}.gpkg", create=True))
        return made[-1]

    yield make
    for store in made:
        store.close()


@pytest.fixture
def store(new_store: Callable[[], AnyStore]) -> AnyStore:
    """Return an empty store."""
    return new_store()
