"""The solids of a unit as the page is given them: closed, in whole millimetres, nothing withheld in them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient

from baulk.ground.solid import Solid, open_edges
from baulk.record import View
from baulk.server import create_app
from baulk.work.study import Study
from tests.work.test_work_solids import burial, site


def client(tmp_path: Path, view: View = View.CREW) -> TestClient:
    """A client of two layers with a pit and a possible grave."""
    study = Study(site(*burial()))
    return TestClient(create_app(lambda: study, view=view, static=tmp_path / "none"), base_url="http://127.0.0.1:4321")


def test_solids_come_closed_in_whole_millimetres(tmp_path: Path) -> None:
    """Each solid that is sent is closed and has the litres told, to the rounding; the lowest comes first."""
    answer = client(tmp_path).get("/api/shape/1").json()
    assert [one["link"]["label"] for one in answer["solids"]] == ["2", "1", "4"]
    assert [one["rank"] for one in answer["solids"]] == [0, 1, 2]
    for one in answer["solids"]:
        vertices = np.array(one["vertices"]).reshape(-1, 3) / 1000
        solid = Solid(vertices, np.array(one["triangles"]).reshape(-1, 3), 0)
        assert open_edges(solid) == 0
        assert 1000 * solid.volume == pytest.approx(one["litres"], rel=0.01)
    assert answer["solids"][0]["link"]["colour"].startswith("#")
    assert answer["origin"] == [112.0, 204.0, 29.0]


def test_nothing_withheld_is_sent(tmp_path: Path) -> None:
    """The possible grave is not among the solids, the reasons or the words; only its count is; who may know is sent it."""
    text = client(tmp_path).get("/api/shape/1").text
    assert '"c9"' not in text
    assert '"c10"' not in text
    assert "cut by 9" not in text
    assert client(tmp_path).get("/api/shape/1").json()["withheld"] == 2
    assert '"c10"' in client(tmp_path, View.RESTRICTED).get("/api/shape/1").text


def test_an_unknown_unit_is_answered_in_words(tmp_path: Path) -> None:
    """A unit that the site does not have is answered with 404 and the sentence."""
    answer = client(tmp_path).get("/api/shape/99")
    assert answer.status_code == 404
    assert "There is no" in answer.json()["message"]


def test_the_block_is_among_the_drawings(tmp_path: Path) -> None:
    """The block drawing is offered by name, without what is withheld."""
    answer = client(tmp_path).get("/api/drawings/block-1.svg")
    assert answer.status_code == 200
    assert 'data-record="c1"' in answer.text
    assert 'data-record="c10"' not in answer.text
    assert "2 restricted records not drawn" in answer.text
