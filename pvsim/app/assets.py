"""The style sheets, scripts and fonts that come with the page."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from hashlib import sha256

from pvsim.shipped import shipped

__all__ = ["STATIC", "css", "fingerprint", "mark_of", "read_static"]

STATIC = shipped("static")


@cache
def css(name: str) -> str:
    """The text of a style sheet, for a component's `stylesheets`: components are shadow roots."""
    return (STATIC / f"{name}.css").read_text(encoding="utf-8")


def mark_of(files: Mapping[str, bytes]) -> str:
    """A short mark of what these files say and what they are called."""
    digest = sha256()
    for name, content in sorted(files.items()):
        digest.update(f"{name} {len(content)}\n".encode() + content)
    return digest.hexdigest()[:16]


def read_static(pattern: str) -> dict[str, bytes]:
    """The static files of a pattern, by their names below static/."""
    found = (path for path in STATIC.rglob(pattern) if path.is_file())
    return {path.relative_to(STATIC).as_posix(): path.read_bytes() for path in found}


@cache
def fingerprint() -> str:
    """The mark of all static files, so that a browser keeps them until they change."""
    return mark_of(read_static("*"))
