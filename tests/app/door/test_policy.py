"""Policies for browsers, and who may show the page in a frame."""

from __future__ import annotations

import pytest

from pvsim.app.door.policy import page_policy, plain_policy, read_embedder


def parts_of(policy: str) -> dict[str, list[str]]:
    """What each directive names."""
    return {words[0]: words[1:] for words in (one.split() for one in policy.split(";"))}


def test_the_page_runs_its_own_scripts_alone_and_evaluates_no_text():
    parts = parts_of(page_policy("abc", "127.0.0.1:5610"))
    assert parts["default-src"] == ["'none'"]
    assert parts["script-src"] == ["'self'", "'nonce-abc'", "blob:"]
    assert "unsafe" not in " ".join(
        word for name, words in parts.items() if name != "style-src" for word in words
    )
    assert parts["frame-ancestors"] == ["'self'"]


def test_named_origins_may_show_the_page_in_a_frame():
    parts = parts_of(page_policy("abc", "h", ["https://learn.example.org"]))
    assert parts["frame-ancestors"] == ["'self'", "https://learn.example.org"]


@pytest.mark.parametrize("host", ["x; script-src *", "a b", "a'b", "<", ""])
def test_a_host_cannot_write_into_a_policy(host):
    for policy in (page_policy("abc", host), plain_policy(host)):
        assert parts_of(policy)["connect-src"][-1] in ("'self'", "blob:")
        assert "*" not in policy


@pytest.mark.parametrize(
    ("text", "origin"),
    [
        ("https://learn.example.org", "https://learn.example.org"),
        ("https://Learn.example.org/", "https://learn.example.org"),
        ("http://127.0.0.1:8080", "http://127.0.0.1:8080"),
        ("learn.example.org", None),
        ("https://learn.example.org/course", None),
        ("https://learn.example.org; script-src *", None),
        ("https://*", None),
        ("*", None),
        ("https://a@learn.example.org", None),
        ("https://learn.example.org:x", None),
        ("javascript:alert(1)", None),
        ("", None),
    ],
)
def test_an_embedder_is_an_origin_or_refused(text, origin):
    assert read_embedder(text) == origin
