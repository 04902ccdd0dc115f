"""Serving phones in the shop: the certificate, the names and their announcement, kept right while it runs.

Browsers give storage that lasts, tilt and wake lock to secure pages only, so the shop's own network gets HTTPS.
Owns what is checked before anybody is served and looked at again every few minutes; opens no socket.
"""

import asyncio
import ipaddress
import ssl
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path

import msgspec

from .announce import Announcer
from .authority import FOLDER, Authority, authority
from .certificate import CHAIN, BadCertificateError, Served, given, served
from .names import Names, bracketed, is_name, present, rename

__all__ = ["Garage", "Options"]

TRIES = 5
"""Names that are tried where the first ones are taken."""
LOOK_SECONDS = 300
"""How often names, addresses and the certificate's end are looked at; a phone waits that long at most."""


class Options(msgspec.Struct, frozen=True, kw_only=True):
    """How a shop wants to be reached.

    Attributes
    ----------
    port : of the app
    helper_port : of the help page; None for none
    cert, key : a certificate from elsewhere, both or neither
    name : a host name that the network knows this machine by, or ""
    address : where devices reach it, where that is told; or ""
    mdns : whether to announce a name
    """

    port: int
    helper_port: int | None = None
    cert: Path | None = None
    key: Path | None = None
    name: str = ""
    address: str = ""
    mdns: bool = True


class Garage:
    """One way of serving over HTTPS, ready to be served.

    Attributes
    ----------
    names : this machine's names and addresses
    signer : the authority; None where the certificate is from elsewhere
    shown : the certificate
    notes : what somebody should know, in sentences

    Raises
    ------
    BadAuthorityError, BadCertificateError, OSError
        At its making, where there is nothing to serve with.
    """

    def __init__(self, data: Path, options: Options) -> None:
        self._data = data
        self._options = options
        self._announcer: Announcer | None = None
        self._announced = False
        self.notes: list[str] = []
        self.signer: Authority | None = None
        self._foreign = given(options.cert, options.key) if options.cert and options.key else None
        # Nothing has been served from here before: no phone has this shop's name.
        self._unknown = not (data / FOLDER / CHAIN).exists()
        self.names: Names = present(data, self._extra())
        if self._foreign:
            self.shown: Served = self._foreign
        else:
            self.signer = authority(data, self.names)
            self.shown = served(data, self.signer, self.names)
            # Numbers of the internet, as IPv6 brings them, come and go; devices are not told of them, nor of the
            # machine's own bare name, unless somebody asked for it.
            for name in filter(is_name, self.shown.left_out):
                if "." in name or name in self._extra():
                    self.notes.append(_left_out(name))

    def _extra(self) -> tuple[str, ...]:
        own = (self._options.name,) if self._options.name else ()
        return (*own, *(self._foreign.names if self._foreign else ()))

    def announce(self) -> None:
        """Announce the name, where that is wanted; what stands in the way becomes a note. Takes seconds.

        A name that another machine has is left to it. A shop that nobody knows yet takes the next one; any other
        keeps its own, under which phones have their logs, and tries again later.
        """
        if not self._options.mdns or self._foreign:
            return
        self._announcer = Announcer(self._options.port)
        trouble = self._announcer.start(self.names)
        for _ in range(TRIES):
            if not (self._announcer.taken and self._unknown and self.signer):
                break
            rename(self._data, self.names.announced)
            self.names = present(self._data, self._extra())
            self.shown = served(self._data, self.signer, self.names)
            trouble = self._announcer.start(self.names)
        self._announced = not trouble
        if trouble:
            self.notes.append(trouble)

    @property
    def host(self) -> str:
        """The best name to be reached by: one that stays, as far as this machine knows one."""
        told = self._extra()
        if told:
            return told[0]
        if self._announced:
            return self.names.announced
        full = [name for name in self.names.dns if "." in name and not name.endswith(".local")]
        good = [a for a in [*full, *self.names.addresses, "localhost"] if a not in self.shown.left_out]
        return bracketed(good[0])

    @property
    def address(self) -> str:
        """Where devices best reach the app, ending in a slash."""
        return self._options.address or f"https://{self.host}:{self._options.port}/"

    @property
    def helped(self) -> bool:
        """Whether there is a help page."""
        return self._options.helper_port is not None

    @property
    def help_address(self) -> str:
        """Where the help page is, ending in a slash."""
        return f"http://{self.host}:{self._options.helper_port}/"

    @property
    def others(self) -> list[str]:
        """Further addresses of the app, which may change."""
        good = [a for a in self.names.addresses if a not in self.shown.left_out]
        found = [f"https://{bracketed(a)}:{self._options.port}/" for a in good]
        return [a for a in found if a != self.address]

    @property
    def fleeting(self) -> bool:
        """Whether even the best address is a bare number that the network may give to another machine."""
        try:
            ipaddress.ip_address(self.host.strip("[]"))
        except ValueError:
            return False
        return not self._options.address

    def context(self) -> ssl.SSLContext:
        """What the app's server shakes hands with; ``watch`` puts a renewed certificate into it.

        The oldest version is said here and not left to Python, whose own default may be "whatever OpenSSL has". RFC
        8996 has put the older ones to rest.
        """
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.minimum_version = ssl.TLSVersion.TLSv1_2
        context.load_cert_chain(self.shown.chain, self.shown.key)
        return context

    async def watch(
        self,
        context: ssl.SSLContext,
        moved: Callable[[frozenset[str]], None],
        *,
        pause: Callable[[float], Awaitable[None]] = asyncio.sleep,
    ) -> None:
        """Until cancelled: renew the certificate in time, and follow names and addresses as they change.

        ``moved`` is told the host names whenever they, or the best address, have changed; ``pause`` waits between
        two looks.
        """
        said = ""
        while True:
            await pause(LOOK_SECONDS)
            trouble = ""
            try:
                await self.look(context, moved)
            except (OSError, BadCertificateError) as error:
                # A full disk, a file half written: what is served goes on, and the next look may go better.
                trouble = f"bothends: the certificate could not be looked at: {error}"
            if trouble and trouble != said:
                print(trouble, file=sys.stderr, flush=True)
            said = trouble

    async def look(self, context: ssl.SSLContext, moved: Callable[[frozenset[str]], None]) -> None:
        """Look once; connections made from now on get what is new."""
        before = (self.names, self.address)
        names = await asyncio.to_thread(present, self._data, self._extra())
        if self.signer:
            self.shown = await asyncio.to_thread(served, self._data, self.signer, names)
            if self.shown.renewed:
                context.load_cert_chain(self.shown.chain, self.shown.key)
        elif self._options.cert and self._options.key:
            # Whoever renews it puts a new file in its place.
            self.shown = await asyncio.to_thread(given, self._options.cert, self._options.key)
            context.load_cert_chain(self.shown.chain, self.shown.key)
        self.names = names
        if self._announcer and not self._announced:
            # A PC that starts with nobody logged in may have no network yet.
            self._announced = not await asyncio.to_thread(self._announcer.start, names)
        elif self._announcer and names != before[0]:
            await asyncio.to_thread(self._announcer.change, names)
        if (self.names, self.address) != before:
            moved(names.hosts)

    def close(self) -> None:
        """Take the name back."""
        if self._announcer:
            self._announcer.stop()


def _left_out(name: str) -> str:
    """Why a name is not in the certificate, and what to do."""
    why = "it lies outside local networks" if "." in name else "a name of one part may be any machine's"
    return (
        f"the shop's authority may not vouch for {name}: {why}. For that name use a certificate from elsewhere,"
        " with --cert and --key"
    )
