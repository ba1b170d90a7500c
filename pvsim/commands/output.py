"""Where a command puts what it made: a file, or the standard output."""

from __future__ import annotations

import os
import sys
from typing import NoReturn

from pvsim.errors import FileError


def put_out(data: bytes, output: str | None) -> None:
    """Write data to a file; None and "-" are the standard output.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    if output is None or output == "-":
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    try:
        with open(output, "wb") as file:
            file.write(data)
    except OSError as error:
        _refuse(output, error.strerror)


def check_output(output: str | None) -> None:
    """Refuse a file that cannot be written, before long work is done for it.

    Raises
    ------
    FileError
        If its folder is not there, or it may not be written.
    """
    if output is None or output == "-":
        return
    folder = os.path.dirname(output) or "."
    if not os.path.isdir(folder):
        _refuse(output, f"there is no folder {folder}")
    if os.path.isdir(output) or not os.access(output if os.path.exists(output) else folder, os.W_OK):
        _refuse(output, "it is a folder, or not yours to write")


def _refuse(output: str, why: str | None) -> NoReturn:
    raise FileError(
        f"{output} cannot be written ({why})",
        expected="a file name in a folder that exists",
        mend="Choose another place with --output",
    )
