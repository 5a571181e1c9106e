"""Records are found by what is written in them, and never by what an earlier version of them said."""

from __future__ import annotations

from baulk.record import Context
from baulk.work.words import WrittenWords


def test_words_are_found_whatever_their_capitals() -> None:
    """Words, numbers and terms count; ids and figures do not; a record that changed is found by its new words only."""
    words = WrittenWords()
    first, second = Context(id="abc", number="101", title="Crown glass dump", phase=7), Context(id="def", number="102", kind="cut")
    assert words.found_in([first, second], "CROWN") == [first]
    assert words.found_in([first, second], "102") == [second]
    assert words.found_in([first, second], "abc") == words.found_in([first, second], "7") == []
    changed = first.model_copy(update={"title": "ash"})
    assert words.found_in([changed], "crown") == []
    assert words.found_in([changed], "ash") == [changed]
    assert words.found_in([first], "crown") == [first]
