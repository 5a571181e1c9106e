"""Serving a site: what `baulk open` and `baulk demo --open` share."""

from __future__ import annotations

import socket
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from threading import Thread

import click

from baulk.errors import InputError, StoreError
from baulk.record import View
from baulk.server.addresses import host_name, private_addresses
from baulk.server.authority import Authority
from baulk.server.network import Network
from baulk.server.serve import serve
from baulk.server.tokens import Gate
from baulk.work.office import SiteOffice

__all__ = ["Serving", "own_port", "serve_site"]

_FIRST_PORT, _PORTS = 20_000, 12_000
"""Below those that systems give out for a while to anyone."""


@dataclass(frozen=True, slots=True)
class Serving:
    """How a site is served.

    Parameters
    ----------
    view : View
        Who looks.
    port : int
        Port; 0 for the site's own.
    browser : bool
        Whether to open the page.
    days : int
        For how many days a device that joins may send.
    network : bool
        Whether devices of the network may come.
    address : str
        This machine's address in that network; all private ones when empty.
    """

    view: View = View.CREW
    port: int = 0
    browser: bool = True
    days: int = 30
    network: bool = False
    address: str = ""


def serve_site(site: Path, how: Serving) -> None:
    """Serve the workbench of a site until it is interrupted.

    Raises
    ------
    InputError
        When it is to be served to a network and cannot be.
    """
    with SiteOffice(site) as office:
        gate = _gate(office, how)
        if gate is not None:
            office.arriving.clear_forgotten()
        port = how.port or (own_port(gate) if gate else 0)
        network = _network(site, gate, how, port) if how.network else None
        Thread(target=office.warm, daemon=True).start()  # the page comes at once; the first answer waits for a large site
        serve(
            office.study,
            view=how.view,
            port=how.port or _free(port),
            open_browser=how.browser,
            announce=lambda url: _announce(url, network, gate),
            office=office,
            gate=gate,
            network=network,
        )


def _announce(url: str, network: Network | None, gate: Gate | None) -> None:
    click.echo(f"Workbench: {url}  (stop with Ctrl+C)")
    if network is not None and gate is not None:
        click.echo(f"\n{network.told(gate)}")


def own_port(gate: Gate) -> int:
    """Return the port of a site: the same at every start, since a browser keeps what it recorded under the very address."""
    return _FIRST_PORT + int.from_bytes(sha256(gate.mark).digest()[:4]) % _PORTS


def _free(port: int) -> int:
    """Return the port, or 0 for any when it is taken, as by the same site served twice."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind(("127.0.0.1", port))
        except OSError:
            click.echo(
                f"Port {port}, this site's own, is taken, so another one is used: what was recorded in the browser under the old "
                "address is "
                "found there again. Close what holds the port, or send what waits first.",
                err=True,
            )
            return 0
    return port


def _network(site: Path, gate: Gate | None, how: Serving, port: int) -> Network:
    if gate is None:
        raise InputError(
            "A site that can only be read is not served to a network. Copy it to a folder that may be written, and open it there."
        )
    host = host_name()
    return Network(site, private_addresses(how.address), host, port, Authority.beside(site, host))


def _gate(office: SiteOffice, how: Serving) -> Gate | None:
    """Return the gate by which devices join; None, and say why, when the site can only be read here."""
    why = office.why_not
    if not why:
        try:
            return Gate.beside(office.path, view=how.view, days=how.days)
        except StoreError as refusal:
            why = str(refusal)
    click.echo(f"Opened for reading only: nothing can be recorded here. {why}", err=True)
    return None
