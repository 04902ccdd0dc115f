"""What this machine is called and where it stands on its networks.

Owns which names and addresses a certificate is made for and which of them phones are told. A new address is a new,
empty app in a browser, so a name that stays goes before any number; the name that this program announces itself is
kept in the data folder and outlives a renamed machine.
"""

import ipaddress
import re
import socket
from pathlib import Path

import ifaddr
import msgspec

from . import private

__all__ = ["LOCAL", "Names", "announced_name", "bracketed", "further", "is_name", "present", "rename"]

LOCAL = ".local"
KEPT = "name"
LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")


class Names(msgspec.Struct, frozen=True, kw_only=True):
    """Names and addresses of this machine, best first.

    Attributes
    ----------
    announced : the name this program announces by mDNS, ending in .local
    dns : every host name, lower case
    addresses : every address but loopback ones, in their standard text
    """

    announced: str
    dns: tuple[str, ...]
    addresses: tuple[str, ...]

    @property
    def hosts(self) -> frozenset[str]:
        """All of them as a Host header would have them, without port."""
        return frozenset({*self.dns, *(bracketed(a) for a in self.addresses)})


def bracketed(address: str) -> str:
    """An address as an URL has it.

    >>> bracketed("10.0.0.7"), bracketed("fd00::2")
    ('10.0.0.7', '[fd00::2]')
    """
    return f"[{address}]" if ":" in address else address


def is_name(text: str) -> bool:
    """Whether a text is a host name of RFC 1123, lower case.

    >>> is_name("shop.example"), is_name("10.0.0.7"), is_name("-x.local"), is_name("shop_pc")
    (True, False, False, False)
    """
    labels = text.split(".")
    return len(text) <= 253 and all(LABEL.fullmatch(label) for label in labels) and not labels[-1].isdigit()


def announced_name(folder: Path, host: str) -> str:
    """The name to announce: the one kept in the folder, else one made of the host's and kept.

    Parameters
    ----------
    folder : where it is kept
    host : this machine's own name

    Raises
    ------
    OSError
        When the folder cannot be read or written.
    """
    place = folder / KEPT
    if place.exists():
        kept = place.read_text(encoding="utf-8").strip()
        if is_name(kept) and kept.endswith(LOCAL):
            return kept
    name = f"bothends-{_label(host)}"[:63].rstrip("-") + LOCAL
    private.write(place, name.encode() + b"\n")
    return name


def rename(folder: Path, taken: str) -> None:
    """Keep another name than one that turned out to be somebody else's; only for a shop that nobody knows yet.

    Raises
    ------
    OSError
        When it cannot be kept.
    """
    private.write(folder / KEPT, f"{further(taken)}\n".encode())


def further(name: str) -> str:
    """The next name beside one that is taken.

    >>> further("bothends-pc.local"), further("bothends-pc-2.local")
    ('bothends-pc-2.local', 'bothends-pc-3.local')
    """
    label = name.removesuffix(LOCAL)
    numbered = re.fullmatch(r"(.+)-(\d{1,3})", label)
    stem, number = (numbered[1], int(numbered[2]) + 1) if numbered else (label, 2)
    end = f"-{number}"
    return stem[: 63 - len(end)].rstrip("-") + end + LOCAL


def _label(host: str) -> str:
    """A machine's name as one label of a host name.

    >>> _label("Torsten's PC.workgroup"), _label("...")
    ('torsten-s-pc', 'shop')
    """
    return (
        re.sub(r"[^a-z0-9]+", "-", host.split(".")[0].casefold().encode("ascii", "ignore").decode()).strip(
            "-"
        )
        or "shop"
    )


def present(folder: Path, extra: tuple[str, ...] = ()) -> Names:
    """What this machine is called now; ``extra`` are further names somebody gave it, best first."""
    host = socket.gethostname().lower()
    announced = announced_name(folder, host)
    own = _label(host)
    known = [*extra, announced, own, own + LOCAL, host, _full(host)]
    dns = [name for name in dict.fromkeys(known) if is_name(name) and name != "localhost"]
    return Names(announced=announced, dns=tuple(dns), addresses=tuple(addresses()))


def _full(host: str) -> str:
    """The full name of the host where its network gives it one."""
    full = socket.getfqdn(host).lower()
    return full if "." in full and not full.startswith("localhost") and not full.endswith(".arpa") else host


def addresses() -> list[str]:
    """Addresses of every network card but loopback and link-local ones, those of IPv4 first."""
    found = set()
    for adapter in ifaddr.get_adapters():
        for ip in adapter.ips:
            address = ipaddress.ip_address(ip.ip if isinstance(ip.ip, str) else ip.ip[0])
            if not (address.is_loopback or address.is_link_local or address.is_unspecified):
                found.add(address)
    return [str(a) for a in sorted(found, key=lambda a: (a.version, a))]
