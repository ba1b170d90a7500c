"""The style sheets, scripts and fonts that come with the page."""

from __future__ import annotations

from functools import cache
from hashlib import sha256

from pvsim.shipped import shipped

__all__ = ["STATIC", "css", "fingerprint"]

STATIC = shipped("static")


@cache
def css(name: str) -> str:
    """The text of a style sheet, for a component's `stylesheets`: components are shadow roots."""
    return (STATIC / f"{name}.css").read_text(encoding="utf-8")


@cache
def fingerprint() -> str:
    """A short mark of all static files, so that a browser keeps them until they change."""
    digest = sha256()
    for path in sorted(STATIC.rglob("*")):
        if path.is_file():
            digest.update(path.read_bytes())
    return digest.hexdigest()[:12]
