"""An office answers while numbers are handed out, changes come in and the record is read, all at once."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from baulk.record import Site
from baulk.store import open_site
from baulk.work.office import SiteOffice
from baulk.work.pen import Pen


def test_numbers_and_the_record_never_wait_for_each_other_for_good(tmp_path: Path) -> None:
    """Blocks are handed out while others read the record anew: whoever holds one lock never waits for the one before it."""
    path = tmp_path / "site.gpkg"
    with open_site(path, create=True) as store:
        store.append(
            [Pen("AK", "office", clock=lambda: 1_700_000_000_000).create(Site.KIND, {"code": "OTW26", "length_unit": "m"})]
        )
    with SiteOffice(path) as office:
        numbers: list[int] = []

        def hand_out() -> None:
            numbers.extend(office.hand_out("find", 2, "AK").first or 0 for _ in range(6))

        def read() -> None:
            for _ in range(60):
                office._study = None  # as after a change by another program: the next reader makes it anew
                office.study()

        threads = [threading.Thread(target=work, daemon=True) for work in (hand_out, read, read)]
        finished(threads)
    assert sorted(numbers) == list(range(numbers[0], numbers[0] + 12, 2))


def finished(threads: list[threading.Thread], wait: Callable[[threading.Thread], None] = lambda thread: thread.join(60)) -> None:
    """Start threads and fail when one does not come to its end."""
    for thread in threads:
        thread.start()
    for thread in threads:
        wait(thread)
    assert not any(thread.is_alive() for thread in threads)
