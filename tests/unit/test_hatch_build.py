"""The build of the workbench: done again only when a source is newer, and a failure is told with the way out."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

pytest.importorskip("hatchling", reason="the build group is not installed")

import hatch_build


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one source of the page, in place of the real one."""
    web, static = tmp_path / "web", tmp_path / "static"
    (web / "src").mkdir(parents=True)
    (web / "src" / "main.ts").write_text("1", encoding="utf-8")
    (web / "package-lock.json").write_text("{}", encoding="utf-8")
    monkeypatch.setattr(hatch_build, "WEB", web)
    monkeypatch.setattr(hatch_build, "STATIC", static)
    return tmp_path


def built(copy: Path, *, seconds_later: float) -> None:
    """Put a built page beside the sources, newer than the newest source by so many seconds."""
    (copy / "static").mkdir(exist_ok=True)
    page = copy / "static" / "index.html"
    page.write_text("built", encoding="utf-8")
    newest = max(source.stat().st_mtime for source in hatch_build.web_sources())
    os.utime(page, (newest + seconds_later, newest + seconds_later))


def test_it_is_built_when_missing_or_older_than_a_source(copy: Path) -> None:
    """A page that is missing or older than any source is not current; a newer one is."""
    assert not hatch_build.is_current()
    built(copy, seconds_later=-5)
    assert not hatch_build.is_current()
    built(copy, seconds_later=5)
    assert hatch_build.is_current()


def test_a_failed_build_keeps_the_old_page_and_tells_the_way_out(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When Node's program fails, the page that stands there stays and the message names the step and BAULK_NO_WEB."""
    built(copy, seconds_later=-5)
    (copy / "web" / "package-lock.json").write_text("this is no lock", encoding="utf-8")
    monkeypatch.setenv("npm_config_offline", "true")
    with pytest.raises(hatch_build.WebBuildFault, match=r"was not built\. “npm ci .*” in web/ ended with code \d+.*BAULK_NO_WEB=1"):
        hatch_build.build_workbench()
    assert (copy / "static" / "index.html").read_text(encoding="utf-8") == "built"


def test_the_lock_names_no_address() -> None:
    """The lock of the page's parts has no download address: each registry's own client finds them."""
    text = (Path(hatch_build.__file__).parent / "web" / "package-lock.json").read_text(encoding="utf-8")
    assert '"integrity"' in text
    assert '"resolved"' not in text
