"""What is packed on its way to a browser, and for whom."""

from __future__ import annotations

import gzip
from collections.abc import Mapping

__all__ = ["PACKED", "pack", "takes_packed"]

PACKED = {"Content-Encoding": "gzip"}  # how an answer says that it is


def takes_packed(headers: Mapping[str, str]) -> bool:
    """Whether who asks with these headers takes packed answers; read as Tornado does for all others."""
    return "gzip" in headers.get("Accept-Encoding", "")


def pack(content: bytes) -> bytes:
    """The content packed, the same whenever it is."""
    return gzip.compress(content, mtime=0)
