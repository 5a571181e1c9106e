"""Serve a site in children that are killed, so that Python and the server are loaded once.

Each line of input is a site file as JSON, with whether the server is to lie; each line of output the child's process id.
"""

from __future__ import annotations

import json
import os
import socket
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import uvicorn

from baulk.server import create_app
from baulk.server.tokens import Gate
from baulk.work.office import SiteOffice
from baulk.work.push import Kept

KEY = bytes(range(32))


class LyingOffice(SiteOffice):
    """Says that changes are kept before they are: what the check has to catch."""

    waiting: Sequence[Any] = ()

    def push(self, changes: Sequence[Any]) -> Kept:
        """Keep what was sent the time before, and tell of what is sent now."""
        before, self.waiting = self.waiting, changes
        kept = super().push(before)
        return Kept(kept.revision, tuple(change["id"] for change in changes))


def serve(path: Path, listener: socket.socket, *, lies: bool) -> None:
    """Serve a site until killed."""
    office = (LyingOffice if lies else SiteOffice)(path)
    app = create_app(office.study, static=path.parent / "none", office=office, gate=Gate(KEY))
    uvicorn.Server(uvicorn.Config(app, log_level="critical", access_log=False, lifespan="off")).run(sockets=[listener])


def main() -> None:
    """Serve one site after another until the input ends; a child that was killed is put away before the next."""
    for line in sys.stdin:
        asked = json.loads(line)
        listener = socket.socket(fileno=os.dup(int(sys.argv[1])))
        child = os.fork()
        if child == 0:
            try:
                serve(Path(asked["path"]), listener, lies=asked["lies"])
            finally:
                os._exit(1)
        listener.close()
        sys.stdout.write(f"{child}\n")
        sys.stdout.flush()
        os.waitpid(child, 0)
        sys.stdout.write("gone\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
