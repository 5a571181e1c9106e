"""Serving the site to the devices of its own network: over TLS, with a plain page beside it that brings the trust."""

from __future__ import annotations

import socket
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Thread

import uvicorn
from starlette.types import ASGIApp

from baulk.errors import InputError
from baulk.server.authority import Authority
from baulk.server.tokens import Gate
from baulk.server.welcome import as_blocks, welcome_app
from baulk.store.keys import keys_beside

__all__ = ["CAUTIONS", "Network", "serving"]

CAUTIONS = (
    "Whoever has the code can read the record and write to it, under any initials. Show it to the crew only; each start makes a "
    "new one.",
    "Use a network of your own with a password, never a café's or a client's.",
    "Devices keep their record under this very address: give this machine a fixed one in the router, and do not change the port.",
    "Backups are yours to make: baulk backup, every night, to another disk.",
)
"""What is said plainly whenever a site is served to a network."""


@dataclass(frozen=True)
class Network:
    """Where a site is served in its network.

    Parameters
    ----------
    site_file : Path
        The site file, beside which keys are kept.
    addresses : sequence of str
        Addresses of this machine.
    host : str
        Its name.
    port : int
        Port of the workbench; the plain page has the next one.
    authority : Authority
        Vouches for the server.
    """

    site_file: Path
    addresses: Sequence[str]
    host: str
    port: int
    authority: Authority

    @property
    def names(self) -> tuple[str, ...]:
        """The names under which the workbench may be asked for."""
        return (*self.addresses, self.host, f"{self.host}.local")

    @property
    def address(self) -> str:
        """Where the workbench is."""
        return f"https://{self.addresses[0]}:{self.port}/"

    @property
    def plain_address(self) -> str:
        """Where the plain page is."""
        return f"http://{self.addresses[0]}:{self.port + 1}/"

    def told(self, gate: Gate) -> str:
        """Return what stands on the server's screen."""
        join = f"{self.address}#/join/{gate.code}"
        parts = (
            f"1. Each device trusts this server once: {self.plain_address}\n{as_blocks(self.plain_address)}\n"
            f"   Compare the fingerprint there: {self.authority.fingerprint}",
            f"2. Then it joins: {join}\n{as_blocks(join)}\n   Code: {gate.code}",
            "Mind:\n" + "\n".join(f"   - {caution}" for caution in CAUTIONS),
        )
        return "\n\n".join(parts)


@contextmanager
def serving(app: ASGIApp, network: Network) -> Iterator[None]:
    """Serve an application to the network, and the plain page beside it, while inside.

    Raises
    ------
    InputError
        When a port is taken or an address is none of this machine's.
    """
    held = network.authority.vouch(
        network.addresses, (network.host, f"{network.host}.local"), keys_beside(network.site_file) / "server.pem"
    )
    plain = welcome_app(network.authority, network.address)
    with ExitStack() as stack:
        safe = [stack.enter_context(_listener(each, network.port)) for each in network.addresses]
        open_ones = [stack.enter_context(_listener(each, network.port + 1)) for each in network.addresses]
        servers = ((_server(app, held), safe), (_server(plain), open_ones))
        threads = [Thread(target=server.run, kwargs={"sockets": sockets}, daemon=True) for server, sockets in servers]
        for thread in threads:
            thread.start()
        try:
            yield
        finally:
            for server, _ in servers:
                server.should_exit = True
            for thread in threads:
                thread.join(timeout=5)


def _server(app: ASGIApp, certificate: Path | None = None) -> uvicorn.Server:
    settings = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, lifespan="off", ssl_certfile=certificate,
        ssl_keyfile=None if certificate is None else str(certificate),
    )  # fmt: skip
    return uvicorn.Server(settings)


def _listener(address: str, port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((address, port))
        listener.listen(128)
    except (OSError, OverflowError) as refusal:
        listener.close()
        reason = getattr(refusal, "strerror", None) or str(refusal)
        raise InputError(
            f"The site cannot be served at {address}, port {port} ({reason}). Close what holds that port, or give another one "
            "with --port; "
            "devices that joined under the old one then join again."
        ) from None
    return listener
