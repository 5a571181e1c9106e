"""A site served to the network of the dig: over TLS with its own authority, to devices that have joined and nobody else."""

from __future__ import annotations

import re
import socket
import ssl
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from http.client import HTTPSConnection
from ipaddress import ip_address
from pathlib import Path

import numpy as np
import pytest
from cryptography import x509
from fastapi.testclient import TestClient

from baulk.errors import InputError, StoreError
from baulk.record import View
from baulk.server import create_app
from baulk.server.addresses import host_name, private_addresses
from baulk.server.authority import Authority
from baulk.server.guard import LOOPBACK_NAMES
from baulk.server.network import Network, serving
from baulk.server.tokens import Gate
from baulk.server.welcome import as_blocks, as_svg, welcome_app
from baulk.store import open_site
from baulk.work.office import SiteOffice
from tests.server.recording import KEY, Served, served
from tests.server.test_server_guard import refused

THERE = ("192.168.7.9", 51_000)


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Served]:
    """A site that is served to a network, asked by a device of that network."""
    made = served(tmp_path / "site.gpkg", network=True, names=(*LOOPBACK_NAMES, "192.168.7.1"))
    made.client = TestClient(made.client.app, base_url="https://192.168.7.1:4321", client=THERE)
    with made.office:
        yield made


def free_port() -> int:
    """Return a port that is free, and the next one most likely too."""
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


def test_the_network_is_answered_nothing_without_a_token(site: Served) -> None:
    """Every route under /api but joining wants a token from others than this machine; the page itself and this machine do not."""
    for path in ("/api/site", "/api/units", "/api/fields", "/api/files/" + "a" * 64, "/api/drawings/site.svg", "/api/nothing"):
        refused(site.client.get(path), 401, "token_missing", "has not joined the site yet")
    assert site.client.get("/").status_code == 501  # no page is built for the test
    here = TestClient(site.client.app, base_url="http://127.0.0.1:4321", client=("127.0.0.1", 5))
    assert here.get("/api/site").is_success
    device = site.joined()
    site.client.cookies.clear()
    assert device.get("/api/site").is_success


def test_pictures_are_read_by_the_cookie_and_nothing_is_written_by_it(site: Served) -> None:
    """What joined may read without a header; a change, a pull and a file need the token itself."""
    device = site.joined()
    assert "baulk_reader" in site.client.cookies
    assert site.client.get("/api/site").is_success
    for method, path in (("POST", "/api/sync/changes"), ("POST", "/api/sync/block"), ("PUT", "/api/uploads/" + "a" * 64)):
        refused(site.client.request(method, path, json={}), 401, "token_missing")
    refused(site.client.get("/api/sync/hello"), 401, "token_missing")
    site.client.cookies.set("baulk_reader", device.token[:-3] + "abc")
    assert site.client.get("/api/site").status_code == 401
    site.client.cookies.clear()
    site.client.cookies.set("other", "a=b;=c")
    refused(site.client.get("/api/site"), 401, "token_missing")


def test_the_cookie_is_kept_from_scripts_and_other_sites(site: Served) -> None:
    """The cookie is for requests of the page alone, over TLS alone."""
    answer = site.client.post("/api/sync/join", json={"code": site.gate.code, "person": "AK", "device": "tablet"})
    said = answer.headers["set-cookie"].lower()
    assert all(part in said for part in ("httponly", "secure", "samesite=strict", "path=/api"))


def test_the_crew_sees_no_more_on_a_restricted_server(tmp_path: Path) -> None:
    """A device that joined as crew is shown as crew what a server opened for the restricted record shows whole."""
    path = tmp_path / "site.gpkg"
    open_site(path, create=True).close()
    with SiteOffice(path) as office:
        crew, whole = Gate(KEY), Gate(KEY, view=View.RESTRICTED)
        app = create_app(office.study, view=View.RESTRICTED, static=tmp_path, office=office, gate=whole, network=True)
        client = TestClient(app, base_url="http://127.0.0.1:4321", client=THERE)
        for gate, known in ((crew, 404), (whole, 200)):
            token, _ = gate.join(gate.code, "AK", "tablet")
            head = {"authorization": f"Bearer {token}"}
            assert client.get("/api/registers/burial", headers=head).status_code == known
            assert client.get("/api/sync/hello", headers=head).json()["view"] == ("crew" if known == 404 else "restricted")
            notice = client.get("/api/site", headers=head).json()["notice"]
            assert bool(notice) == (known == 200)


def test_a_site_without_a_gate_takes_nobody_in(tmp_path: Path) -> None:
    """A site that can only be read answers the network nothing, and joining says why."""
    path = tmp_path / "site.gpkg"
    open_site(path, create=True).close()
    with SiteOffice(path) as office:
        client = TestClient(
            create_app(office.study, static=tmp_path, office=office, network=True), base_url="http://localhost", client=THERE
        )
        refused(client.get("/api/site"), 401, "token_missing", "This site takes no devices in: it can only be read on the machine")
        joining = client.post("/api/sync/join", json={"code": "x", "person": "AK", "device": "tablet"})
        refused(joining, 503, "store", "This site takes no devices in: its folder cannot be written")
    alone = TestClient(create_app(office.study, static=tmp_path), base_url="http://localhost")
    joining = alone.post("/api/sync/join", json={"code": "x", "person": "AK", "device": "tablet"})
    refused(joining, 503, "store", "This site is only shown here, and takes no devices in")


