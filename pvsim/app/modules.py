"""The scripts of the page: modules of JavaScript, each a file below static/, each at an address of its own.

What a module takes from others it imports by relative addresses, as any page's does. All of them bear one
mark of what they say in their addresses, so that a browser fetches each once, packed, and keeps it for as
long as they stay as they are. Panel would send a component's script with every document and have the
browser translate it before it runs; ours need no translation.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from posixpath import dirname, join, normpath
from typing import Any

from tornado.httputil import HTTPHeaders, HTTPServerRequest, ResponseStartLine

from pvsim.app.assets import STATIC, mark_of, read_static
from pvsim.app.door.policy import COMMON_HEADERS
from pvsim.app.packing import PACKED, pack, takes_packed

__all__ = ["MODULES", "MODULE_PATH", "answer_module", "loaded_with", "module_address"]

MODULES = "modules/"  # below the page's address
MODULE_PATH = rf"/{MODULES}([0-9a-f]+)/([a-z_/]+\.js)"
KEPT_s = 365 * 24 * 60 * 60

_KEPT = {
    "Content-Type": "text/javascript; charset=utf-8",
    "Cache-Control": f"public, max-age={KEPT_s}, immutable",
    "Vary": "Accept-Encoding",
}
_IMPORTED = re.compile(r'^(?:import|export)\b[^"]*?\bfrom "([^"\n]+)"', re.MULTILINE)


@cache
def _texts() -> dict[str, bytes]:
    """All modules by name, as they are when the first one is asked for."""
    return read_static("*.js")


def _root() -> str:
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
    return _root() + name


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
    found = [one.removeprefix(_root()) for one in addresses]
    for name in found:  # grows while it is walked
        for target in _IMPORTED.findall(_texts()[name].decode("utf-8")):
            path = normpath(join(dirname(name), target))
            if path not in found:
                module_address(path)
                found.append(path)
    return tuple(map(module_address, found))


def answer_module(request: HTTPServerRequest, path_args: Sequence[bytes], **_more: Any) -> None:
    """GET modules/MARK/NAME.js: a module as it is under that mark.

    It answers the connection itself: a page asks for some hundred modules when it is first opened, and with
    Tornado's handlers each would cost twice as much.

    Parameters
    ----------
    request : HTTPServerRequest
    path_args : (2,) of bytes
        Mark and name, as `MODULE_PATH` finds them.
    """
    mark, name = (part.decode("ascii") for part in path_args)
    headers, body = HTTPHeaders(COMMON_HEADERS), b""
    if request.method not in ("GET", "HEAD"):
        line = ResponseStartLine("HTTP/1.1", 405, "Method Not Allowed")
    elif mark != _mark() or name not in _texts():
        line = ResponseStartLine("HTTP/1.1", 404, "Not Found")
    else:
        line = ResponseStartLine("HTTP/1.1", 200, "OK")
        packed = takes_packed(request.headers)
        body = _packed(name) if packed else _texts()[name]
        headers.update(_KEPT | (PACKED if packed else {}))
    headers["Content-Length"] = str(len(body))
    connection: Any = request.connection
    connection.write_headers(line, headers, b"" if request.method == "HEAD" else body)
    connection.finish()
