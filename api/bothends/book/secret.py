"""Keys, tokens and codes: made here, kept as hashes, compared in constant time.

A key or token has two parts joined by a dot: a name to look it up by, and the secret. Only the secret's
hash is kept; its 192 random bits need no salt.
"""

import hashlib
import hmac
import secrets

import msgspec

__all__ = ["Secret", "code", "code_hash", "make", "matches", "split"]

LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
"""For codes that people type: none that look alike."""
CODE_LENGTH = 8


class Secret(msgspec.Struct, frozen=True):
    """A new secret: ``text`` is shown once, ``name`` and ``hash`` are kept."""

    text: str
    name: str
    hash: bytes


def make() -> Secret:
    """A secret of 192 random bits with a name of 48."""
    name, secret = secrets.token_hex(6), secrets.token_urlsafe(24)
    return Secret(f"{name}.{secret}", name, _hash(secret))


def split(text: str) -> tuple[str, str]:
    """Name and secret of a key or token; both empty where it is not one.

    >>> split("0a1b2c3d4e5f.secret"), split("nonsense")
    (('0a1b2c3d4e5f', 'secret'), ('', ''))
    """
    name, dot, secret = text.partition(".")
    return (name, secret) if dot and len(text) <= 100 else ("", "")


def matches(secret: str, kept: bytes | None) -> bool:
    """Whether a secret has the kept hash; takes as long where there is none to compare with."""
    same = hmac.compare_digest(_hash(secret), kept or bytes(32))
    return same and kept is not None


def code() -> str:
    """A pairing code of 39 random bits, for minutes: eight letters and digits."""
    return "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))


def code_hash(typed: str) -> bytes:
    """Hash of a code as somebody typed it: case, spaces and dashes make no difference.

    >>> code_hash("abcd-ef23") == code_hash("ABCDEF23")
    True
    """
    return _hash("".join(c for c in typed.upper() if c.isalnum()))


def _hash(text: str) -> bytes:
    return hashlib.sha256(text.encode()).digest()
