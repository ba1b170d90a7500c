"""Static files as a browser gets them: packed once, and kept in memory.

Tornado packs every file anew for everybody who asks, which costs a tenth of a second for the scripts of one
page, and several seconds for those of a class that opens it at once.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

from tornado.web import GZipContentEncoding, StaticFileHandler

from pvsim.app.packing import PACKED, pack, takes_packed

__all__ = ["PackedFiles"]

SMALLEST_bytes = GZipContentEncoding.MIN_LENGTH  # below it packing gains nothing
MOST_FILES = 128  # kept; a page has some twenty


@lru_cache(maxsize=MOST_FILES)
def _packed_file(path: Path, modified_ns: int) -> bytes:
    """The packed file; `modified_ns` sets one apart from a later one of the same name."""
    return pack(path.read_bytes())


class PackedFiles(StaticFileHandler):
    """Serves files of a folder, packed where the browser takes that and it makes them smaller.

    That an answer varies with what the browser takes is said by Tornado.
    """

    _packed: bytes | None = None

    def set_extra_headers(self, path: str) -> None:
        """Find out how the file goes, and say so."""
        super().set_extra_headers(path)
        if "v" not in self.request.arguments:  # its address stays when it changes: ask whether it has
            self.set_header("Cache-Control", "no-cache")
        self._packed = self._pack()
        if self._packed is not None:
            for name, value in PACKED.items():
                self.set_header(name, value)

    def _pack(self) -> bytes | None:
        asked = self.request.headers
        if not takes_packed(asked) or "Range" in asked:
            return None
        kind, path = self.get_content_type(), Path(self.absolute_path or "")
        if not (kind.startswith("text/") or kind in GZipContentEncoding.CONTENT_TYPES):
            return None
        status = path.stat()
        return _packed_file(path, status.st_mtime_ns) if status.st_size >= SMALLEST_bytes else None

    def get_content_size(self) -> int:
        """Bytes that are sent."""
        return super().get_content_size() if self._packed is None else len(self._packed)

    def write(self, chunk: Any) -> None:
        """The packed file in place of the one that lies there; both go in one piece."""
        super().write(chunk if self._packed is None else self._packed)

    @classmethod
    def get_content(cls, abspath: str, start: int | None = None, end: int | None = None) -> Any:
        """The file as it lies, in one piece; its mark is made of it."""
        return Path(abspath).read_bytes()[start:end]
