"""`baulk shape` on the demo."""

from __future__ import annotations

import pytest

from baulk.work.demo import DemoSites

from .conftest import Run, answer


def test_shape_tells_volumes_walls_and_backfill(run: Run, demo_sites: DemoSites) -> None:
    """The whole-unit layers hold their area times their thickness, errors add up, buckets agree, and the spoil's range is told."""
    found = answer(run("shape", demo_sites.good, "1", "--json"))
    layers = {one["context"]: one for one in found["contexts"]}
    assert layers["101"]["litres"] == pytest.approx(1000 * 4.0 * layers["101"]["mean_thickness_m"], rel=1e-6)
    assert 0.09 < layers["101"]["mean_thickness_m"] < 0.12
    parts = sum(one**2 for one in layers["101"]["error_from"].values())
    assert parts == pytest.approx(layers["101"]["standard_error_litres"] ** 2)
    assert layers["101"]["buckets"]["agrees"] is True
    assert layers["105"]["room"] is True
    low, high = found["backfill"]["hole_m3"]
    assert low < found["hole_m3"] < high
    assert "from memory, low confidence" in found["backfill"]["source"]
    assert {face["face"]: face["wall"] for face in found["walls"]} == {"north": "W1", "west": "W2", "south": None, "east": None}
    assert any("the base of 108" in words for words in found["crossings"])


def test_burials_are_withheld_unless_asked_for(run: Run, demo_sites: DemoSites) -> None:
    """Possible graves are in no line of the answer, and are there when asked for."""
    shown = {one["context"] for one in answer(run("shape", demo_sites.good, "1", "--json"))["contexts"]}
    told = {one["context"] for one in answer(run("shape", demo_sites.good, "1", "--restricted", "--json"))["contexts"]}
    assert told - shown == {"114", "115", "116", "117"}


def test_words_say_what_is_missing_and_what_to_bring(run: Run, demo_sites: DemoSites) -> None:
    """The words name the sum, the spoil and the drawn walls; an unknown unit is refused with exit code 3."""
    said = run("shape", demo_sites.good, "1", "--walls", "--kept", "0.2", "--soil", "clay")
    assert said.exit_code == 0
    assert said.stdout.startswith("Unit 1: dug 3.")
    assert "(clay)" in said.stdout and "bring" in said.stdout
    assert "North face, wall W1:" in said.stdout
    refused = run("shape", demo_sites.good, "9")
    assert refused.exit_code == 3
    assert "There is no unit “9”" in refused.stderr
