"""The text of a file, its name, and where in it a key stands."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from stat import S_ISDIR, S_ISREG
from typing import Any, BinaryIO, NoReturn

from pvsim.errors import FileError
from pvsim.files.toml import KEY, KEYS, LONGEST_KEY, read_toml, shown

__all__ = [
    "MAX_BYTES",
    "MAX_TEXT_LENGTH",
    "Path",
    "Source",
    "check_format",
    "check_length",
    "line_of",
    "parse_toml",
    "path_text",
    "read_bytes",
    "read_source",
    "read_stream",
    "shown",
    "where",
]

MAX_TEXT_LENGTH = 2_000_000  # characters; 2,500 modules with 50 faults need less than a hundredth
MAX_BYTES = 4 * MAX_TEXT_LENGTH  # UTF-8 has at most four a character

Path = tuple[str | int, ...]

# As text: it is compiled when a line is looked for, which most files never need.
_HEADER = rf"(\[\[?)\s*({KEYS})\s*\]\]?\s*(?:#|$)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A text to be read and what to call it in a message.

    Parameters
    ----------
    name : str
        File name, or words such as "the link".
    text : str
        What stands in it; empty when it never was a text with lines.
    """

    name: str
    text: str = ""


def read_source(path: str | os.PathLike[str], name: str = "") -> Source:
    """Read a file of bounded size as UTF-8 text.

    Parameters
    ----------
    path : path
        Of an ordinary file; a pipe or a device is not opened.
    name : str
        What messages call it; its path if left out.

    Raises
    ------
    FileError
        If there is no such file, it is too large, or it is not text.
    """
    name = name or str(path)
    try:
        return Source(name=name, text=_text_of(read_bytes(path, name), name))
    except UnicodeDecodeError:
        raise FileError(
            f"{shown(name)} is not text",
            expected="a text file in UTF-8",
            mend="Save it again as UTF-8 from a text editor",
        ) from None


def read_bytes(path: str | os.PathLike[str], name: str = "", *, expected: str = "a text file") -> bytes:
    """The bytes of a file, one more than MAX_BYTES at most: whoever reads them says what is too long.

    Parameters
    ----------
    path : path
        Of an ordinary file; a pipe or a device is not opened.
    name : str
        What messages call it; its path if left out.
    expected : str
        What a message says it should have been.

    Raises
    ------
    FileError
        If there is no such file.
    """
    name = name or str(path)
    try:
        mode = os.stat(path).st_mode
        if not S_ISREG(mode):  # a pipe may never end, and opening one may never return
            raise FileError(
                f"{shown(name)} is {'a folder' if S_ISDIR(mode) else 'no ordinary file'}",
                expected=expected,
                mend="Name the file itself; '-' reads the standard input",
            )
        with open(path, "rb") as file:
            return file.read(MAX_BYTES + 1)
    except OSError as error:
        raise FileError(
            f"{shown(name)} cannot be read ({shown(error.strerror or error)})",
            expected="a file that exists and may be read",
            mend="Check its name and folder",
        ) from None


def read_stream(stream: BinaryIO, name: str) -> Source:
    """Read a stream of bounded length as UTF-8 text.

    Raises
    ------
    FileError
        If it goes on for too long, or is not text.
    """
    try:
        return Source(name=name, text=_text_of(stream.read(MAX_BYTES + 1), name))
    except UnicodeDecodeError:
        raise FileError(
            f"{shown(name)} is not text",
            expected="text in UTF-8",
            mend="Check what is piped into pvsim",
        ) from None


def _text_of(data: bytes, name: str) -> str:
    """What stands in a file."""
    if len(data) > MAX_BYTES:
        _refuse_length(name)
    text = data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    check_length(Source(name=name, text=text))
    return text


def where(source: Source, path: Path) -> str:
    """Name the place of a key: file, line when it can be found, and key path."""
    line = line_of(source.text, path)
    at = "" if line is None else f", line {line}"
    return f"{shown(source.name)}{at}" + (f", {path_text(path)}" if path else "")


