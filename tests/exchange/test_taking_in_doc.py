"""The page on taking in is true: its example runs, and it names every key that a mapping may have."""

from __future__ import annotations

import re
from pathlib import Path

from baulk.exchange import read_table, take_in, takes_of_text
from baulk.exchange.mapping_file import MAPPING_KEYS
from baulk.record import Context, Level, Relation, SiteRecord
from tests.exchange.made import ids, record_of

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "taking-in.md").read_text(encoding="utf-8")


def block(language: str) -> str:
    """Return the first block of that language on the page."""
    found = re.search(rf"```{language}\n(.*?)```", PAGE, re.DOTALL)
    assert found is not None
    return found[1]


def test_the_worked_example_gives_what_the_page_says(tmp_path: Path) -> None:
    """Three contexts, six levels, the first at 12.30 m, and three relations."""
    table = tmp_path / "list.csv"
    table.write_text(block("csv"), encoding="utf-8")
    found = take_in(table, takes_of_text(block("toml")), SiteRecord(), new_id=ids())
    record = record_of(found.drafts)
    assert [context.kind for context in record.all(Context)] == ["deposit", "deposit", "cut"]
    levels = [draft for draft in found.drafts if draft.kind == "level"]
    assert (len(record.all(Level)), levels[0].values["level"], levels[0].entered) == (6, 12.3, "level: 20 cm below 12.5")
    pairs = [(record.label(link.later), record.label(link.earlier)) for link in record.all(Relation)]
    assert pairs == [("1", "2"), ("1", "3"), ("2", "3")]
    assert found.notes == ("list.csv, line 5: left out, as the mapping says under skip.",)
    assert read_table(table).headers == ("SU", "Typ", "Top", "Base", "Above")


def test_the_page_names_every_key() -> None:
    """Each key that a mapping may have stands in the table of keys."""
    assert [key for key in MAPPING_KEYS if f"`{key}`" not in PAGE] == []
