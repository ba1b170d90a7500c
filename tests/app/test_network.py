"""Addresses of this machine."""

from __future__ import annotations

import ipaddress
import socket

from pvsim.app import network
from pvsim.app.network import local_addresses


def test_the_addresses_of_this_machine_are_its_own_and_no_loopback():
    for address in local_addresses():
        assert not ipaddress.ip_address(address).is_loopback
        with socket.socket() as one:
            one.bind((address, 0))  # only an own address can be bound


def test_a_machine_without_a_network_has_no_address(monkeypatch):
    def unreachable(*_):
        raise OSError("no network")

    for name in ("socket", "if_nameindex", "gethostbyname_ex"):
        monkeypatch.setattr(network.socket, name, unreachable)
    assert local_addresses() == ()
