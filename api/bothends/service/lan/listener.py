"""A listening socket on this machine, for everybody on its networks or for its own browser alone."""

import socket
import sys

__all__ = ["HOST", "bind"]

HOST = "127.0.0.1"
"""The loopback address: this machine alone."""


def bind(port: int, *, everywhere: bool = False) -> socket.socket:
    """A listening socket on the loopback address, or on all of this machine's; port 0 takes a free one.

    Raises
    ------
    OSError
        When the port is taken or not allowed.
    """
    both = everywhere and socket.has_dualstack_ipv6()
    family = socket.AF_INET6 if both else socket.AF_INET
    # The protocol is named because asyncio turns Nagle's algorithm off only where it is: 40 ms an answer.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if both:
            listener.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        if sys.platform != "win32":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("::" if both else "0.0.0.0" if everywhere else HOST, port))
    except BaseException:
        listener.close()
        raise
    return listener
