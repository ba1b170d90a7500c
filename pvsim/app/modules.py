"""The scripts of the page: modules of JavaScript, each a file below static/, each at an address of its own.

What a module takes from others it imports by relative addresses, as any page's does. All of them bear one
mark of what they say in their addresses, so that a browser fetches each once, packed, and keeps it for as
long as they stay as they are. Panel would send a component's script with every document and have the
browser translate it before it runs; ours need no translation.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache
from posixpath import dirname, join, normpath
from typing import Any

from tornado.httputil import HTTPHeaders, HTTPServerRequest, ResponseStartLine

from pvsim.app.assets import STATIC, mark_of, read_static
from pvsim.app.door.policy import COMMON_HEADERS
from pvsim.app.packing import PACKED, pack, takes_packed

__all__ = [
    "MODULES",
    "MODULE_PATH",
    "answer_kept",
    "answer_module",
    "loaded_with",
    "module_address",
    "module_names",
    "module_text",
    "modules_root",
]

MODULES = "modules/"  # below the page's address
MODULE_PATH = rf"/{MODULES}([0-9a-f]+)/([a-z_/]+\.js)"
KEPT_s = 365 * 24 * 60 * 60

_KEPT = {
    "Content-Type": "text/javascript; charset=utf-8",
    "Cache-Control": f"public, max-age={KEPT_s}, immutable",
    "Vary": "Accept-Encoding",
}
Kept = tuple[Callable[[], bytes], Callable[[], bytes]]
_IMPORTED = re.compile(r'^(?:import|export)\b[^"]*?\bfrom "([^"\n]+)"', re.MULTILINE)
_IMPORTED_LATER = re.compile(r'\bimport\("(\.[^"\n]+)"\)')


@cache
def _texts() -> dict[str, bytes]:
    """All modules by name, as they are when the first one is asked for."""
    return read_static("*.js")


def modules_root() -> str:
    """Where all modules are, relative to the page's address; another whenever one of them changes."""
    return f"./{MODULES}{_mark()}/"


@cache
def _mark() -> str:
    return mark_of(_texts())


@cache
def _packed(name: str) -> bytes:
    return pack(_texts()[name])


def module_address(name: str) -> str:
    """Where a browser finds a module, relative to the page's address.

    Parameters
    ----------
    name : str
        Of a file below static/, such as "roof/roof.js".

    Raises
    ------
    FileNotFoundError
        If there is no such module.
    """
    if name not in _texts():
        raise FileNotFoundError(STATIC / name)
    return modules_root() + name


@cache
def loaded_with(*addresses: str) -> tuple[str, ...]:
    """Modules and all that they import, for a browser that shall fetch them at once and not row after row.

    Parameters
    ----------
    addresses : str
        From `module_address`.

    Raises
    ------
    FileNotFoundError
        If one that is imported is not there.
    """
    found = [one.removeprefix(modules_root()) for one in addresses]
    for name in found:  # grows while it is walked
        for target in _IMPORTED.findall(module_text(name)):
            path = normpath(join(dirname(name), target))
            if path not in found:
                module_address(path)
                found.append(path)
    return tuple(map(module_address, found))


def module_text(name: str, imports: Callable[[str], str] | None = None) -> str:
    """What a module says.

    Parameters
    ----------
    name : str
        Of a file below static/.
    imports : callable, optional
        What stands in place of the address of a module that is imported, given its name.
    """
    text = _texts()[name].decode("utf-8")
    if imports is None:
        return text

    def renamed(match: re.Match[str]) -> str:
        target = normpath(join(dirname(name), match[1]))
        return match[0].replace(f'"{match[1]}"', f'"{imports(target)}"')

    return _IMPORTED_LATER.sub(renamed, _IMPORTED.sub(renamed, text))


def module_names() -> tuple[str, ...]:
    """The names of all files that there are."""
    return tuple(_texts())


def answer_module(request: HTTPServerRequest, path_args: Sequence[bytes], **_more: Any) -> None:
    """GET modules/MARK/NAME.js: a module as it is under that mark.

    It answers the connection itself: a browser that takes them one by one asks for some hundred, and with
    Tornado's handlers each would cost twice as much.

    Parameters
    ----------
    request : HTTPServerRequest
    path_args : (2,) of bytes
        Mark and name, as `MODULE_PATH` finds them.
    """
    mark, name = (part.decode("ascii") for part in path_args)
    known = mark == _mark() and name in _texts()
    answer_kept(request, (lambda: _texts()[name], lambda: _packed(name)) if known else None)


def answer_kept(request: HTTPServerRequest, found: Kept | None) -> None:
    """Answer with a script that a browser may keep for as long as its address is the same.

    Parameters
    ----------
    request : HTTPServerRequest
    found : pair of callables or None
        Give the script plain and packed; None where there is none.
    """
    headers, body = HTTPHeaders(COMMON_HEADERS), b""
    if request.method not in ("GET", "HEAD"):
        line = ResponseStartLine("HTTP/1.1", 405, "Method Not Allowed")
    elif found is None:
        line = ResponseStartLine("HTTP/1.1", 404, "Not Found")
    else:
        line = ResponseStartLine("HTTP/1.1", 200, "OK")
        packed = takes_packed(request.headers)
        body = found[packed]()
        headers.update(_KEPT | (PACKED if packed else {}))
    headers["Content-Length"] = str(len(body))
    connection: Any = request.connection
    connection.write_headers(line, headers, b"" if request.method == "HEAD" else body)
    connection.finish()
