"""The tables that the page carries are those of the calculations."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

import pytest

from baulk.ground.colour import srgb_of

TOOL = runpy.run_path(str(Path(__file__).parents[2] / "tools" / "page_tables.py"))


@pytest.mark.parametrize("name", sorted(TOOL["TABLES"]))
def test_a_table_is_current(name: str) -> None:
    """What lies in web/src/parts is what the tool writes now: python tools/page_tables.py."""
    assert (TOOL["PARTS"] / name).read_text(encoding="utf-8") == TOOL["TABLES"][name]()


def test_a_chip_is_the_colour_of_its_notation() -> None:
    """On the page 10YR, value 4, third chip is 10YR 4/3, as the drawings colour it."""
    page = TOOL["chips_text"]().split("'10YR': {")[1].split("}")[0]
    row = re.search(r"'4': '([^']+)'", page)
    assert row is not None
    assert "#" + row[1].split()[2] == srgb_of("10YR 4/3") == "#735C41"


def test_a_change_of_a_chip_would_be_told() -> None:
    """The negative control: one digit changed in one chip is another text."""
    text = TOOL["chips_text"]()
    assert text.replace("735C41", "735C42") != text
