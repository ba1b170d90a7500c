"""What commands that hand something out to students share: names, numbers, the lecturer's word, folders."""

from __future__ import annotations

import re
import sys
from argparse import Namespace
from collections.abc import Iterable
from pathlib import Path

from pvsim.errors import FileError
from pvsim.exercise.answer_sheet import LONGEST_WHO
from pvsim.exercise.case import LONGEST_SECRET, MOST_CASE
from pvsim.files.provenance import one_line
from pvsim.files.source import read_source, shown
from pvsim.words import known_language, languages

__all__ = [
    "MOST_VARIANTS",
    "check_students",
    "check_variants",
    "class_list",
    "language_of",
    "made_folder",
    "paper_form",
    "read_secret",
]

MOST_STUDENTS = 1_000
MOST_VARIANTS = 100
PAPER = ("pdf", "html")

_NO_FILE_NAME = re.compile(r"[^\w-]+")
SHOWN_NAMES = 6


def language_of(code: str | None) -> str:
    """A language that was asked for; English where none was.

    Raises
    ------
    FileError
        If pvsim does not speak it.
    """
    known = known_language(code or "en")
    if not known:
        raise FileError(
            f"there is no language '{shown(code)}'",
            expected="one of " + ", ".join(one.code for one in languages()),
            mend="Leave --language out for English",
        )
    return known


def read_secret(path: str | None) -> str:
    """The lecturer's word from the first line of a file; empty where there is none.

    Raises
    ------
    FileError
        If the file cannot be read, or its first line is empty or too long.
    """
    if path is None:
        return ""
    word = read_source(path).text.partition("\n")[0].strip()
    if not 0 < len(word) <= LONGEST_SECRET:
        raise FileError(
            f"the first line of {shown(path)} has {len(word):,} characters",
            expected=f"a word of 1 to {LONGEST_SECRET}",
            mend="Write a word there that nobody guesses, and keep the file",
        )
    return word


def check_students(options: Namespace) -> None:
    """Refuse names and numbers that cannot be, and a class without a folder for its sheets.

    Raises
    ------
    FileError
        With what to do instead.
    """
    if options.names and options.output is None:
        raise FileError(
            "--class is given without --output",
            expected="a folder that the sheets are written into",
            mend="Name one with --output",
        )
    if options.who is not None and not 0 < len(options.who.strip()) <= LONGEST_WHO:
        raise FileError(
            "--who is empty or very long",
            expected=f"1 to {LONGEST_WHO} characters",
            mend="Give a name or number",
        )
    if options.seed is not None and not 0 <= options.seed <= MOST_CASE:
        raise FileError(
            f"--seed is {options.seed}", expected=f"0 to {MOST_CASE:,}", mend="Take a student's number"
        )


def check_variants(options: Namespace) -> None:
    """Refuse a number of variants that no bank can have.

    Raises
    ------
    FileError
        If it lies outside 1 to MOST_VARIANTS.
    """
    if not 1 <= options.variants <= MOST_VARIANTS:
        raise FileError(
            f"--variants is {options.variants}",
            expected=f"1 to {MOST_VARIANTS}",
            mend="Choose one in that range",
        )


def paper_form(options: Namespace) -> str:
    """PDF or HTML: as asked for, or by the file's ending; PDF for a class.

    Raises
    ------
    FileError
        If neither tells.
    """
    ending = Path(options.output or "").suffix.lower().removeprefix(".").replace("htm", "html")[:4]
    if options.form:
        return str(options.form)
    if options.names:
        return "pdf"
    if ending not in PAPER:
        raise FileError(
            f"--output is {shown(options.output)}" if options.output else "--output is not given",
            expected="a file that ends with .pdf or .html",
            mend="Name one, or say --as pdf or --as html",
        )
    return ending


def class_list(path: str) -> list[tuple[str, str]]:
    """The names of a class, one a line, each with the name of its file.

    Raises
    ------
    FileError
        If the list cannot be read, is empty or too long, or two names would make one file.
    """
    names = [one_line(line) for line in read_source(path).text.splitlines()]
    names = [name for name in names if name and not name.startswith("#")]
    if not 1 <= len(names) <= MOST_STUDENTS:
        raise FileError(
            f"{shown(path)} lists {len(names):,} names",
            expected=f"1 to {MOST_STUDENTS:,}, one a line",
            mend="Mend the list",
        )
    long = next((name for name in names if len(name) > LONGEST_WHO), None)
    if long is not None:
        raise FileError(
            f"{shown(path)} lists '{shown(long)}', a name of {len(long):,} characters",
            expected=f"at most {LONGEST_WHO}, and one name a line",
            mend="Shorten it, or part the names by line ends",
        )
    files = [
        _NO_FILE_NAME.sub("-", name).strip("-") or f"student-{at}" for at, name in enumerate(names, start=1)
    ]
    of_file: dict[str, str] = {}
    for name, file in zip(names, files, strict=True):
        other = of_file.get(file.casefold())
        if other is not None:
            both = f"'{shown(other)}' and '{shown(name)}', who would get one file"
            raise FileError(
                f"{shown(path)} lists " + (f"'{shown(name)}' twice" if other == name else both),
                expected="names that differ in letters or digits",
                mend="Add a number to one of them",
            )
        of_file[file.casefold()] = name
    return list(zip(names, files, strict=True))


def tell_letters_lost(names: Iterable[str], form: str) -> None:
    """Say whose name a PDF does not print whole; its typeface has Latin and Greek letters."""
    from pvsim.exercise.paper import letters_lost

    lost = [name for name in names if form == "pdf" and name and letters_lost(name)]
    if lost:
        some = ", ".join(f"'{shown(name)}'" for name in lost[:SHOWN_NAMES])
        more = f" and {len(lost) - SHOWN_NAMES} more" if len(lost) > SHOWN_NAMES else ""
        print(
            f"pvsim: the PDF has question marks for letters of {some}{more}; "
            "HTML has any letter: --as html, or a file that ends with .html",
            file=sys.stderr,
        )


def made_folder(path: str) -> Path:
    """A folder that sheets are written into, made if it is not there.

    Raises
    ------
    FileError
        If it cannot be made.
    """
    folder = Path(path)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise FileError(
            f"the folder {shown(folder)} cannot be made ({error.strerror})",
            expected="a folder, or a name for one in a folder that exists",
            mend="Choose another place with --output",
        ) from None
    return folder
