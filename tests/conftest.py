"""The invented example, built once for every test that only reads it."""

from __future__ import annotations

import pytest

from baulk.work.demo import DemoSites, build_demo


@pytest.fixture(scope="session")
def demo_sites(tmp_path_factory: pytest.TempPathFactory) -> DemoSites:
    """Both demo sites, not to be written to."""
    return build_demo(tmp_path_factory.mktemp("demo"))
