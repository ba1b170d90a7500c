"""The scripts of the page's components, each at an address of its own.

Panel sends a component's script with every document and has the browser translate it before it runs. Ours
need no translation; at an address of their own they are fetched once, packed, and kept for as long as they
stay as they are.
"""

from __future__ import annotations

import gzip
from hashlib import sha256

from tornado.web import HTTPError, RequestHandler

from pvsim.app.door.policy import COMMON_HEADERS

__all__ = ["MODULES", "ModuleHandler", "offer"]

MODULES = "modules/"  # below the page's address
KEPT_s = 365 * 24 * 60 * 60

_offered: dict[str, bytes] = {}


def offer(text: str) -> str:
    """Have a script at hand for browsers.

    Parameters
    ----------
    text : str
        A module of JavaScript.

    Returns
    -------
    str
        Its address, relative to the page's; another one for every other text.
    """
    name = sha256(text.encode()).hexdigest()[:16]
    if name not in _offered:
        _offered[name] = gzip.compress(text.encode(), mtime=0)
    return f"./{MODULES}{name}.js"


class ModuleHandler(RequestHandler):
    """GET modules/NAME.js: a script that was offered."""

    def set_default_headers(self) -> None:
        """What every answer has."""
        for name, value in COMMON_HEADERS.items():
            self.set_header(name, value)

    def get(self, name: str) -> None:
        """Answer with the script; its address changes when it does."""
        packed = _offered.get(name)
        if packed is None:
            raise HTTPError(404)
        self.set_header("Content-Type", "text/javascript; charset=utf-8")
        self.set_header("Cache-Control", f"public, max-age={KEPT_s}, immutable")
        if "gzip" in self.request.headers.get("Accept-Encoding", ""):
            self.set_header("Content-Encoding", "gzip")
            self.finish(packed)
        else:
            self.finish(gzip.decompress(packed))
