"""A folder of files that come with pvsim, asked for by name."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

from pvsim.errors import FileError, nearest
from pvsim.files.source import Source, read_source, shown


@cache
def names_on(folder: Path) -> tuple[str, ...]:
    """Names of the files in a folder, without .toml, sorted."""
    return tuple(sorted(path.stem for path in folder.glob("*.toml")))


def take(folder: Path, name: str, what: str) -> Source:
    """Read the file of a name.

    Parameters
    ----------
    what : str
        What such a file is called in a message.

    Raises
    ------
    FileError
        If none has that name.
    """
    known = names_on(folder)
    if name not in known:
        raise FileError(
            f"no {what} called '{shown(name)}' comes with pvsim",
            expected="one of " + ", ".join(known),
            mend=nearest(name[:80], known),
        )
    return Source(name=f"{name}.toml", text=read_source(folder / f"{name}.toml").text)


def refuse_name(name: str, what: str, known: Sequence[str], others: str) -> FileError:
    """The error for a word that is neither a file nor the name of one that comes along."""
    return FileError(
        f"there is no file and no {what} called '{shown(name)}'",
        expected=f"a file, {others}one of " + ", ".join(known),
        mend=nearest(name[:80], known),
    )
