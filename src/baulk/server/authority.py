"""A site's own certificate authority, so that tablets on its network can trust its server and nobody in between reads along.

The authority vouches for addresses of private networks and local names only, and says so in its certificate: whoever steals its key
cannot pass for any place on the internet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, load_pem_private_key
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from baulk.errors import StoreError
from baulk.server.addresses import PRIVATE_NETWORKS
from baulk.store.keys import keys_beside, put_secret, read_or_make

__all__ = ["Authority"]

_YEARS, _DAYS = 5, 90


@dataclass(frozen=True)
class Authority:
    """The authority of one site: its key and its certificate, which devices install."""

    key: ec.EllipticCurvePrivateKey
    certificate: x509.Certificate

    @classmethod
    def beside(cls, site_file: Path, host: str) -> Authority:
        """Return the authority of a site, read or made beside the site file.

        Parameters
        ----------
        site_file : Path
            The site file.
        host : str
            Name of this machine: beside addresses of private networks the only name that the authority vouches for.

        Raises
        ------
        StoreError
            When it can be neither read nor made, or is damaged.
        """
        folder = keys_beside(site_file)
        try:
            held = read_or_make(folder / "authority.pem", lambda: _new(site_file.stem, host))
            key = load_pem_private_key(held, password=None)
            certificate = x509.load_pem_x509_certificate(held)
        except ValueError:
            key, certificate = None, None
        if (
            not isinstance(key, ec.EllipticCurvePrivateKey)
            or certificate is None
            or certificate.not_valid_after_utc <= datetime.now(UTC)
        ):
            raise StoreError(
                f"The authority of this site, {folder.name}/authority.pem, is damaged or has expired. Delete that file and open "
                "the site "
                "again; every device then installs the new authority."
            )
        return cls(key, certificate)

    @property
    def fingerprint(self) -> str:
        """The SHA-256 of the certificate in pairs of digits, for comparing by eye."""
        return self.certificate.fingerprint(SHA256()).hex(":").upper()

    def for_devices(self) -> bytes:
        """Return the certificate as devices install it."""
        return self.certificate.public_bytes(Encoding.DER)

    def vouch(self, addresses: Sequence[str], names: Sequence[str], target: Path) -> Path:
        """Write key and certificate of the server for these addresses and names, and return the file.

        Raises
        ------
        StoreError
            When the file cannot be written.
        """
        key, now = ec.generate_private_key(ec.SECP256R1()), datetime.now(UTC)
        own = [*(x509.IPAddress(ip_address(each)) for each in addresses), *(x509.DNSName(each) for each in names)]
        leaf = (
            _certificate(f"Baulk site server {addresses[0]}", self.certificate.subject, key, now, timedelta(days=_DAYS))
            .add_extension(x509.SubjectAlternativeName(own), critical=False)
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(self.key.public_key()), critical=False)
            .sign(self.key, SHA256())
        )
        try:
            put_secret(target, _key_as_text(key) + leaf.public_bytes(Encoding.PEM))
        except OSError as refusal:
            raise StoreError(
                f"{target.name} cannot be written in {target.parent.name} ({refusal.strerror}), so the site is not served to the "
                "network. "
                "See that the folder of the site may be written."
            ) from None
        return target


def _new(site: str, host: str) -> bytes:
    key, now = ec.generate_private_key(ec.SECP256R1()), datetime.now(UTC)
    name = f"Baulk site {site[:30]}, {now:%B %Y}"
    permitted = [*map(x509.IPAddress, PRIVATE_NETWORKS), x509.DNSName("local"), x509.DNSName(host)]
    certificate = (
        _certificate(name, None, key, now, timedelta(days=365 * _YEARS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None), critical=True)
        .add_extension(
            x509.KeyUsage(
                digital_signature=False, content_commitment=False, key_encipherment=False, data_encipherment=False,
                key_agreement=False, key_cert_sign=True, crl_sign=True, encipher_only=False, decipher_only=False,
            ),
            critical=True,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, SHA256())
    )  # fmt: skip
    return _key_as_text(key) + certificate.public_bytes(Encoding.PEM)


def _certificate(
    name: str, issuer: x509.Name | None, key: ec.EllipticCurvePrivateKey, now: datetime, lasts: timedelta
) -> x509.CertificateBuilder:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    builder = x509.CertificateBuilder().subject_name(subject).issuer_name(issuer or subject).public_key(key.public_key())
    return (
        builder.serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))  # a tablet's clock may be behind
        .not_valid_after(now + lasts)
    )


def _key_as_text(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
