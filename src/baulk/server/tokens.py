"""Who may write: joining codes, and the signed tokens that devices get for them.

A code is a secret of one run of the server, shown on its terminal; whoever has it may join. A token is signed with a key that lies
beside the site file, so that it holds over restarts until it expires.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from hmac import compare_digest
from pathlib import Path
from threading import Lock

from itsdangerous import BadSignature, URLSafeSerializer

from baulk.errors import BaulkError, InputError, StoreError, shorten
from baulk.record import View
from baulk.store.keys import keys_beside, read_or_make

__all__ = ["Bearer", "Gate", "TokenExpired", "TokenMissing", "TokenWrong", "TooManyTries"]

_ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
_CODE_LENGTH = 10
_KEY_BYTES = 32
_WRONG_CODES, _WHILE = 20, 60_000
_LONGEST_NAME = 60
_STAYS = "Nothing on this device is lost: what it has not sent yet is sent once it has joined."


class TokenMissing(BaulkError):
    """A request that needs a token has none."""

    code = "token_missing"


class TokenExpired(BaulkError):
    """The token was good once."""

    code = "token_expired"


class TokenWrong(BaulkError):
    """The token or the joining code is none of this site's."""

    code = "token_wrong"


class TooManyTries(BaulkError):
    """Wrong joining codes come faster than a person types."""

    code = "too_many_tries"


@dataclass(frozen=True, slots=True)
class Bearer:
    """Who holds a token: person, device, what they may see, and until when (Unix time in milliseconds)."""

    person: str
    device: str
    view: View
    expires: int


class Gate:
    """Gives out tokens for joining codes and reads them back.

    Parameters
    ----------
    key : bytes
        The secret that tokens are signed with.
    view : View
        What those who join may see.
    days : int
        For how many days a token holds.
    clock : callable
        Returns the Unix time in milliseconds.

    Attributes
    ----------
    code : str
        The joining code of this run.
    mark : bytes
        The same at every start of this site, and no secret.
    """

    def __init__(
        self, key: bytes, *, view: View = View.CREW, days: int = 30, clock: Callable[[], int] = lambda: time.time_ns() // 1_000_000
    ) -> None:
        if len(key) < _KEY_BYTES:
            raise StoreError(
                "The key that tokens are signed with is damaged. Delete it, open the site again, and let all join anew."
            )
        self._signer = URLSafeSerializer(key, salt="baulk token", signer_kwargs={"digest_method": sha256, "key_derivation": "hmac"})
        self._view, self._days, self._clock = view, days, clock
        self.mark = sha256(b"mark" + key).digest()
        self._lock, self._wrong = Lock(), list[int]()
        self.code = "".join(secrets.choice(_ALPHABET) for _ in range(_CODE_LENGTH))

    @classmethod
    def beside(cls, site_file: Path, *, view: View = View.CREW, days: int = 30) -> Gate:
        """Return the gate of a site, with its key read or made beside the site file."""
        key = read_or_make(keys_beside(site_file) / "tokens.key", lambda: secrets.token_bytes(_KEY_BYTES))
        return cls(key, view=view, days=days)

    def join(self, code: str, person: str, device: str) -> tuple[str, Bearer]:
        """Return a token for who has the code.

        Raises
        ------
        TokenWrong
            When the code is not that of this run of the server.
        TooManyTries
            When too many wrong ones came within a minute.
        InputError
            When the person or the device has no name, or one that is too long.
        """
        self._check_code(code)
        bearer = Bearer(
            _name(person, "Who joins gives initials, so that every change says whose it is."),
            _name(device, "A device needs a name, so that a change says where it was made."),
            self._view,
            self._clock() + self._days * 86_400_000,
        )
        token = self._signer.dumps({"p": bearer.person, "d": bearer.device, "v": bearer.view.value, "x": bearer.expires})
        return str(token), bearer

    def _check_code(self, code: str) -> None:
        with self._lock:
            now = self._clock()
            self._wrong = [moment for moment in self._wrong if moment > now - _WHILE]
            if len(self._wrong) >= _WRONG_CODES:
                raise TooManyTries("Too many wrong joining codes came within a minute. Wait a minute, then type the code again.")
            tidy = "".join(code.upper().split()).replace("-", "").encode()
            if not compare_digest(tidy, self.code.encode()):
                self._wrong.append(now)
                raise TokenWrong(
                    "This joining code is not the one that the server shows now: each start of “baulk open” makes a new one. "
                    f"Take it from the server's screen and join again. {_STAYS}"
                )

    def bearer(self, header: str) -> Bearer:
        """Return who holds the token of an Authorization header.

        Raises
        ------
        TokenMissing, TokenExpired, TokenWrong
            Each says what to do, and that nothing is lost.
        """
        scheme, _, token = header.partition(" ")
        if not token.strip() or scheme.lower() != "bearer":
            raise TokenMissing(f"This device has not joined the site yet. Join with the code on the server's screen. {_STAYS}")
        return self.holder(token.strip())

    def holder(self, token: str) -> Bearer:
        """Return who holds a token."""
        bearer = self._read(token)
        if bearer.expires <= self._clock():
            raise TokenExpired(
                f"The token of {bearer.person} on {shorten(bearer.device)} has expired. Join again with the code on the server's "
                f"screen. {_STAYS}"
            )
        return bearer

    def _read(self, token: str) -> Bearer:
        try:
            held = self._signer.loads(token)
            return Bearer(str(held["p"]), str(held["d"]), View(held["v"]), int(held["x"]))
        except (BadSignature, KeyError, TypeError, ValueError):
            raise TokenWrong(
                "The token of this device is none of this site's: it joined another site, or the site's keys were made anew. Join "
                f"again with the code on the server's screen. {_STAYS}"
            ) from None


def _name(given: str, rule: str) -> str:
    tidy = " ".join(given.split())
    if not tidy or len(tidy) > _LONGEST_NAME or not tidy.isprintable():
        raise InputError(
            f"“{shorten(given)}” cannot be a name here. {rule} It has 1 to {_LONGEST_NAME} characters. Join again with one."
        )
    return tidy
