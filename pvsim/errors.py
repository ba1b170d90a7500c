"""Every error pvsim raises on purpose, and the one shape they share.

    PvsimError
    ├── CircuitError          an element, network or operating point that cannot be
    │   └── ConvergenceError  a solve that did not reach its tolerance
    │       └── OvertimeError a solve that did not reach it in time
    ├── ScenarioError         a module type, array, light, fault or meter that cannot be
    │   ├── PathError         a current for which an open place leaves no path
    │   └── SkyError          a site, a sun, a plane or a solid thing that cannot be
    ├── CablingError          a conductor, leads, a wiring or a search for one that cannot be
    ├── FileError             a file, link or text that cannot be read or written
    ├── SheetError            a data sheet that cannot be, or that no cell can be fitted to
    ├── LessonError           a lesson that is not in order
    ├── StudyError            a study that cannot be, or that its engine gave up
    └── StoreError            a store of classes that cannot be read or written, or a poll that cannot be

Each says three things: what was wrong, what was expected, how to mend it. The
command line prints the sentence and exits with 2; the page shows it and keeps the
last good state.
"""

from __future__ import annotations

from collections.abc import Iterable

from pvsim.words import _

LONGEST_PART = 1_000  # characters of each part; a list of all kinds of fault has some 350
LONGEST_NAME = 80  # characters of a name that others are likened to
MOST_KNOWN = 1_000  # names that are likened to it


class PvsimError(Exception):
    """Something the person using pvsim can mend.

    Parameters
    ----------
    wrong : str
        What was wrong, as a clause without a full stop. Of a very long part both ends stay.
    expected : str
        What would have been right.
    mend : str
        How to get there, as a sentence of its own.
    """

    def __init__(self, wrong: str, *, expected: str, mend: str) -> None:
        wrong, expected, mend = map(cut_part, (wrong, expected, mend))
        self.wrong = wrong
        self.expected = expected
        self.mend = mend
        stop = "" if mend.endswith("?") else "."
        # TRANSLATORS: an error: a clause, what would have been right, a sentence that says how to mend it
        frame = _("{wrong}; expected {expected}. {mend}")
        super().__init__(frame.format(wrong=wrong, expected=expected, mend=mend.rstrip(".") + stop))


class CircuitError(PvsimError):
    """An element, network or operating point that cannot be."""


class ConvergenceError(CircuitError):
    """A solve that did not reach its tolerance."""


class OvertimeError(ConvergenceError):
    """A solve that did not reach its tolerance in the time it was given."""


class ScenarioError(PvsimError):
    """A module type, array, light, fault or meter that cannot be."""


class PathError(ScenarioError):
    """A current for which an open place leaves no path."""


class CablingError(PvsimError):
    """A conductor, leads, a wiring or a search for one that cannot be."""


class SkyError(ScenarioError):
    """A site, a sun, a plane or a solid thing that cannot be."""


class FileError(PvsimError):
    """A file, link or text that cannot be read or written."""


class SheetError(PvsimError):
    """A data sheet that cannot be, or that no cell can be fitted to.

    Parameters
    ----------
    wrong, expected, mend : str
        As for every error.
    fields : tuple of str
        Names of the values that are wrong, or wrong together; the first is the one to begin at.
    found : str
        What the first of them is, where `wrong` says no more than that.
    """

    def __init__(
        self, wrong: str, *, expected: str, mend: str, fields: tuple[str, ...] = (), found: str = ""
    ) -> None:
        super().__init__(wrong, expected=expected, mend=mend)
        self.fields = fields
        self.found = found


class LessonError(PvsimError):
    """A lesson that is not in order."""


class StudyError(PvsimError):
    """A study that cannot be, or that its engine gave up."""


class StoreError(PvsimError):
    """A store of classes that cannot be read or written, or a poll that cannot be.

    Stores are read and written beside the sessions, which speak different languages: so this error keeps
    its texts as they are marked, and is translated when it is told.

    Parameters
    ----------
    wrong, expected, mend : str
        As for every error, each marked (`pvsim.words.mark`) and with {places} for the values.
    values
        What stands in those places.
    """

    def __init__(self, wrong: str, *, expected: str, mend: str, **values: object) -> None:
        super().__init__(wrong, expected=expected, mend=mend)
        self._values = values

    def __str__(self) -> str:
        told = (_(one).format(**self._values) for one in (self.wrong, self.expected, self.mend))
        wrong, expected, mend = told
        return str(PvsimError(wrong, expected=expected, mend=mend))


def cut_part(part: str) -> str:
    """A part of an error; of one that is far too long, both ends."""
    half = LONGEST_PART // 2
    return part if len(part) <= LONGEST_PART else f"{part[: half - 3]}...{part[-half:]}"


def nearest(name: str, known: Iterable[str], otherwise: str = "") -> str:
    """The clause that names the nearest known names, for the `mend` part of an error.

    Parameters
    ----------
    name : str
        What was given.
    known : iterable of str
        What would have been understood.
    otherwise : str
        What to say when nothing is near; the full list if left out.

    Returns
    -------
    str
        "Did you mean 'a' or 'b'?", or what to say when nothing is near.
    """
    from difflib import SequenceMatcher, get_close_matches  # only when there is an error to tell

    name, known = name[:LONGEST_NAME], sorted(known)[:MOST_KNOWN]
    close = [one for one in known if one.lower() == name.lower()]
    close = close or get_close_matches(name, known, n=3, cutoff=0.6)
    if not close and len(name) > 2:
        close = [one for one in known if name.lower() in one.lower()][:3]  # "crack" for "cell-cracked"
    if close:
        # Next to a name that is hardly off, others are no help.
        likeness = [SequenceMatcher(None, name, one).ratio() for one in close]
        close = [one for one, like in zip(close, likeness, strict=True) if like >= likeness[0] - 0.1]
        return _("Did you mean {names}?").format(names=_(" or ").join(f"'{one}'" for one in close))
    return otherwise or _("Known: {names}").format(names=", ".join(known))
