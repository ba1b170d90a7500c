"""Names of the server: whose requests are taken, and whose pages may open sockets."""

from __future__ import annotations

import socket

import pytest

from pvsim.app.door.names import own_names, read_name

EARS = ("192.0.2.7", 5610)
NAMES = own_names(["192.0.2.8"], ["pvsim.example.org"])


@pytest.mark.parametrize(
    "host",
    [
        "localhost",
        "LocalHost:5610",
        "localhost.",
        "127.0.0.1:5610",
        "[::1]:5610",
        "192.0.2.7:5610",  # where the connection came in
        "192.0.2.8",
        "pvsim.example.org",
        "PVSIM.example.org:443",
        socket.gethostname(),
    ],
)
def test_own_names_are_known_in_any_spelling_and_with_any_port(host):
    assert NAMES.knows(host, EARS)


@pytest.mark.parametrize(
    "host",
    [
        "",
        "evil.example",
        "localhost.evil.example",
        "evil.example.localhost.evil",
        "127.0.0.1.evil.example",
        "192.0.2.9",
        "pvsim.example.org.evil.example",
        "[",
        "[::1",
        "localhost@evil.example",
        "evil.example@localhost",
        "evil.example#localhost",
        "evil.example/localhost",
        "localhost\\evil",
        "\x00",
    ],
)
def test_no_other_name_is_known(host):
    assert not NAMES.knows(host, EARS)


@pytest.mark.parametrize(
    ("origin", "trusted"),
    [
        ("http://localhost:5610", True),
        ("http://127.0.0.1:5610", True),
        ("http://192.0.2.7:5610", True),
        ("http://[::1]:5610", True),
        ("https://pvsim.example.org", True),  # behind a proxy
        ("http://pvsim.example.org", True),
        ("http://pvsim.example.org:5610", True),
        ("http://pvsim.example.org:8080", False),
        ("http://localhost", False),  # another server of this machine
        ("http://localhost:8888", False),
        ("https://localhost", False),
        ("ftp://localhost:5610", False),
        ("http://evil.example:5610", False),
        ("http://localhost:x", False),
        ("http://localhost:99999", False),
        ("null", False),
        ("", False),
        ("http://[", False),
    ],
)
def test_pages_of_this_server_are_trusted_and_no_others(origin, trusted):
    assert NAMES.trusts(origin, EARS) is trusted


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("pvsim.example.org", "pvsim.example.org"),
        (" Lab-PC ", "lab-pc"),
        ("192.0.2.7", "192.0.2.7"),
        ("https://pvsim.example.org", None),
        ("pvsim.example.org:443", None),
        ("a b", None),
        ("*", None),
        ("", None),
        ("a" * 300, None),
    ],
)
def test_a_name_is_read_or_refused(text, name):
    assert read_name(text) == name
