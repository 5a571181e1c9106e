"""The server on this machine: loopback only, on a free port unless one is asked for."""

from __future__ import annotations

import socket
import webbrowser
from collections.abc import Callable
from contextlib import nullcontext

import uvicorn

from baulk.errors import InputError
from baulk.record import View
from baulk.server.app import create_app
from baulk.server.guard import LOOPBACK_NAMES
from baulk.server.network import Network, serving
from baulk.server.study import StudySource
from baulk.server.tokens import Gate
from baulk.work.office import SiteOffice

__all__ = ["serve"]


def serve(
    study_source: StudySource,
    *,
    view: View = View.CREW,
    port: int = 0,
    open_browser: bool = True,
    announce: Callable[[str], None] = lambda _url: None,
    office: SiteOffice | None = None,
    gate: Gate | None = None,
    network: Network | None = None,
) -> None:
    """Serve the workbench until it is interrupted.

    Parameters
    ----------
    study_source : callable
        Gives the study of the site as it stands now.
    view : View
        Who looks; see `create_app`.
    port : int
        Port to listen on; 0 takes a free one.
    open_browser : bool
        Whether to open the page in the person's browser.
    announce : callable
        Called once with the address, before the first request is answered.
    office : SiteOffice, optional
        Keeps what devices send.
    gate : Gate, optional
        Its joining code is part of the address that is opened.
    network : Network, optional
        Where it is served to the devices of a network besides.

    Raises
    ------
    InputError
        When the port is taken or not allowed.
    """
    names = (*LOOPBACK_NAMES, *(network.names if network else ()))
    app = create_app(study_source, view=view, office=office, gate=gate, names=names, network=network is not None)
    with _listener(port) as listener, serving(app, network) if network else nullcontext():
        url = f"http://127.0.0.1:{listener.getsockname()[1]}/" + (f"#/join/{gate.code}" if gate else "")
        announce(url)
        if open_browser:
            webbrowser.open(url)
        settings = uvicorn.Config(app, log_level="warning", access_log=False, server_header=False, lifespan="off")
        uvicorn.Server(settings).run(sockets=[listener])


def _listener(port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listener.bind(("127.0.0.1", port))
        listener.listen(128)
    except (OSError, OverflowError) as refusal:
        listener.close()
        reason = getattr(refusal, "strerror", None) or str(refusal)
        raise InputError(
            f"Port {port} of this machine cannot be used ({reason}). Give another port, or none so that a free one is taken."
        ) from None
    return listener
