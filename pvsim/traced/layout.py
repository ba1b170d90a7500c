"""How a text of rows is laid out: what parts its fields, its decimal mark, and which lines are the table."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from math import isfinite, nan
from typing import NoReturn

from pvsim.errors import FileError
from pvsim.files.curve_file import MAX_COLUMNS, MAX_POINTS
from pvsim.files.source import MAX_TEXT_LENGTH, shown
from pvsim.words import _

MAX_LINES = 2 * MAX_POINTS
MAX_LINE = 20_000  # characters; MAX_COLUMNS numbers need a tenth
DELIMITERS = ("\t", ";", ",")
DECIMALS = (".", ",")
_LOOKED_AT = 1_000  # lines with something in them, to tell the delimiter
_LEAST_ROWS = 2
LARGEST = 1e15  # of any column, times in ms too; products of such numbers are still numbers
_LONGEST_NUMBER = 40  # characters; a double has 25 at most

_PLAIN = {
    ".": re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?"),
    ",": re.compile(r"[+-]?(\d+(,\d*)?|,\d+)([eE][+-]?\d{1,3})?"),
}
_GROUPED = {".": re.compile(r"[+-]?\d{1,3}(,\d{3})+\.\d+"), ",": re.compile(r"[+-]?\d{1,3}(\.\d{3})+,\d+")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where the table is in a text and how its fields are parted.

    Parameters
    ----------
    delimiter : str
        Tab, semicolon or comma.
    decimal : str
        Point or comma.
    first_line, last_line : int
        Of the rows of numbers, from 1.
    columns : int
        Fields of each of them.
    """

    delimiter: str
    decimal: str
    first_line: int
    last_line: int
    columns: int


def lines_of(text: str, name: str) -> list[str]:
    """The lines of a text of bounded size.

    Raises
    ------
    FileError
        If the text, its lines or their number are longer than any honest table has them, or are not text.
    """
    if len(text) > MAX_TEXT_LENGTH:
        raise FileError(
            _("{name} has more than {most} characters").format(name=shown(name), most=MAX_TEXT_LENGTH),
            expected=_("one curve"),
            mend=_("Leave points out"),
        )
    if "\0" in text or "\ufffd" in text[:1000]:
        raise FileError(
            _("{name} is not text").format(name=shown(name)),
            expected=_("a table as text, with a row for each point"),
            mend=_("Save it as CSV from the program that made it"),
        )
    text = text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    if text.count("\n") >= MAX_LINES:
        raise FileError(
            _("{name} has more than {most} lines").format(name=shown(name), most=MAX_LINES),
            expected=_("one curve"),
            mend=_("Leave points out"),
        )
    lines = text.split("\n")
    for number, line in enumerate(lines, start=1):
        if len(line) > MAX_LINE or any(line.count(mark) > MAX_COLUMNS for mark in ";\t"):
            _refuse_width(name, number)
    return lines


def _refuse_width(name: str, line: int) -> NoReturn:
    raise FileError(
        _("{name}, line {line} is too long for a table").format(name=shown(name), line=line),
        expected=_("at most {columns} columns and {most} characters").format(
            columns=MAX_COLUMNS, most=MAX_LINE
        ),
        mend=_("Leave out all but voltage and current"),
    )


def split_fields(line: str, delimiter: str) -> list[str]:
    """The fields of a line, without quotes; one that cannot be split is a field."""
    if '"' in line:
        try:
            return [field.strip() for field in next(csv.reader([line], delimiter=delimiter))]
        except (csv.Error, StopIteration):
            return [line.strip()]
    return [field.strip() for field in line.split(delimiter)]


def number_in(field: str, decimal: str) -> float:
    """The number a field holds; nan if it holds none, or one beyond all measure."""
    if len(field) > _LONGEST_NUMBER:
        return nan
    plain = field.replace("\u2212", "-").replace("\u00a0", "")
    if _PLAIN[decimal].fullmatch(plain):
        found = float(plain.replace(",", "."))
    elif _GROUPED[decimal].fullmatch(plain):
        found = float(plain.replace("." if decimal == "," else ",", "").replace(",", "."))
    else:
        return nan
    return found if isfinite(found) and abs(found) <= LARGEST else nan


def find_layout(lines: list[str], name: str) -> Layout:
    """Tell the layout of a table from its rows.

    Raises
    ------
    FileError
        If no two lines in a row hold two numbers or more, or commas part fields and decimals alike.
    """
    filled = [line for line in lines if line.strip() and not line.lstrip().startswith("#")][:_LOOKED_AT]
    ways = [(mark, point) for mark in DELIMITERS for point in DECIMALS]
    scores = [sum(_likeness(line, *way) for line in filled) for way in ways]
    delimiter, decimal = ways[scores.index(max(scores))]  # at a tie the first: a tab, a point
    found = _longest_table(lines, delimiter, decimal)
    if max(scores) == 0 or found is None:
        raise FileError(
            _("{name} holds no table of numbers").format(name=shown(name)),
            expected=_("rows with a voltage and a current, parted by commas, semicolons or tabs"),
            mend=_("Save the curve as CSV, a row for each point, numbers alone and their units above"),
        )
    first, last, columns = found
    if columns > MAX_COLUMNS + 1:
        _refuse_width(name, first + 1)
    layout = Layout(
        delimiter=delimiter, decimal=decimal, first_line=first + 1, last_line=last + 1, columns=columns
    )
    above = heading_line(lines, layout)
    if delimiter == "," and above is not None and 2 * len(split_fields(lines[above], ",")) == columns:
        raise FileError(
            _("{name}, line {line} has commas between its columns and in its numbers").format(
                name=shown(name), line=first + 1
            ),
            expected=_("semicolons or tabs between numbers with a decimal comma"),
            mend=_("Save it again with semicolons between the columns"),
        )
    return layout


def heading_line(lines: list[str], layout: Layout) -> int | None:
    """The nearest line above a table with two words or more, counted from 0; none if there is none."""
    for at in range(layout.first_line - 2, max(-1, layout.first_line - 8), -1):
        words = [field for field in split_fields(lines[at], layout.delimiter) if field.strip(" #")]
        if len(words) >= 2:
            return at
    return None


def _likeness(line: str, delimiter: str, decimal: str) -> int:
    """How many more fields of a line are numbers than words, if two are."""
    if delimiter not in line:
        return 0
    fields = [field for field in split_fields(line, delimiter) if field]
    numbers = sum(number_in(field, decimal) == number_in(field, decimal) for field in fields)
    return max(0, 2 * numbers - len(fields)) if numbers >= 2 else 0


def _longest_table(lines: list[str], delimiter: str, decimal: str) -> tuple[int, int, int] | None:
    """First line, last line and fields of the longest table; a row with one word in it may stand within."""
    best: tuple[int, int, int, int] | None = None
    first, last, columns, rows = 0, 0, 0, 0
    for at, line in enumerate([*lines, "\0"]):
        if not line.strip():
            continue
        fields = split_fields(line, delimiter)
        numbers = sum(number_in(field, decimal) == number_in(field, decimal) for field in fields)
        if rows and len(fields) == columns and numbers >= 1:
            rows += numbers >= 2
            last = at if numbers >= 2 else last
            continue
        if rows >= _LEAST_ROWS and (best is None or rows > best[0]):
            best = (rows, first, last, columns)
        first, last, columns, rows = at, at, len(fields), int(numbers >= 2)
    return None if best is None else best[1:]
