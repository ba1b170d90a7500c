"""The page's modules in one piece: a hundred requests for them were a third of the cost of a page.

Each becomes a function in one script: of the modules that ran before, and giving what this one exports.
`static/shell/spread.js` behind them has each run once, after all that it imports. So a browser reads,
translates and keeps them as one; addresses of their own (blobs) for each of them took a fifth of what opening
a page costs it. Only those that are imported from outside the script have one, which hands on what the
function gave. A browser without import maps fetches each module from its own address.

Our scripts import and export in few ways (`_TAKEN`, `_GIVEN`); anything else is refused when the script is
made.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from functools import cache
from typing import Any

from tornado.httputil import HTTPServerRequest

from pvsim.app.modules import (
    MODULES,
    answer_kept,
    loaded_with,
    module_address,
    module_names,
    module_text,
    modules_root,
)
from pvsim.app.packing import pack

__all__ = ["BUNDLE_PATH", "ENTRIES", "answer_bundle", "bundle_address", "bundled"]

BUNDLE = "all.js"
BUNDLE_PATH = rf"/{MODULES}([0-9a-f]+)/all\.js"
OWN = "pvsim/"  # before the names by which modules in blobs, which have no place, are imported
SPREAD = "shell/spread.js"  # the script that runs the modules

_TAKEN = re.compile(r'^import \{([^}]*)\} from "([^"\n]+)"', re.MULTILINE)
_GIVEN = re.compile(r"^export ((?:async )?function |const )(\w+)", re.MULTILINE)
_DEFAULT = re.compile(r"^export default ", re.MULTILINE)
_LEFT = re.compile(r"^(?:import|export)\b.*", re.MULTILINE)

# What every page shows; whatever else it shows it fetches beside.
ENTRIES = (
    "shell/top_bar.js",
    "roof/roof.js",
    "curves/desk.js",
    "curves/ladder.js",
    "lesson/lesson.js",
    "lecture/lecture.js",
    "shell/status.js",
    "shell/frame.js",
)


def bundle_address() -> str:
    """Where a browser finds the bundle, relative to the page's address."""
    return modules_root() + BUNDLE


def bundled() -> tuple[str, ...]:
    """The addresses of the modules that are in it."""
    return loaded_with(*map(module_address, ENTRIES))


@cache
def _bundle(root: str) -> bytes:
    """The script, as it is under this root."""
    names = [address.removeprefix(root) for address in bundled()]
    others = sorted({*module_names()} - {*names})
    asked = sorted({*ENTRIES, *(name for one in others for name in _imported(one) if name in names)})
    told = json.dumps({"root": root, "own": OWN, "asked": asked, "others": others})
    makers = "\n".join(f"{json.dumps(name)}: {_as_function(name)}," for name in _in_order(names))
    return f"window.pvsimBundle = {{ ...{told}, makers: {{\n{makers}\n}} }};\n{module_text(SPREAD)}".encode()


def _imported(name: str) -> list[str]:
    """What a module imports, at once or later, by name."""
    found: list[str] = []

    def note(target: str) -> str:
        found.append(target)
        return target

    module_text(name, imports=note)
    return found


def _in_order(names: Sequence[str]) -> list[str]:
    """Modules, each after those of them that it imports; none imports what imports it."""
    order: dict[str, None] = {}

    def add(name: str) -> None:
        if name in names and name not in order:
            for one in _imported(name):
                add(one)
            order[name] = None

    for name in names:
        add(name)
    return list(order)


def _as_function(name: str) -> str:
    """A module as a function, line by line as it is: of all modules, and giving what this one exports."""

    def taken(match: re.Match[str]) -> str:
        parts, target = match[1], match[2].removeprefix(OWN)
        for one in filter(None, (part.split()[:1] for part in parts.split(","))):
            if one[0] not in _exported(target):
                raise ValueError(
                    f"static/{name} imports {one[0]}, which static/{target} does not export by itself"
                )
        return f"const {{{parts.replace(' as ', ': ')}}} = modules[{json.dumps(target)}]"

    text = _GIVEN.sub(r"\1\2", _TAKEN.sub(taken, module_text(name, imports=OWN.__add__)))
    text = _DEFAULT.sub("const byDefault = ", text)
    if left := _LEFT.search(text):
        raise ValueError(f"static/{name} has a line that no bundle can be made of: {left[0]}")
    given = ", ".join(one if one != "default" else "default: byDefault" for one in _exported(name))
    return f'(modules => {{ "use strict"; {text}\nreturn {{ {given} }} }})'


def _exported(name: str) -> list[str]:
    """The names that a module gives to others."""
    text = module_text(name)
    return [name for _kind, name in _GIVEN.findall(text)] + ["default"] * len(_DEFAULT.findall(text))


@cache
def _packed(root: str) -> bytes:
    return pack(_bundle(root))


def answer_bundle(request: HTTPServerRequest, path_args: Sequence[bytes], **_more: Any) -> None:
    """GET modules/MARK/all.js: the bundle as it is under that mark.

    Parameters
    ----------
    request : HTTPServerRequest
    path_args : (1,) of bytes
        The mark, as `BUNDLE_PATH` finds it.
    """
    root = modules_root()
    known = root == f"./{MODULES}{path_args[0].decode('ascii')}/"
    answer_kept(request, (lambda: _bundle(root), lambda: _packed(root)) if known else None)
