"""The style sheets, scripts and fonts that come with the page."""

from __future__ import annotations

import re
from functools import cache
from hashlib import sha256
from pathlib import Path

__all__ = ["STATIC", "css", "fingerprint", "script"]

STATIC = Path(__file__).with_name("static")

_IMPORT = re.compile(r"^import [^\n]*\n", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|let|class)\b)", re.MULTILINE)


@cache
def css(name: str) -> str:
    """The text of a style sheet, for a component's `stylesheets`: components are shadow roots."""
    return (STATIC / f"{name}.css").read_text(encoding="utf-8")


@cache
def script(folder: str) -> str:
    """The scripts of a folder as the one module a component takes.

    The file named as the folder offers `render`; the others hold what it is made of.
    """
    main = f"{folder}.js"
    files = sorted((STATIC / folder).glob("*.js"), key=lambda path: (path.name == main, path.name))
    texts = [_IMPORT.sub("", path.read_text(encoding="utf-8")) for path in files]
    return "\n".join([*(_EXPORT.sub("", text) for text in texts[:-1]), texts[-1]])


@cache
def fingerprint() -> str:
    """A short mark of all static files, so that a browser keeps them until they change."""
    digest = sha256()
    for path in sorted(STATIC.rglob("*")):
        if path.is_file():
            digest.update(path.read_bytes())
    return digest.hexdigest()[:12]
