"""Writing TOML the way a person would lay it out: tables apart, short lists on one line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pvsim.errors import FileError

WIDTH = 100

_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def write_toml(values: Mapping[str, Any], *, comment: str = "") -> str:
    """Write a document of tables, lists, texts, numbers and truths.

    Parameters
    ----------
    values : mapping
        A list of mappings becomes a list of tables where one of them is too long for a line.
    comment : str
        Lines to stand at the top.

    Returns
    -------
    str
        TOML that parses back to equal values.

    Raises
    ------
    FileError
        If a text holds half a character (a lone surrogate), which no file can.
    """
    lines = [f"# {line}".rstrip() for line in comment.splitlines()]
    _write_table(values, (), lines)
    text = "\n".join(lines).lstrip("\n") + "\n"
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise FileError(
            "a text holds half a character",
            expected="texts made of whole Unicode characters",
            mend="Type the title, note or name anew",
        ) from None
    return text


def _write_table(values: Mapping[str, Any], path: tuple[str, ...], lines: list[str]) -> None:
    later: list[tuple[str, Any]] = []
    for key, value in values.items():
        if isinstance(value, Mapping) or _is_tables(value):
            later.append((key, value))
        else:
            lines.append(f"{_key(key)} = {_value(value, len(key) + 3)}")
    for key, value in later:
        below = (*path, key)
        name = ".".join(_key(part) for part in below)
        for entry in [value] if isinstance(value, Mapping) else value:
            lines += ["", f"[{name}]" if isinstance(value, Mapping) else f"[[{name}]]"]
            _write_table(entry, below, lines)


def _is_tables(value: object) -> bool:
    """Whether a list is better written as [[tables]] than as { inline, tables }."""
    if (
        not isinstance(value, (list, tuple))
        or not value
        or not all(isinstance(one, Mapping) for one in value)
    ):
        return False
    return any(_is_nested(one) or len(_inline(one)) > WIDTH - 6 for one in value)


def _is_nested(entry: Mapping[str, Any]) -> bool:
    return any(isinstance(one, (Mapping, list, tuple)) for one in entry.values())


def _value(value: Any, indent: int) -> str:
    text = _inline(value)
    if not isinstance(value, (list, tuple)) or len(text) + indent <= WIDTH:
        return text
    return "[\n" + "\n".join(_wrapped(value)) + "\n]"


def _wrapped(values: Sequence[Any]) -> list[str]:
    lines = [""]
    for value in values:
        text = _inline(value) + ","
        if isinstance(value, (list, tuple)) and len(text) > WIDTH - 4:
            text = "[\n" + "\n".join("    " + line for line in _wrapped(value)) + "\n    ],"
        if lines[-1] and ("\n" in text or len(lines[-1]) + len(text) > WIDTH - 5):
            lines.append("")
        lines[-1] += (" " if lines[-1] else "    ") + text
        if isinstance(value, (Mapping, list, tuple)):
            lines.append("")
    return lines if lines[-1] else lines[:-1]


def _inline(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(key)} = {_inline(one)}" for key, one in value.items()) + " }"
    return "[" + ", ".join(_inline(one) for one in value) + "]"


def _key(key: str) -> str:
    plain = key and all(c.isascii() and (c.isalnum() or c in "_-") for c in key)
    return key if plain else _text(key)


def _text(text: str) -> str:
    return '"' + "".join(_ESCAPES.get(c, c) if c.isprintable() else _escape(c) for c in text) + '"'


def _escape(c: str) -> str:
    if c in _ESCAPES:
        return _ESCAPES[c]
    if 0xD800 <= ord(c) <= 0xDFFF:
        return c  # refused when the text is encoded
    return f"\\u{ord(c):04X}" if ord(c) < 0x10000 else f"\\U{ord(c):08X}"
