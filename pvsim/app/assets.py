"""The style sheets, scripts and fonts that come with the page."""

from __future__ import annotations

import re
from functools import cache
from hashlib import sha256

from pvsim.shipped import shipped

__all__ = ["STATIC", "css", "fingerprint", "script"]

STATIC = shipped("static")

_IMPORT = re.compile(r"^import [^\n]*\n", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|let|class)\b)", re.MULTILINE)


@cache
def css(name: str) -> str:
    """The text of a style sheet, for a component's `stylesheets`: components are shadow roots."""
    return (STATIC / f"{name}.css").read_text(encoding="utf-8")


@cache
def script(*names: str) -> str:
    """Several scripts as the one module a component takes; the last one offers `render`.

    Parameters
    ----------
    names : str
        Files below static/; what they import from one another they find in the whole.
    """
    texts = [_IMPORT.sub("", (STATIC / name).read_text(encoding="utf-8")) for name in names]
    return "\n".join([*(_EXPORT.sub("", text) for text in texts[:-1]), texts[-1]])


@cache
def fingerprint() -> str:
    """A short mark of all static files, so that a browser keeps them until they change."""
    digest = sha256()
    for path in sorted(STATIC.rglob("*")):
        if path.is_file():
            digest.update(path.read_bytes())
    return digest.hexdigest()[:12]