def path_text(path: Path) -> str:
    """Write a key path as a reader says it; list entries count from 1."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else ("." if text else "") + shown(part)
    return text


def line_of(text: str, path: Path) -> int | None:
    """Find the line on which a key of a TOML text stands.

    Parameters
    ----------
    text : str
        The TOML text; may be empty.
    path : tuple of str and int
        Keys and, for entries of a list, positions from 0.

    Returns
    -------
    int or None
        Line from 1 of the key, or of the nearest key above it that has a line of its own.
    """
    lines = _lines_by_path(text) if text else {}
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None


def parse_toml(source: Source) -> dict[str, Any]:
    """Parse a TOML text of bounded size.

    Raises
    ------
    FileError
        If the text is too long, nested too deeply or not TOML; with the line.
    """
    check_length(source)
    found = read_toml(source.text)
    if isinstance(found, dict):
        return found
    at = f", line {found.line}" if found.line else ""
    at += f", column {found.column}" if found.column else ""
    raise FileError(f"{shown(source.name)}{at}: {found.wrong}", expected=found.expected, mend=found.mend)


def check_length(source: Source) -> None:
    """Refuse a text longer than any honest file."""
    if len(source.text) > MAX_TEXT_LENGTH:
        _refuse_length(source.name)


def _refuse_length(name: str) -> NoReturn:
    raise FileError(
        f"{shown(name)} has too many characters",
        expected=f"at most {MAX_TEXT_LENGTH:,}",
        mend="Check that it is the right file; a large scenario gets short where whole modules or strings "
        "are painted by one place instead of cell by cell",
    )


def check_format(source: Source, values: Mapping[str, Any], newest: int, path: Path = ()) -> None:
    """Refuse a file, or the table at a path of it, whose `format` is missing or unknown."""
    if "format" not in values:
        raise FileError(
            f"{where(source, path)} has no format key",
            expected=f"format = {newest} at its top",
            mend=f"Add the line: format = {newest}",
        )
    version = values["format"]
    if isinstance(version, bool) or not isinstance(version, int) or not 1 <= version <= newest:
        later = type(version) is int and version > newest
        raise FileError(
            f"{where(source, (*path, 'format'))} is {shown(repr(version))}",
            expected=f"format = {newest}" if newest == 1 else f"a whole number from 1 to {newest}",
            mend="A file with a later format needs a later pvsim" if later else f"Write format = {newest}",
        )


@lru_cache(maxsize=2)  # a strict reader asks about many keys of one text
def _lines_by_path(text: str) -> dict[Path, int]:
    lines: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    quote = ""  # the multi-line quote we are inside of
    for number, line in enumerate(text.split("\n"), start=1):
        if quote:
            quote = "" if quote in line else quote
            continue
        start = line[:LONGEST_KEY].lstrip()
        header = re.match(_HEADER, start)
        if header:
            table = _resolve(_keys(header[2]), counts, new=header[1] == "[[")
            lines.setdefault(table, number)
            if table and isinstance(table[-1], int):
                lines.setdefault(table[:-1], number)
            continue
        key = re.match(KEY, start)
        if key:
            lines.setdefault(table + _keys(key[1]), number)
        for mark in ('"""', "'''"):
            if line.count(mark) % 2:
                quote = mark
    return lines


def _keys(text: str) -> tuple[str, ...]:
    return tuple(part.strip().strip("\"'") for part in text.split("."))


def _resolve(keys: tuple[str, ...], counts: dict[Path, int], *, new: bool) -> Path:
    """Turn a header's keys into a path, with the newest entry of each list of tables."""
    path: Path = ()
    for position, key in enumerate(keys):
        path += (key,)
        if new and position == len(keys) - 1:
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path += (counts[path] - 1,)
    return path
