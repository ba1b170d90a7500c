"""Where this machine is found on the local network."""

from __future__ import annotations

import socket
import struct
from collections.abc import Iterator
from contextlib import suppress

__all__ = ["local_addresses"]

# Nothing is sent: the system is only asked which of its own addresses it would use on the way there.
# The first is a documentation address (RFC 5737), the others lie in private networks (RFC 1918).
WAYS = ("192.0.2.1", "192.168.255.254", "10.255.255.254", "172.31.255.254")
SIOCGIFADDR = 0x8915  # Linux: the IPv4 address of an interface
LOOPBACK = "127."


def local_addresses() -> tuple[str, ...]:
    """IPv4 addresses of this machine, the likeliest first; empty without a network."""
    found = dict.fromkeys((*_on_the_way(), *_of_interfaces(), *_of_the_name()))
    return tuple(one for one in found if not one.startswith((LOOPBACK, "0.")))


def _on_the_way() -> Iterator[str]:
    for target in WAYS:
        with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect((target, 9))
            yield str(probe.getsockname()[0])


def _of_interfaces() -> Iterator[str]:
    """As for a laptop that is itself the network of its class, and has no way out of it."""
    try:
        from fcntl import ioctl
    except ImportError:  # not on Windows
        return
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _number, name in socket.if_nameindex():
            with suppress(OSError):
                answer = ioctl(probe.fileno(), SIOCGIFADDR, struct.pack("256s", name.encode()[:15]))
                yield socket.inet_ntoa(answer[20:24])


def _of_the_name() -> Iterator[str]:
    with suppress(OSError):
        yield from socket.gethostbyname_ex(socket.gethostname())[2]
