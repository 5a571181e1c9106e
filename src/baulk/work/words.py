"""Finding records by what is written in them, quick when it is asked again of a record that has hardly changed."""

from __future__ import annotations

from collections.abc import Sequence
from threading import Lock
from typing import TypeVar

from baulk.record import Entity

__all__ = ["WrittenWords"]

E = TypeVar("E", bound=Entity)


class WrittenWords:
    """The words of records, kept once they have been read; any thread may ask.

    Notes
    -----
    Records never change, so the words of one are good as long as it is the same object. Of 200,000 contexts they take some 60 MB.
    """

    def __init__(self) -> None:
        self._words: dict[str, tuple[Entity, str]] = {}
        self._lock = Lock()

    def found_in(self, entities: Sequence[E], sought: str) -> list[E]:
        """Return the records in whose words, numbers and terms `sought` stands, whatever its capitals; ids are not looked at."""
        wanted = sought.casefold()
        with self._lock:
            return [entity for entity in entities if wanted in self._words_of(entity)]

    def _words_of(self, entity: Entity) -> str:
        held = self._words.get(entity.id)
        if held is None or held[0] is not entity:
            written = (value for name, value in entity.__dict__.items() if value.__class__ is str and name != "id")
            held = self._words[entity.id] = (entity, "\n".join(written).casefold())
        return held[1]
