"""The plain page by which a device of the site's network comes to trust the site server. It shows nothing of the site."""

from __future__ import annotations

from html import escape

import segno
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from baulk.server.authority import Authority

__all__ = ["as_blocks", "as_svg", "welcome_app"]

_STEPS = (
    (
        "iPad, iPhone",
        "Tap the button and allow it. Settings, General, VPN and Device Management: install the profile. Then Settings, General, "
        "About, Certificate Trust Settings: switch it on.",
    ),
    (
        "Android",
        "Tap the button and keep the file. Settings, Security, More security settings, Install a certificate, CA certificate: "
        "choose the file.",
    ),
    ("Laptop", "Take the file into the browser's or the system's certificates, as an authority that is trusted for websites."),
)
"""How a certificate is installed, from memory: the words on a device differ from version to version."""

_LOOK = (
    "body{font:1.15rem/1.5 sans-serif;max-width:40rem;margin:1rem auto;padding:0 1rem;background:#fff;color:#111}"
    "a.do{display:inline-block;padding:.8rem 1.2rem;background:#143d2b;color:#fff;border-radius:.4rem;text-decoration:none}"
    "code{word-break:break-all}dt{font-weight:bold;margin-top:.6rem}svg{max-width:16rem;height:auto}"
)


def as_blocks(text: str) -> str:
    """Return a QR code drawn in half blocks, for a terminal."""
    rows = [[bool(mark) for mark in row] for row in segno.make(text, error="m", micro=False).matrix_iter(border=2)]
    rows += [[False] * len(rows[0])] * (len(rows) % 2)
    blocks = {(False, False): "█", (True, False): "▄", (False, True): "▀", (True, True): " "}  # a dark screen: light is drawn
    return "\n".join("".join(blocks[pair] for pair in zip(*rows[at : at + 2], strict=True)) for at in range(0, len(rows), 2))


def as_svg(text: str, title: str) -> str:
    """Return a QR code as SVG, black on white, with a title for who cannot see it."""
    drawn = segno.make(text, error="m", micro=False).svg_inline(scale=6, border=4, dark="#000", light="#fff", omitsize=True)
    return f'<div role="img" aria-label="{escape(title)}">{drawn}</div>'


def welcome_app(authority: Authority, address: str) -> Starlette:
    """Return the application of the plain page.

    Parameters
    ----------
    authority : Authority
        Whose certificate is given out.
    address : str
        Where the workbench is, over TLS. The joining code is on the server's screen only: this page can be read by all in between.
    """

    def page(_request: Request) -> HTMLResponse:
        return HTMLResponse(_page(authority, address), headers=_HEADERS)

    def certificate(_request: Request) -> Response:
        how = {"content-disposition": 'attachment; filename="baulk-site.crt"', **_HEADERS}
        return Response(authority.for_devices(), media_type="application/x-x509-ca-cert", headers=how)

    return Starlette(routes=[Route("/", page), Route("/baulk-site.crt", certificate)])


_HEADERS = {
    "content-security-policy": "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "cache-control": "no-store",
}


def _page(authority: Authority, address: str) -> str:
    steps = "".join(f"<dt>{escape(what)}</dt><dd>{escape(how)}</dd>" for what, how in _STEPS)
    return (
        f"<!doctype html><html lang='en'><meta charset='utf-8'><meta name='viewport' content='width=device-width'>"
        f"<title>Trust this site server</title><style>{_LOOK}</style><h1>Trust this site server</h1>"
        "<p>Once for each device. Your device then knows this server, and nobody on the network can read along.</p>"
        "<p><a class='do' href='/baulk-site.crt'>Get the certificate</a></p>"
        f"<dl>{steps}</dl>"
        "<p>Compare before you trust it. On the server's screen stands the same:</p>"
        f"<p><code>{authority.fingerprint}</code></p>"
        "<p>It is good for addresses of private networks only. Take it off the device when the dig is over.</p>"
        f"<h2>Then open the workbench</h2><p><a href='{escape(address)}'>{escape(address)}</a></p>"
        f"{as_svg(address, 'QR code of the address of the workbench')}"
        "<p>Join with the code on the server's screen.</p></html>"
    )
