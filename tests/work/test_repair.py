"""A record with three errors of different kinds is repaired by doing what the commands say, and nothing else."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from baulk.cli import main
from baulk.record import Context, Level, Relation
from baulk.store import Store, open_site
from baulk.work.demo import DemoSites
from baulk.work.pen import Pen

UNIT = "1"
DIFFERS = re.compile(
    r"a level on the (?P<surface>\w+) of (?P<context>\S+) is (?P<level>[\d.]+) in the record and (?P<plan>[\d.]+) on the plan"
)


def ask(*words: object) -> tuple[int, Any]:
    """Run a command with --json; return its exit code and its answer."""
    result = CliRunner().invoke(main, [*map(str, words), "--json"], obj="json", catch_exceptions=False)
    return result.exit_code, json.loads(result.stdout)


def outcomes(site: Path) -> dict[str, str]:
    """Return what the closing check answers, rule by rule."""
    return {found["rule"]: found["outcome"] for found in ask("close", site, UNIT)[1]["findings"]}


@pytest.fixture(scope="module")
def good(demo_sites: DemoSites, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the site as it should be."""
    return Path(shutil.copytree(demo_sites.good.parent, tmp_path_factory.mktemp("demo") / "sites")) / demo_sites.good.name


def plant(site: Path) -> None:
    """Put in a loop, leave out a relation that the plan gives away, and exchange two digits of a level, on the plan as well."""
    with open_site(site) as store:
        pen, record = Pen("XX", "tablet"), store.record()
        ids = {context.number: context.id for context in record.all(Context)}
        loop = {"later": ids["119"], "earlier": ids["102"], "how": "overlies", "sheet": "both sheets", "certainty": "doubtful"}
        (missed,) = [one for one in record.pointing_at(Relation, "later", ids["107"]) if one.earlier == ids["106"]]
        (level,) = [one for one in record.pointing_at(Level, "context", ids["108"]) if one.level == 29.372]
        store.append(
            [
                pen.create("relation", {**loop, "where_seen": "plan", "basis": "cut a slot", "settled_by": "none"}),
                pen.write(store, missed.id, "void", "struck out by mistake"),
                pen.write(store, level.id, "level", 29.732),
                pen.write(store, level.id, "on_plan", 29.732),
            ]
        )


class Follower:
    """Does what the answers name, and knows nothing of what was planted."""

    def __init__(self, site: Path) -> None:
        self.site, self.pen = site, Pen("RM", "laptop")
        self.did: list[tuple[str, str, str | None]] = []

    def open_loops(self) -> None:
        """Void the relations that `order --doubt` says to doubt, until it says there is no loop."""
        code, answer = ask("order", self.site, "--doubt")
        while code:
            with open_site(self.site) as store:
                for loop in answer["loops"]:
                    assert loop["exact"]
                    for suspect in loop["doubt"]:
                        for relation in suspect["relations"]:
                            self.did.append(("doubted", suspect["later"], suspect["earlier"]))
                            store.append([self.pen.write(store, relation, "void", f"closes the loop {suspect['cycle']}")])
            code, answer = ask("order", self.site, "--doubt")

    def enter_missed(self) -> None:
        """Write the mend of each suspicion of `order --missed`, until it names none."""
        code, answer = ask("order", self.site, "--missed")
        while code:
            with open_site(self.site) as store:
                for one in answer["missed"]:
                    assert one["mend"] is not None, one["evidence"]
                    self.did.append((one["what"], one["later"], one["earlier"]))
                    store.append(list(self.mend(store, one)))
            code, answer = ask("order", self.site, "--missed")

    def mend(self, store: Store, one: dict[str, Any]) -> Iterator[Any]:
        """Yield the changes that one suspicion names."""
        mend, record = one["mend"], store.record()
        if mend["record"] is not None:
            yield self.pen.write(store, mend["record"], mend["field"], mend["value"], why=one["evidence"])
        else:
            pair = {side: record.numbered(Context, one[side]).id for side in ("later", "earlier")}
            seen = {"sheet": "both sheets", "where_seen": "plan", "certainty": "firm"}
            assert "both sheets" in one["settle"]
            yield self.pen.create("relation", {**pair, mend["field"]: mend["value"], **seen})

    def agree_plans(self) -> None:
        """Where `close` says that a level and its plan differ (B09), copy the record's value to the plan."""
        for found in ask("close", self.site, UNIT)[1]["findings"]:
            for detail in found["details"] if found["rule"] == "B09" else ():
                said = DIFFERS.fullmatch(detail["says"])
                if detail["outcome"] == "fail" and said:
                    self.copy_to_plan(said["surface"], said["context"], float(said["level"]), float(said["plan"]))

    def copy_to_plan(self, surface: str, number: str, level: float, plan: float) -> None:
        """Write one level of the record on its plan."""
        with open_site(self.site) as store:
            record = store.record()
            context = record.numbered(Context, number)
            for one in record.pointing_at(Level, "context", context.id):
                if (one.surface, one.level, one.on_plan) == (surface, level, plan):
                    self.did.append(("plan", number, None))
                    store.append([self.pen.write(store, one.id, "on_plan", one.level)])


def test_three_errors_are_repaired_by_following_what_is_said(good: Path, tmp_path: Path) -> None:
    """Loop, missed relation and exchanged digits: three commands lead back to a site on which every rule answers as before."""
    clean = outcomes(good)
    site = Path(shutil.copy(good, tmp_path / "spoiled.gpkg"))
    plant(site)
    spoiled = outcomes(site)
    assert {rule for rule, outcome in spoiled.items() if outcome != clean[rule]} >= {"B07", "B13"}
    assert ask("order", site)[0] == 1
    follower = Follower(site)
    follower.open_loops()
    follower.enter_missed()
    follower.agree_plans()
    assert follower.did == [
        ("doubted", "119", "102"),
        ("missed relation", "107", "106"),
        ("contradicted by levels", "102", "108"),
        ("plan", "108", None),
    ]
    assert ask("order", site)[0] == 0
    assert ask("order", site, "--doubt") == (0, {"sound": True, "loops": [], "contradictions": []})
    assert ask("order", site, "--missed") == (0, {"missed": []})
    assert outcomes(site) == clean
    with open_site(site, read_only=True) as store:
        levels = {level.level for level in store.record().all(Level)}
    assert 29.372 in levels
    assert 29.732 not in levels


def test_the_site_before_the_errors_needs_nothing(good: Path) -> None:
    """The control: on the good site the same follower finds nothing to do."""
    follower = Follower(good)
    follower.open_loops()
    follower.enter_missed()
    follower.agree_plans()
    assert follower.did == []
