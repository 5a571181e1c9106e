"""`baulk forms` prints sheets and keeps their numbers."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from baulk.cli import main
from baulk.record import NumberBlock
from baulk.store import open_site
from baulk.work.pen import Pen


def test_forms_are_printed_with_numbers_of_their_own(tmp_path: Path) -> None:
    """The command writes a PDF, says which numbers are on it, and the site holds them as handed out."""
    site, out = tmp_path / "site.gpkg", tmp_path / "forms.pdf"
    with open_site(site, create=True) as store:
        pen = Pen("AK", "laptop")
        store.append([pen.create("unit", {"number": "3"}), pen.create("context", {"number": "7"})])
    asked = ["forms", str(site), "--unit", "3", "--out", str(out), "--by", "AK", "--context", "cut", "2"]
    told = CliRunner().invoke(main, [*asked, "--json"])
    answer = json.loads(told.stdout)
    assert answer["contexts"] == ["8", "9"] and answer["for"] == "AK on paper" and answer["finds"][0] == "1"
    assert out.read_bytes().startswith(b"%PDF-")
    assert "contexts 10 to 11, for AK on paper" in CliRunner().invoke(main, asked).stdout
    with open_site(site, read_only=True) as store:
        assert [(one.first, one.last) for one in store.record().all(NumberBlock) if one.series == "context"] == [(8, 9), (10, 11)]


def test_a_folder_in_the_way_is_told(tmp_path: Path) -> None:
    """A place that cannot be written is told in words."""
    site = tmp_path / "site.gpkg"
    with open_site(site, create=True) as store:
        store.append([Pen("AK", "laptop").create("unit", {"number": "3"})])
    told = CliRunner().invoke(main, ["forms", str(site), "--unit", "3", "--out", str(tmp_path / "no" / "forms.pdf"), "--by", "AK"])
    assert told.exit_code == 4 and "forms.pdf cannot be written" in told.output
