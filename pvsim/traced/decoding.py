"""Bytes of a tracer's file as text: UTF-8, UTF-16 with or without its mark, and else what Windows writes."""

from __future__ import annotations

from codecs import BOM_UTF16_BE, BOM_UTF16_LE

from pvsim.errors import FileError
from pvsim.files.source import MAX_BYTES, shown
from pvsim.words import _

_LOOKED_AT, _FEWEST = 400, 8  # bytes
_MOSTLY = 0.9


def decode(data: bytes, name: str = "the curve file") -> str:
    """The text of a file that may come from an old program on Windows.

    Parameters
    ----------
    data : bytes
        Untrusted.
    name : str
        What messages call it.

    Raises
    ------
    FileError
        If it is too large, or no text in any of these codes.

    Notes
    -----
    A degree sign of Windows-1252 is no UTF-8, so the two are not confused.
    """
    if len(data) > MAX_BYTES:
        raise FileError(
            _("{name} has more than {most} bytes").format(name=shown(name), most=MAX_BYTES),
            expected=_("one curve"),
            mend=_("Leave points out"),
        )
    marked = data.startswith((BOM_UTF16_LE, BOM_UTF16_BE))
    for code in ("utf-16",) if marked else _codes_of(data[:_LOOKED_AT]):
        try:
            return data.decode(code)
        except UnicodeDecodeError:
            continue
    raise FileError(
        _("{name} is not text").format(name=shown(name)),
        expected=_("a table as text, with a row for each point"),
        mend=_("Save it as CSV from the program that made it"),
    )


def _codes_of(start: bytes) -> tuple[str, ...]:
    """Codes to try where no mark names one. In UTF-16 every other byte of figures and letters is zero."""
    if len(start) >= _FEWEST:
        even, odd = start[::2].count(0) / len(start[::2]), start[1::2].count(0) / len(start[1::2])
        if odd > _MOSTLY and not even:
            return ("utf-16-le",)
        if even > _MOSTLY and not odd:
            return ("utf-16-be",)
    return ("utf-8-sig", "cp1252")
