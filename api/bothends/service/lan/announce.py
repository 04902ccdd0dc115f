"""This server's name on the local network by multicast DNS (RFC 6762): the address that stays when numbers change.

Owns the announcement. Where it fails, the app is still reached by its numbers; that is told and nothing ends.
"""

import contextlib

from zeroconf import (  # type: ignore[attr-defined]
    AddressResolver,
    Error,
    ServiceInfo,
    Zeroconf,
)

from .names import Names

__all__ = ["Announcer", "answered"]

KIND = "_https._tcp.local."
PATIENCE_MS = 1500


class Announcer:
    """Announces one name until it is stopped; its threads are zeroconf's own. Every call may take seconds.

    ``taken`` says whether the last start failed because another machine answers to the name.
    """

    def __init__(self, port: int) -> None:
        self.taken = False
        self._port = port
        self._zeroconf: Zeroconf | None = None
        self._info: ServiceInfo | None = None

    def _about(self, names: Names) -> ServiceInfo:
        instance = names.announced.removesuffix(".local")
        return ServiceInfo(
            KIND,
            f"{instance}.{KIND}",
            port=self._port,
            server=f"{names.announced}.",
            parsed_addresses=list(names.addresses),
            properties={"path": "/"},
        )

    def start(self, names: Names) -> str:
        """Begin; "" where it worked, else a sentence that says what stands in the way."""
        self.taken = False
        if not names.addresses:
            return "this machine has no address on a network yet; phones cannot reach it until it has"
        try:
            self._zeroconf = Zeroconf()
            taken = [a for a in _asked(self._zeroconf, names.announced) if a not in names.addresses]
            if taken:
                self.taken = True
                self.stop()
                return (
                    f"{names.announced} is the name of another machine here, at {', '.join(taken)};"
                    " give this one another with --name"
                )
            self._info = self._about(names)
            self._zeroconf.register_service(self._info, allow_name_change=True)
        except (OSError, Error, TimeoutError) as error:
            self.stop()
            return f"the name {names.announced} cannot be announced here ({error or type(error).__name__})"
        return ""

    def change(self, names: Names) -> None:
        """Tell the new addresses."""
        if self._zeroconf and self._info:
            self._info = self._about(names)
            with contextlib.suppress(OSError, Error):
                self._zeroconf.update_service(self._info)

    def stop(self) -> None:
        """Take the name back and end."""
        if self._zeroconf:
            with contextlib.suppress(OSError, Error, TimeoutError):
                self._zeroconf.close()
        self._zeroconf = self._info = None


def answered(name: str) -> list[str]:
    """Addresses that the network answers for a name; none where nobody does, or nobody can be asked.

    Takes a second or two.
    """
    try:
        with contextlib.closing(Zeroconf()) as asking:
            return _asked(asking, name)
    except (OSError, Error, TimeoutError):
        return []


def _asked(zeroconf: Zeroconf, name: str) -> list[str]:
    asked = AddressResolver(f"{name}.")
    found = asked.parsed_addresses() if asked.request(zeroconf, PATIENCE_MS) else []
    return [address.split("%")[0] for address in found]
