"""What README and docs/commands.md tell can be typed as it stands, and answers in the shape that is told."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

from baulk.cli import main
from baulk.cli.main import COMMANDS
from baulk.cli.options import as_typed
from baulk.work.demo import DemoSites

from .conftest import Run, answer

ROOT = Path(__file__).parents[2]
MAPPING = """
[[take]]
kind = "unit"
known = "skip"
[take.columns]
number = "Trench"

[[take]]
kind = "context"
[take.columns]
number = "No"
description = "What it is"
units = "Trench"
"""


def _readme_lines() -> list[list[str]]:
    blocks = re.findall(r"```sh\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines() if line.startswith("baulk ")]
    return [shlex.split(line, comments=True)[1:] for line in lines]


def _rows() -> dict[str, tuple[str, str]]:
    """Return for each command the words of its line in the docs: how it is typed, and its JSON."""
    told: dict[str, tuple[str, str]] = {}
    for line in (ROOT / "docs" / "commands.md").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]]
        if len(cells) == 3 and cells[0].startswith("`"):
            told[cells[0].strip("`").split()[0]] = (cells[0], cells[2])
    return told


def test_the_lines_of_the_readme_run_as_written(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One after the other in an empty folder with a table of another office: each ends as a person expects."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "contexts.csv").write_text("No,What it is,Trench\n101,topsoil,1\n118,silt,1\n", encoding="utf-8")
    (tmp_path / "our-columns.toml").write_text(MAPPING, encoding="utf-8")
    lines = _readme_lines()
    assert [line[0] for line in lines] == ["new", "take", "order", "close", "report", "open"]
    for line in lines[:-1]:
        ended = run(*line)
        assert ended.exit_code == (1 if line[0] == "close" else 0), (line, ended.output)
    assert answer(run("show", "yard.gpkg", "--json"))["lengths"] == "ft"
    assert (tmp_path / "reports" / "unit-1-report.pdf").exists()


@pytest.mark.parametrize("name", COMMANDS)
def test_options_are_told_and_those_told_are_there(name: str) -> None:
    """Each option that the docs tell is one of the command's, and each that it has is told there or is common to many."""
    command = main.get_command(click.Context(main), name)
    assert command is not None
    had = {option for param in command.params for option in (*param.opts, *param.secondary_opts) if option.startswith("--")}
    told = set(re.findall(r"--[a-z-]+", _rows()[name][0]))
    assert told <= had
    assert had - told <= {"--json", "--browser", "--no-browser", "--port"}


def test_answers_have_the_shape_that_is_told(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """Every key of an answer stands in its command's line of the docs."""
    good, out = demo_sites.good, tmp_path / "out"
    asked: dict[str, list[list[object]]] = {
        "new": [["new", tmp_path / "n.gpkg", "--by", "AK"]],
        "give": [["give", good, out]],
        "show": [["show", good], ["show", good, "context"], ["show", good, "context", "101", "--history"]],
        "order": [["order", demo_sites.mistaken], ["order", good, "--why", "101", "118"]],
        "draw": [["draw", good], ["draw", good, "order", "--to", out]],
        "close": [["close", good, "1"]],
        "report": [["report", good, "1", "--to", out]],
        "backup": [["backup", good, tmp_path / "b.gpkg"]],
        "merge": [["merge", tmp_path / "b.gpkg", good]],
        "take": [["take", tmp_path / "n.gpkg", out, "--try", "--by", "AK"]],
    }
    for name, calls in asked.items():
        told = set(re.findall(r"`([a-z0-9_]+)`", _rows()[name][1]))
        for words in calls:
            if name == "take":
                (out / "site.csv").unlink()  # the new site has one
            ended = run(*words, "--json")
            assert ended.exit_code in (0, 1), ended.output
            assert set(answer(ended)) <= told, (words, set(answer(ended)) - told)


def test_a_missing_name_is_told_once(run: Run, own_demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without --by the account's name is told once on the error stream; with it, or BAULK_BY, nothing is."""
    monkeypatch.setattr("getpass.getuser", lambda: "digger")
    monkeypatch.delenv("BAULK_BY", raising=False)
    table = tmp_path / "context.csv"
    table.write_text("number\n990\n")
    said = "Signed as digger, the account's name: give --by or set BAULK_BY."
    assert run("take", own_demo, table, "--try").stderr.count(said) == 1
    assert said not in run("take", own_demo, table, "--try", "--by", "AK").stderr


def test_baulk_is_named_as_it_can_be_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the shell finds it, `baulk`; where not, its place seen from the folder one stands in."""
    program = tmp_path / ".venv" / "bin" / "baulk"
    program.parent.mkdir(parents=True)
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.argv", [str(program)])
    monkeypatch.setenv("PATH", str(tmp_path))
    assert as_typed() == ".venv/bin/baulk"
    monkeypatch.setenv("PATH", str(program.parent))
    assert as_typed() == "baulk"
