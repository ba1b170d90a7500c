"""The measured curve that a command is given: a file, the standard input, or the one that comes along."""

from __future__ import annotations

import os
import sys

from pvsim.errors import FileError
from pvsim.files.source import MAX_BYTES, Source, read_bytes
from pvsim.traced.columns import BROKEN, Proposal, propose
from pvsim.traced.decoding import decode
from pvsim.traced.own import INVENTED_NAME, invented_bytes
from pvsim.traced.traced_curve import TracedCurve, read_traced

__all__ = ["open_measured", "read_measured", "read_proposed"]

_STREAM = "the standard input"


def open_measured(path: str) -> Source:
    """The text of a measured curve, in whatever code a tracer's program wrote it.

    Parameters
    ----------
    path : str
        Of a file; '-' is the standard input, and the invented curve has a name of its own.

    Raises
    ------
    FileError
        If it cannot be read, is too large, or is no text.
    """
    if path == "-":
        return Source(name=_STREAM, text=decode(sys.stdin.buffer.read(MAX_BYTES + 1), _STREAM))
    if path == INVENTED_NAME and not os.path.exists(path):
        return Source(name=path, text=decode(invented_bytes(), path))
    return Source(name=path, text=decode(read_bytes(path, expected="a file with a table of a curve"), path))


def read_measured(path: str) -> TracedCurve:
    """A measured curve with its columns, units and signs as they are recognised.

    Raises
    ------
    FileError
        As `open_measured`, or if it holds no curve.
    """
    source = open_measured(path)
    found = propose(source.text, source.name)
    return read_proposed(
        source.text,
        found,
        source.name,
        unknown="Head them with their names and units, such as Voltage (V) and Current (A)",
        broken="Mend the row, or take it out",
    )


def read_proposed(text: str, found: Proposal, name: str, *, unknown: str, broken: str) -> TracedCurve:
    """Read a curve as it was recognised.

    Parameters
    ----------
    unknown, broken : str
        How a command's user mends columns that are not known, and rows without a usable number.

    Raises
    ------
    FileError
        As `read_traced`.
    """
    mapping = found.mapping
    try:
        return read_traced(text, mapping, name)
    except FileError as error:
        if mapping.voltage is None or mapping.current is None:
            raise FileError(error.wrong, expected=error.expected, mend=unknown) from None
        if not mapping.leave_out_broken and any(one.why == BROKEN for one in found.left_out):
            raise FileError(error.wrong, expected=error.expected, mend=broken) from None
        raise
