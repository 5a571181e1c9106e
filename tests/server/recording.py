"""A site that is recorded on: the office, its gate and devices that have joined, for the tests of the routes under /api/sync."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any
from zlib import crc32

import msgspec
from fastapi.testclient import TestClient
from httpx2 import Response

from baulk.record import View
from baulk.server import create_app
from baulk.server.tokens import Gate
from baulk.store import open_site
from baulk.work.office import SiteOffice
from baulk.work.pen import Pen

NOW = 1_790_000_000_000
KEY = bytes(range(32))


@dataclass
class Clock:
    """A clock that a test sets."""

    now: int = NOW

    def __call__(self) -> int:
        """Return the time."""
        return self.now


@dataclass
class Device:
    """A device that has joined, with a client and a pen of its own."""

    client: TestClient
    person: str
    name: str
    token: str
    ticks: Any = field(default_factory=lambda: count(NOW))
    draws: Any = field(default_factory=lambda: count(1))

    def __post_init__(self) -> None:
        salt = crc32(self.name.encode())
        self.pen = Pen(self.person, self.name, clock=lambda: next(self.ticks), bits=lambda _: (salt << 20) | next(self.draws))

    @property
    def head(self) -> dict[str, str]:
        """The header that says who asks."""
        return {"authorization": f"Bearer {self.token}"}

    def get(self, path: str, **query: Any) -> Response:
        """Ask for something."""
        return self.client.get(path, params=query, headers=self.head)

    def send(self, *changes: Any) -> Response:
        """Send changes, as structs or as plain JSON."""
        plain = [change if isinstance(change, dict | str | int | None) else as_json(change) for change in changes]
        return self.client.post("/api/sync/changes", json={"changes": plain}, headers=self.head)


def as_json(change: Any) -> dict[str, Any]:
    """Return a change as it travels."""
    plain: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(change))
    return plain


@dataclass
class Served:
    """A served site."""

    path: Path
    office: SiteOffice
    gate: Gate
    client: TestClient
    clock: Clock

    def joined(self, person: str = "AK", device: str = "tablet 1") -> Device:
        """Let a device join."""
        answer = self.client.post("/api/sync/join", json={"code": self.gate.code, "person": person, "device": device})
        assert answer.status_code == 200, answer.text
        return Device(self.client, person, device, answer.json()["token"])


def served(path: Path, *, view: View = View.CREW, **options: Any) -> Served:
    """Return a site that is served; a new one is made when there is none."""
    if not path.exists():
        open_site(path, create=True).close()
    clock = Clock()
    office = SiteOffice(path, clock=clock)
    gate = Gate(KEY, view=view, clock=clock)
    app = create_app(office.study, view=view, static=path.parent / "none", office=office, gate=gate, **options)
    return Served(path, office, gate, TestClient(app, base_url="http://127.0.0.1:4321"), clock)