def test_tls_holds_with_the_sites_authority_and_not_without(tmp_path: Path) -> None:
    """A device that installed the authority reaches the workbench; one that did not is warned by its own TLS."""
    path = tmp_path / "site.gpkg"
    made = served(path, network=True)
    port = free_port()
    authority = Authority.beside(path, host_name())
    network = Network(path, ("127.0.0.1",), host_name(), port, authority)
    with made.office, serving(made.client.app, network):
        page = urllib.request.urlopen(network.plain_address, timeout=10).read().decode()
        given = urllib.request.urlopen(network.plain_address + "baulk-site.crt", timeout=10)
        assert given.headers["content-type"] == "application/x-x509-ca-cert"
        held = given.read()
        assert authority.fingerprint in page and network.address in page and made.gate.code not in page
        trusting = ssl.create_default_context(cadata=held)
        way = HTTPSConnection("127.0.0.1", port, context=trusting, timeout=10)
        way.request("GET", "/api/site")
        assert way.getresponse().status == 200
        way.close()
        stranger = HTTPSConnection("127.0.0.1", port, context=ssl.create_default_context(), timeout=10)
        with pytest.raises(ssl.SSLCertVerificationError):
            stranger.request("GET", "/api/site")
        with pytest.raises(InputError, match=r"The site cannot be served at 127\.0\.0\.1, port"), serving(made.client.app, network):
            pass
    told = network.told(made.gate)
    assert f"{network.address}#/join/{made.gate.code}" in told and "Never" not in told and "never a café" in told


def test_the_authority_vouches_for_private_places_only(tmp_path: Path) -> None:
    """Its certificate permits private addresses and local names, its files are the owner's alone, and it is kept."""
    path = tmp_path / "site.gpkg"
    made = Authority.beside(path, "hut")
    assert Authority.beside(path, "hut").fingerprint == made.fingerprint
    limits = made.certificate.extensions.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    ranges = [each.value for each in limits.value.permitted_subtrees or () if isinstance(each, x509.IPAddress)]
    assert any(ip_address("192.168.1.5") in one for one in ranges)
    assert not any(ip_address(public) in one for one in ranges for public in ("8.8.8.8", "203.0.113.9", "2001:4860::1"))
    leaf = made.vouch(["192.168.1.5"], ["hut.local"], tmp_path / "site.keys" / "server.pem")
    for held in (leaf, tmp_path / "site.keys" / "authority.pem"):
        assert held.stat().st_mode & 0o777 == 0o600
    (tmp_path / "site.keys" / "authority.pem").write_text("broken")
    with pytest.raises(StoreError, match=r"is damaged or has expired\. Delete that file"):
        Authority.beside(path, "hut")
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(StoreError, match=r"cannot be written in file .*so the site is not served to the network"):
        made.vouch(["192.168.1.5"], [], tmp_path / "file" / "server.pem")


def test_addresses_are_private_ones() -> None:
    """An address asked for is of a private network; those found by itself are too, or it says what to do."""
    assert private_addresses("192.168.1.20") == ("192.168.1.20",)
    for bad in ("8.8.8.8", "192.0.2.2", "hut", ""):
        if bad:
            with pytest.raises(InputError, match="is no address of a private network"):
                private_addresses(bad)
    with suppress(InputError):  # a machine without a network; the next test asks what it is told
        assert all(ip_address(each).is_private and not ip_address(each).is_loopback for each in private_addresses())
    assert re.fullmatch(r"[a-z0-9-]+", host_name())


def test_a_machine_without_a_network_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without any private address it is told what to connect."""
    for finder in ("_towards", "_by_name", "_by_card"):
        monkeypatch.setattr(f"baulk.server.addresses.{finder}", lambda: iter(("127.0.0.1", "8.8.8.8", "nonsense")))
    with pytest.raises(InputError, match="This machine has no address in a private network"):
        private_addresses()


def test_the_qr_codes_say_what_they_should() -> None:
    """The blocks of the terminal, read back as light and dark, are read by a decoder of QR codes as the address."""
    cv2 = pytest.importorskip("cv2")
    text = "https://192.168.1.20:20123/#/join/ABCDEFGHJK"
    light = {"█": (1, 1), "▄": (0, 1), "▀": (1, 0), " ": (0, 0)}
    rows: list[list[int]] = []
    for line in as_blocks(text).splitlines():
        pairs = [light[mark] for mark in line]
        rows += [[pair[0] for pair in pairs], [pair[1] for pair in pairs]]
    picture = np.kron(np.array(rows, dtype=np.uint8) * 255, np.ones((8, 8), dtype=np.uint8))
    framed = np.pad(picture, 40, constant_values=255)
    assert cv2.QRCodeDetector().detectAndDecode(framed)[0] == text
    assert "aria-label" in as_svg(text, "A <title>") and "&lt;title&gt;" in as_svg(text, "A <title>")


def test_the_plain_page_tells_nothing_of_the_site(tmp_path: Path) -> None:
    """It has the certificate, the steps and the address, and no other path."""
    client = TestClient(welcome_app(Authority.beside(tmp_path / "secret-name.gpkg", "hut"), "https://192.168.1.5:20123/"))
    page = client.get("/")
    assert (
        page.is_success and "Get the certificate" in page.text and "default-src 'none'" in page.headers["content-security-policy"]
    )
    assert client.get("/api/site").status_code == 404
