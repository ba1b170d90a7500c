"""One table of an untrusted file, read key by key, with every refusal placed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import MISSING, fields
from datetime import date, time
from math import isfinite
from typing import Any, TypeVar, get_args, get_type_hints

from pvsim.errors import FileError, PvsimError, nearest
from pvsim.files.source import Path, Source, shown, where
from pvsim.files.units import unknown_key_hint

T = TypeVar("T")
_REQUIRED: Any = object()
_MEND = {  # what to do with another kind of value, and what the right one looks like
    str: ("Put it between quotes", '"..."'),
    bool: ("Write true or false", "false"),
    list: ("Put it between [ and ]", "[...]"),
}
_PLAIN = "Write it without a point and without quotes"
_OF_THE = re.compile(r"(\w+) of the [\w ]+? (is|has|holds) ")  # how values name their field
MAX_WHOLE = 1_000_000  # no count in a file is larger


class Table:
    """A table whose keys are all known; each is taken with its kind checked.

    Parameters
    ----------
    source : Source
        Where it was read from, for messages.
    path : tuple of str and int
        Keys and list positions that lead to it.
    values : mapping
        What was parsed; anything but a table is refused.
    known : sequence of str
        The keys it may have.

    Raises
    ------
    FileError
        If `values` is no table or has another key; each method, if the kind is wrong.
    """

    def __init__(self, source: Source, path: Path, values: object, known: Sequence[str]) -> None:
        self.source = source
        self.path = path
        if not isinstance(values, Mapping):
            self._refuse((), values, "a table of keys and values", "Write it as [table] or { key = value }")
        assert isinstance(values, Mapping)
        self.values: Mapping[str, Any] = values
        belong = frozenset(known)
        for key in values:
            if key not in belong:
                raise FileError(
                    f"{where(source, (*path, key))}: the key '{shown(key)}' is not known",
                    expected="a key that belongs here",
                    mend=unknown_key_hint(str(key), known),
                )

    def __contains__(self, key: str) -> bool:
        return key in self.values

    def only(self, known: Sequence[str], why: str) -> None:
        """Refuse a key that may stand in such a table, but not in this one."""
        for key in self.values:
            if key not in known:
                place = where(self.source, (*self.path, key))
                raise FileError(
                    f"{place}: the key '{shown(key)}' does not belong here {why}",
                    expected="only " + ", ".join(known),
                    mend=unknown_key_hint(key, known, "Take it out"),
                )

    def number(self, key: str, default: float = _REQUIRED) -> float:
        """Take a finite number; whole numbers serve too."""
        value = self._take(key, default, "0.5")
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self._refuse((key,), value, "a number", _number_hint(key, value))
        number = _as_float(value)
        if not isfinite(number):
            self._refuse((key,), value, "a finite number, not nan or inf", "Write one such as 12.5")
        return number

    def whole(self, key: str, default: int = _REQUIRED, *, least: int, most: int) -> int:
        """Take a whole number within bounds, checked before anything is built from it."""
        value = self._take(key, default, str(least))
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            mend = "Choose one in that range" if type(value) is int else _PLAIN
            self._refuse((key,), value, f"a whole number from {least:,} to {most:,}", mend)
        return int(value)

    def text(self, key: str, default: str = _REQUIRED) -> str:
        """Take a text."""
        return self._kind(key, default, str, "a text in quotes")

    def flag(self, key: str, default: bool = _REQUIRED) -> bool:
        """Take true or false."""
        return self._kind(key, default, bool, "true or false, without quotes")

    def word(self, key: str, known: Sequence[str], default: str = _REQUIRED) -> str:
        """Take one of the known words."""
        value = self._take(key, default, f'"{known[0]}"' if known else '"..."')
        if not isinstance(value, str) or value not in known:
            self._refuse_word(key, value, known)
        assert isinstance(value, str)
        return value

    def entries(self, key: str, *, most: int, required: bool = False) -> list[Any]:
        """Take a list of at most `most` entries; an absent one is empty."""
        nothing: list[Any] = _REQUIRED if required else []
        value: list[Any] = self._kind(key, nothing, list, "a list in square brackets")
        if len(value) > most:
            raise FileError(
                f"{where(self.source, (*self.path, key))} has {len(value):,} entries",
                expected=f"at most {most:,}",
                mend="Leave some out",
            )
        return value

    def table(self, key: str, known: Sequence[str]) -> Table:
        """Take a table below this one; an absent one is empty."""
        return Table(self.source, (*self.path, key), self.values.get(key, {}), known)

    def named(self, key: str, *, most: int, mend: str) -> Table:
        """Take a table whose keys are names that the file gives, at most so many; an absent one is empty."""
        values = self.values.get(key, {})
        if isinstance(values, Mapping) and len(values) > most:
            raise FileError(
                f"{where(self.source, (*self.path, key))} has {len(values):,} entries",
                expected=f"at most {most:,}",
                mend=mend,
            )
        return self.table(key, tuple(values) if isinstance(values, Mapping) else ())

    def tables(self, key: str, known: Sequence[str], *, most: int, required: bool = False) -> Iterator[Table]:
        """Take a list of tables below this one."""
        for position, entry in enumerate(self.entries(key, most=most, required=required)):
            yield Table(self.source, (*self.path, key, position), entry, known)

    def texts(self, key: str, *, most: int, required: bool = False) -> list[str]:
        """Take a list of texts."""
        value = self.entries(key, most=most, required=required)
        for position, entry in enumerate(value):
            if not isinstance(entry, str):
                self._refuse((key, position), entry, "a text in quotes", "Put it between quotes")
        return value

    def fields(self, kind: type, names: Iterable[str]) -> dict[str, Any]:
        """Take those of a frozen value's fields that are there, each as its field is typed.

        Parameters
        ----------
        kind : type
            A dataclass; a field without a default must be there.
        names : iterable of str
            Which of its fields.

        Returns
        -------
        dict
            Value by field name.
        """
        known = {field.name: field for field in fields(kind)}
        taken: dict[str, Any] = {}
        for name in names:
            field = known[name]
            required = field.default is MISSING and field.default_factory is MISSING
            if name in self or required:
                taken[name] = self._typed(kind, name, str(field.type))
        return taken

    def build(self, kind: type[T], names: Iterable[str] | None = None, **more: object) -> T:
        """Build a frozen value from its fields, its own refusals placed."""
        if names is None:
            names = [field.name for field in fields(kind) if field.name not in more]  # type: ignore[arg-type]
        values = self.fields(kind, names)
        with self.placed():
            return kind(**values, **more)

    @contextmanager
    def placed(self, *more: str | int, keys: Mapping[str, str] | None = None) -> Iterator[None]:
        """Give errors raised by the values themselves the place in the file.

        Parameters
        ----------
        more : str or int
            Where below this table they are, unless they name a field that is a key here.
        keys : mapping
            Which key a field was read from, where that has another name.
        """
        try:
            yield
        except FileError:
            raise
        except PvsimError as error:
            field = error.wrong.split(" ", 1)[0]  # values name their field first
            key = (keys or {}).get(field, field)
            named = key in self.values
            path = (*self.path, key) if named else (*self.path, *more)
            place = where(self.source, path)
            found = _OF_THE.match(error.wrong)
            wrong = f"{place}: {error.wrong}"
            if found and named:  # the place says which field, and of what
                wrong = f"{place} {error.wrong[found.start(2) :]}"
            raise FileError(wrong, expected=error.expected, mend=error.mend) from error

    def convert(self, key: str, function: Callable[[str], T]) -> T:
        """Take a text and turn it into a value, errors placed."""
        text = self.text(key)
        with self.placed(key):
            return function(text)

    def _typed(self, kind: type, name: str, annotation: str) -> float | bool | int | str:
        if annotation.startswith("float"):
            return self.number(name)
        if annotation == "bool":
            return self.flag(name)
        if annotation == "int":
            if name in self and type(self.values[name]) is not int:
                self._refuse((name,), self.values[name], "a whole number", _PLAIN)
            return self.whole(name, least=0, most=MAX_WHOLE)
        if name in self and not isinstance(self.values[name], str):
            words = get_args(get_type_hints(kind)[name])
            if words:  # one of a few words
                mend = f'Write it like {name} = "{words[0]}"'
                self._refuse((name,), self.values[name], "one of " + ", ".join(map(str, words)), mend)
        return self.text(name)

    def _take(self, key: str, default: Any, example: str) -> Any:
        if key in self.values:
            return self.values[key]
        if default is _REQUIRED:
            raise FileError(
                f"{where(self.source, self.path)}: the key '{key}' is missing",
                expected=f"a key and value such as {key} = {example}",
                mend="Add it there",
            )
        return default

    def _kind(self, key: str, default: T, kind: type[T], expected: str) -> T:
        mend, example = _MEND[kind]
        value = self._take(key, default, example)
        if kind is list and isinstance(value, Mapping):
            mend = f"Write its name between two brackets: [[{'.'.join(_names((*self.path, key)))}]]"
        if not isinstance(value, kind):
            self._refuse((key,), value, expected, mend)
        assert isinstance(value, kind)
        return value

    def _refuse_word(self, key: str, value: object, known: Sequence[str]) -> None:
        near = nearest(str(value)[:80], known, "Choose one of them, in quotes")
        self._refuse((key,), value, "one of " + ", ".join(known), near)

    def _refuse(self, more: Path, value: object, expected: str, mend: str) -> None:
        raise FileError(
            f"{where(self.source, (*self.path, *more))} is {shown(_short(value))}",
            expected=expected,
            mend=mend,
        )


def _number_hint(key: str, value: object) -> str:
    plain = value.strip().replace(",", ".") if isinstance(value, str) else ""
    if re.fullmatch(r"[-+]?\d+(\.\d+)?", plain):
        return f"Write it without quotes: {shown(key)} = {shown(plain)}"
    return "Write it without quotes and without a unit, such as 12.5"


def _short(value: object) -> str:
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, bool):
        return str(value).lower()  # as it stands in the file
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and not isinstance(value, bool) and value.bit_length() > 200:
        return "a number of more than 60 digits"  # str() of a huge int is slow or refused
    return repr(value)


def _names(path: Path) -> Iterator[str]:
    return (part for part in path if isinstance(part, str))


def _as_float(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        return float("inf")
