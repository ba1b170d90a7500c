"""Reads JSON that nobody has looked at: finite numbers, each key once, of bounded length, depth and width."""

from __future__ import annotations

from typing import Any

from pvsim.errors import FileError
from pvsim.files.extent import WIDEST, is_too_much
from pvsim.files.source import Source, check_length, shown

__all__ = ["is_json", "parse_json"]


def is_json(text: str) -> bool:
    """Whether a text is meant as JSON rather than TOML: its first sign is a brace."""
    return text.lstrip("\ufeff \t\r\n").startswith("{")


def parse_json(source: Source, what: str, *, deepest: int, flatter: str) -> dict[str, Any]:
    """Parse one object.

    Parameters
    ----------
    source : Source
        Its text begins with a brace.
    what : str
        What such a file holds, for messages: "circuit".
    deepest : int
        Levels that an honest one may have, for messages.
    flatter : str
        How one that is too deep is mended.

    Raises
    ------
    FileError
        If it is no JSON, or holds what no honest file does.
    """
    import json  # most files are TOML

    check_length(source)
    try:
        values = json.loads(source.text, parse_constant=_refuse_constant, object_pairs_hook=_once)
    except json.JSONDecodeError as error:
        raise FileError(
            f"{shown(source.name)}, line {error.lineno}, column {error.colno} is not JSON ({error.msg})",
            expected="one object in braces",
            mend="Look for a missing comma, quote or brace there",
        ) from None
    except RecursionError:
        values = None
    except ValueError as error:  # a constant, a doubled key, or a number with thousands of digits
        raise FileError(
            f"{shown(source.name)} holds what no {what} needs ({shown(error)})",
            expected="finite numbers, and each key once",
            mend="Correct it and try again",
        ) from None
    if values is None or is_too_much(values):
        raise FileError(
            f"{shown(source.name)} is nested too deeply, or has too many keys in one object",
            expected=f"at most {deepest} levels and {WIDEST:,} keys",
            mend=flatter,
        )
    assert isinstance(values, dict)
    return values


def _refuse_constant(text: str) -> float:
    raise ValueError(f"{text} is not a number")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    values = dict(pairs)
    if len(values) != len(pairs):
        raise ValueError("a key stands twice in one object")
    return values
