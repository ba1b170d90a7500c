"""The names this server answers to: in the Host of a request, and in the Origin of a web socket.

A page of somebody else can give its own name our address (DNS rebinding) and is then, for the browser,
of one origin with us; only its name gives it away.
"""

from __future__ import annotations

import re
import socket
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlsplit

__all__ = ["Ears", "Names", "own_names", "read_name"]

LOOPBACK = frozenset({"localhost", "127.0.0.1", "::1"})
USUAL_PORTS = {"http": 80, "https": 443}
_NAME = re.compile(r"[a-z0-9]([a-z0-9_-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9_-]*[a-z0-9])?)*\.?")
LONGEST_NAME = 253  # characters (RFC 1035)

Ears = tuple[str, int]  # address and port at which a connection came in


@dataclass(frozen=True, slots=True)
class Names:
    """What the server is called.

    Parameters
    ----------
    given : frozenset of str
        Names that the command line gave, small letters, without a port: of a proxy, perhaps, so that
        their pages may have any usual port.
    found : frozenset of str
        Names and addresses of this machine; their pages have the server's own port.
    """

    given: frozenset[str] = frozenset()
    found: frozenset[str] = LOOPBACK

    def knows(self, host: str, ears: Ears) -> bool:
        """Whether a request was meant for this server.

        Parameters
        ----------
        host : str
            As in the request: a name or address, perhaps with a port.
        ears : Ears
            Where the connection came in. An address cannot be rebound, so this one is always right.
        """
        if "@" in host:  # a name of a user, which no browser sends
            return False
        try:
            name = urlsplit(f"//{host}").hostname
        except ValueError:
            return False
        return name is not None and self._is_own(name, ears)

    def trusts(self, origin: str, ears: Ears) -> bool:
        """Whether a page of this origin is one of this server's own.

        Parameters
        ----------
        origin : str
            As a browser sends it: scheme, name and port, or "null".
        ears : Ears
            Where the connection came in.
        """
        try:
            parts = urlsplit(origin)
            name, port = parts.hostname, parts.port
        except ValueError:
            return False
        if name is None or parts.scheme not in USUAL_PORTS:
            return False
        port = port or USUAL_PORTS[parts.scheme]
        if _plain(name) in self.given and port in (*USUAL_PORTS.values(), ears[1]):
            return True
        return port == ears[1] and self._is_own(name, ears)

    def _is_own(self, name: str, ears: Ears) -> bool:
        name = _plain(name)
        return name in self.found or name in self.given or name == ears[0]


def own_names(addresses: Iterable[str], given: Iterable[str] = ()) -> Names:
    """What a server on this machine is called.

    Parameters
    ----------
    addresses : iterable of str
        Of this machine, as far as they are known; see `pvsim.app.network`.
    given : iterable of str
        Further names, as `read_name` gives them.
    """
    name = socket.gethostname().lower()
    return Names(
        given=frozenset(given),
        found=LOOPBACK | {name, f"{name.partition('.')[0]}.local", *addresses},
    )


def read_name(text: str) -> str | None:
    """A host's name as it is compared; None if it is none.

    Parameters
    ----------
    text : str
        Without scheme, port or path.
    """
    name = text.strip().lower()
    return _plain(name) if len(name) <= LONGEST_NAME and _NAME.fullmatch(name) else None


def _plain(name: str) -> str:
    return name.lower().rstrip(".")
