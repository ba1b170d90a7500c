"""Strict reading of one table: each key is asked for by kind, and what does not fit is refused in place."""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from datetime import date, time
from math import inf, isfinite
from typing import Any

from pvsim.errors import nearest
from pvsim.files.source import Path, shown

_ABSENT: Any = object()
_PLAIN = "Write it without a point and without quotes"
_IN_RANGE = "Choose one in that range"


class Strict(ABC):
    """One table of an untrusted file.

    A table either raises its first refusal or notes it and goes on. Where it goes on, what was refused is
    taken for an empty value of its kind: "", False, [], the least number, the first word.

    Parameters
    ----------
    values : mapping
        What was parsed.
    path : tuple of str and int
        Keys and list positions that lead to it.
    """

    def __init__(self, values: Mapping[str, Any], path: Path) -> None:
        self.values = values
        self.path = path
        self._asked: set[str] = set()

    @abstractmethod
    def _refuse_value(self, more: Path, said: str, *, expected: str, mend: str) -> None:
        """Refuse what stands below this table: `said` goes on from its name, as "is 5" does."""

    @abstractmethod
    def _refuse_absence(self, key: str, *, kind: str, example: str) -> None:
        """Refuse that a key is missing, whose value is of this kind, in words, and looks like this."""

    def number(
        self, key: str, default: float | None = None, *, least: float = -inf, most: float = inf
    ) -> float:
        """Take a finite number within limits, ends included; whole numbers serve too."""
        value = self._take(key, default, "a number", "0.5")
        if value is _ABSENT:
            return least if least > -inf else 0.0
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self._refuse_kind((key,), value, "a number", _number_hint(key, value))
            return least if least > -inf else 0.0
        number = _as_float(value)
        if not isfinite(number):
            expected, mend = "a finite number, not nan or inf", "Write one such as 12.5"
            self._refuse_kind((key,), value, expected, mend)
        elif not least <= number <= most:
            expected = f"a number from {least:g} to {most:g}"
            self._refuse_value((key,), f"is {number:g}", expected=expected, mend=_IN_RANGE)
        else:
            return number
        return least if least > -inf else 0.0

    def whole(self, key: str, default: int | None = None, *, least: int, most: int) -> int:
        """Take a whole number within bounds, checked before anything is built from it."""
        value = self._take(key, default, "a whole number", str(least))
        if value is _ABSENT:
            return least
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            mend = _IN_RANGE if type(value) is int else _PLAIN
            self._refuse_kind((key,), value, f"a whole number from {least:,} to {most:,}", mend)
            return least
        return value

    def text(self, key: str, default: str | None = None, *, longest: int | None = None) -> str:
        """Take a text; with `longest`, one that is not empty, without the blanks around it."""
        value = self._take(key, default, "a text in quotes", '"..."')
        if value is _ABSENT:
            return ""
        if not isinstance(value, str):
            self._refuse_kind((key,), value, "a text in quotes", "Put it between quotes")
            return ""
        if longest is None:
            return value
        bare = value.strip()
        if value is not default and not 0 < len(bare) <= longest:
            expected, mend = f"1 to {longest}", "Write it shorter" if bare else "Write it"
            self._refuse_value((key,), f"has {len(value)} characters", expected=expected, mend=mend)
        return bare

    def flag(self, key: str, default: bool | None = None) -> bool:
        """Take true or false."""
        value = self._take(key, default, "true or false, without quotes", "false")
        if value is not _ABSENT and not isinstance(value, bool):
            self._refuse_kind((key,), value, "true or false, without quotes", "Write true or false")
        return value is True

    def word(self, key: str, known: Sequence[str], default: str | None = None) -> str:
        """Take one of the known words."""
        expected = "one of " + ", ".join(known)
        value = self._take(key, default, expected, f'"{known[0]}"' if known else '"..."')
        if isinstance(value, str) and (value in known or value == default):
            return value
        if value is not _ABSENT:
            near = nearest(str(value)[:80], known, "Choose one of them, in quotes")
            self._refuse_kind((key,), value, expected, near)
        return default or next(iter(known), "")

    def entries(self, key: str, *, most: int | None = None, required: bool = False) -> list[Any]:
        """Take a list of at most `most` entries; an absent one is empty."""
        kind = "a list in square brackets"
        value = self._take(key, None if required else [], kind, "[...]")
        if value is _ABSENT:
            return []
        if not isinstance(value, list):
            mend = "Put it between [ and ]"
            if isinstance(value, Mapping):
                names = (part for part in (*self.path, key) if isinstance(part, str))
                mend = f"Write its name between two brackets: [[{'.'.join(names)}]]"
            self._refuse_kind((key,), value, kind, mend)
            return []
        if most is not None and len(value) > most:
            said, expected = f"has {len(value):,} entries", f"at most {most:,}"
            self._refuse_value((key,), said, expected=expected, mend="Leave some out")
        return value

    def _text_entries(self, key: str, value: Sequence[Any], *, empty: bool) -> list[str]:
        """The texts of a list; none where one entry is something else."""
        for position, entry in enumerate(value):
            if not isinstance(entry, str) or not (empty or entry.strip()):
                self._refuse_kind((key, position), entry, "a text in quotes", "Put it between quotes")
                return []
        return list(value)

    def _take(self, key: str, default: Any, kind: str, example: str) -> Any:
        """What stands there, or the default; _ABSENT once it was refused that it is missing."""
        self._asked.add(key)
        if key in self.values:
            return self.values[key]
        if default is None:
            self._refuse_absence(key, kind=kind, example=example)
            return _ABSENT
        return default

    def _refuse_kind(self, more: Path, value: object, expected: str, mend: str) -> None:
        self._refuse_value(more, f"is {shown(short_value(value))}", expected=expected, mend=mend)


def short_value(value: object) -> str:
    """A value of any kind as it stands in the file, or what it is, where that would be long."""
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and value.bit_length() > 200:
        return "a number of more than 60 digits"  # str() of a huge int is slow or refused
    return repr(value)


def _number_hint(key: str, value: object) -> str:
    plain = value.strip().replace(",", ".") if isinstance(value, str) else ""
    if re.fullmatch(r"[-+]?\d+(\.\d+)?", plain):
        return f"Write it without quotes: {shown(key)} = {shown(plain)}"
    return "Write it without quotes and without a unit, such as 12.5"


def _as_float(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        return inf
