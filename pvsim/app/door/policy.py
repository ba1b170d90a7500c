"""What a browser may do with the page: its content security policy, and the other headers of safety.

Measured with a browser: BokehJS sets styles on elements and in style elements, so that styles cannot be
forbidden; Panel loads each component as a module from a blob that it made itself; nothing evaluates text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from urllib.parse import urlsplit

__all__ = ["COMMON_HEADERS", "page_policy", "plain_policy", "read_embedder"]

COMMON_HEADERS = {"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer"}
_HOST = re.compile(r"[A-Za-z0-9.:\[\]-]{1,260}")


def page_policy(nonce: str, host: str, embedders: Iterable[str] = ()) -> str:
    """The content security policy of the page.

    Parameters
    ----------
    nonce : str
        Of the page's own inline scripts; a new one for each page.
    host : str
        Of the request.
    embedders : iterable of str
        Origins whose pages may show this one in a frame; see `read_embedder`.
    """
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' 'nonce-{nonce}' blob:",
            "style-src 'self' 'unsafe-inline'",
            "font-src 'self'",
            "img-src 'self' data: blob:",
            f"connect-src 'self'{_sockets(host)}",
            "form-action 'none'",
            "base-uri 'none'",
            " ".join(("frame-ancestors 'self'", *embedders)),
        )
    )


def plain_policy(host: str) -> str:
    """The content security policy of plain pages: scripts and styles from files alone, in no frame.

    Parameters
    ----------
    host : str
        Of the request.
    """
    return (
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; "
        f"connect-src 'self'{_sockets(host)}; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    )


def _sockets(host: str) -> str:
    """Some phones do not count the web socket of the same host as 'self'."""
    return f" ws://{host} wss://{host}" if _HOST.fullmatch(host) else ""


def read_embedder(text: str) -> str | None:
    """An origin such as https://learn.example.org:8443; None if it is none.

    Parameters
    ----------
    text : str
    """
    try:
        parts = urlsplit(text.strip().rstrip("/").lower())
        port = parts.port
    except ValueError:
        return None
    if (
        parts.scheme not in ("http", "https")
        or parts.path
        or parts.query
        or parts.fragment
        or "@" in parts.netloc
    ):
        return None
    if parts.hostname is None or not re.fullmatch(r"[a-z0-9.-]+", parts.hostname):
        return None
    return f"{parts.scheme}://{parts.hostname}" + (f":{port}" if port else "")
