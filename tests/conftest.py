"""For every test: the invented example built once, and properties that a slow, busy machine does not fail."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings

from baulk.work.demo import DemoSites, build_demo

settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")


@pytest.fixture(scope="session")
def demo_sites(tmp_path_factory: pytest.TempPathFactory) -> DemoSites:
    """Both demo sites, not to be written to."""
    return build_demo(tmp_path_factory.mktemp("demo"))
