"""Under which addresses of a private network this machine can be reached."""

from __future__ import annotations

import socket
import struct
import sys
from collections.abc import Iterator
from contextlib import suppress
from ipaddress import ip_address, ip_network

from baulk.errors import InputError, shorten

__all__ = ["PRIVATE_NETWORKS", "host_name", "private_addresses"]

PRIVATE_NETWORKS = tuple(
    ip_network(each)
    for each in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10")
)
"""Addresses that no place on the internet has: RFC 1918, 3927, 4193 and 4291 (from memory)."""

_TOWARDS = ("10.255.255.254", "172.31.255.254", "192.168.255.254", "203.0.113.1")
_ASK_ADDRESS = 0x8915


def host_name() -> str:
    """Return this machine's name in small letters, without a domain."""
    name = "".join(
        mark for mark in socket.gethostname().lower().partition(".")[0] if mark.isascii() and (mark.isalnum() or mark == "-")
    )
    return name.strip("-") or "site-server"


def private_addresses(asked: str = "") -> tuple[str, ...]:
    """Return the addresses of this machine in private networks, or the one that is asked for.

    Parameters
    ----------
    asked : str
        An address of this machine, when the right one is not found or only one is to be used.

    Raises
    ------
    InputError
        When there is none, or the one asked for is of no private network.
    """
    if asked:
        _check(asked)
        return (asked,)
    found = dict.fromkeys(
        each for each in (*_towards(), *_by_name(), *_by_card()) if _is_private(each) and not ip_address(each).is_loopback
    )
    if not found:
        raise InputError(
            "This machine has no address in a private network, so no device could reach it. Connect it to the site's own Wi-Fi "
            "or make a "
            "hotspot with it, then open the site again; or give its address with --address."
        )
    return tuple(found)


def _check(asked: str) -> None:
    if not _is_private(asked):
        raise InputError(
            f"“{shorten(asked)}” is no address of a private network, such as 192.168.1.20. The site is never served to the open "
            "internet; "
            "give an address of this machine in the site's own network."
        )


def _is_private(address: str) -> bool:
    with suppress(ValueError):
        return any(ip_address(address) in each for each in PRIVATE_NETWORKS)
    return False


def _towards() -> Iterator[str]:
    """Yield the addresses from which this machine would write to others; nothing is sent."""
    for other in _TOWARDS:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way, suppress(OSError):
            way.connect((other, 9))
            yield str(way.getsockname()[0])


def _by_name() -> Iterator[str]:
    with suppress(OSError):
        yield from socket.gethostbyname_ex(socket.gethostname())[2]


def _by_card() -> Iterator[str]:
    """Yield the address of each network card, where the system is asked this way."""
    if sys.platform != "linux":
        return
    import fcntl  # noqa: PLC0415 - there is none on Windows

    for _, name in socket.if_nameindex():
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way, suppress(OSError):
            answer = fcntl.ioctl(way.fileno(), _ASK_ADDRESS, struct.pack("256s", name.encode()[:15]))
            yield socket.inet_ntoa(answer[20:24])
