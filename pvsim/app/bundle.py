"""The page's modules in one piece: a hundred requests for them were a third of the cost of a page.

A browser gets the modules' texts in one script, makes of each an address of its own (a blob), and a map from
the addresses that modules have to these. Each stays a module by itself, under the name that it has, and is
there once however it is imported. A browser without import maps fetches each from its own address.
"""

from __future__ import annotations

import json
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
OWN = "pvsim/"  # before the names by which modules in blobs, which have no place, import one another
SPREAD = "shell/spread.js"  # the script that makes the modules of their texts

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
    texts = {name: module_text(name, imports=OWN.__add__) for name in names}
    told = {"root": root, "own": OWN, "texts": texts, "others": sorted({*module_names()} - {*names})}
    return f"window.pvsimBundle = {json.dumps(told, ensure_ascii=False)};\n{module_text(SPREAD)}".encode()


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
