"""A hundred thousand contexts and three hundred thousand relations are taken in seconds."""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest

from baulk.exchange import drafts, read_table
from baulk.record import SiteRecord
from tests.exchange.made import ids


@pytest.mark.slow
def test_a_large_site_is_taken_in_seconds(tmp_path: Path) -> None:
    """File to drafts in less than 30 s of processor time (measured: about 5 s on two cores); a quadratic step would take hours."""
    chance = random.Random(1)
    size = 100_000
    contexts = tmp_path / "contexts.csv"
    contexts.write_text(
        "number,kind,description,colour_moist\n" + "".join(f"{n},deposit,layer {n},10YR 4/3\n" for n in range(size))
    )
    relations = tmp_path / "relations.csv"
    pairs = ((chance.randrange(size - 1), chance.randrange(1, 50)) for _ in range(3 * size))
    relations.write_text(
        "later,earlier,how,certainty\n" + "".join(f"{later},{min(later + step, size - 1)},overlies,firm\n" for later, step in pairs)
    )
    new_id, begun = ids(), time.process_time()
    made = drafts(read_table(contexts), "context", SiteRecord(), new_id=new_id)
    links = drafts(read_table(relations), "relation", SiteRecord(), new_id=new_id, earlier=made.drafts)
    assert (len(made.drafts), len(links.drafts)) == (size, 3 * size)
    assert time.process_time() - begun < 30
