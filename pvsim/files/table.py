"""One table of an untrusted file, read key by key, with every refusal placed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import MISSING, fields
from typing import Any, NoReturn, TypeVar, get_args, get_type_hints

from pvsim.errors import FileError, PvsimError
from pvsim.files.source import Path, Source, shown, where
from pvsim.files.strict import Strict
from pvsim.files.units import unknown_key_hint

T = TypeVar("T")
_OF_THE = re.compile(r"(\w+) of the [\w ]+? (is|has|holds) ")  # how values name their field
MAX_WHOLE = 1_000_000  # no count in a file is larger


class Table(Strict):
    """A table whose keys are all known, and which raises its first refusal.

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
        super().__init__(values if isinstance(values, Mapping) else {}, path)
        self.source = source
        if not isinstance(values, Mapping):
            mend = "Write it as [table] or { key = value }"
            self._refuse_kind((), values, "a table of keys and values", mend)
        belong = frozenset(known)
        for key in self.values:
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
        return self._text_entries(key, self.entries(key, most=most, required=required), empty=True)

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
                mend = "Write it without a point and without quotes"
                self._refuse_kind((name,), self.values[name], "a whole number", mend)
            return self.whole(name, least=0, most=MAX_WHOLE)
        if name in self and not isinstance(self.values[name], str):
            words = get_args(get_type_hints(kind)[name])
            if words:  # one of a few words
                mend = f'Write it like {name} = "{words[0]}"'
                self._refuse_kind((name,), self.values[name], "one of " + ", ".join(map(str, words)), mend)
        return self.text(name)

    def _refuse_value(self, more: Path, said: str, *, expected: str, mend: str) -> NoReturn:
        place = where(self.source, (*self.path, *more))
        raise FileError(f"{place} {said}", expected=expected, mend=mend)

    def _refuse_absence(self, key: str, *, kind: str, example: str) -> NoReturn:
        raise FileError(
            f"{where(self.source, self.path)}: the key '{key}' is missing",
            expected=f"a key and value such as {key} = {example}",
            mend="Add it there",
        )
