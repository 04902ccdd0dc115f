"""Whose a connection is, as bounds count: an IPv4 address, or a network of IPv6."""

import ipaddress

__all__ = ["is_own", "network_of"]

Address = ipaddress.IPv4Address | ipaddress.IPv6Address


def _address(host: str) -> Address | None:
    """An address; one of IPv4 also where a socket of both families writes it as IPv6 (RFC 4291, 2.5.5.2)."""
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return None
    return getattr(address, "ipv4_mapped", None) or address


def network_of(host: str) -> str:
    """What counts as one: one machine has 2**64 addresses of IPv6 (RFC 4291, 2.5.1).

    >>> network_of("192.168.1.20"), network_of("::ffff:192.168.1.20"), network_of("?")
    ('192.168.1.20', '192.168.1.20', '?')
    >>> network_of("fd00::1:2"), network_of("fe80::7%eth0")
    ('fd00::/64', 'fe80::/64')
    """
    address = _address(host)
    if address is None or address.version == 4:
        return host if address is None else str(address)
    return str(ipaddress.ip_network((int(address), 64), strict=False))


def is_own(host: str) -> bool:
    """Whether it is this machine itself.

    >>> is_own("127.0.0.1"), is_own("::ffff:127.0.0.1"), is_own("::1"), is_own("192.168.1.20")
    (True, True, True, False)
    """
    address = _address(host)
    return address is not None and address.is_loopback
