"""The studies that come with pvsim, of invented sites."""

from __future__ import annotations

from pvsim.files.shipped_file import names_on, take
from pvsim.shipped import shipped
from pvsim.study.study import Study
from pvsim.study.study_file import read_study

OWN_STUDIES = shipped("studies")


def own_studies() -> tuple[str, ...]:
    """Names of the studies that come with pvsim, sorted."""
    return names_on(OWN_STUDIES)


def read_own_study(name: str) -> Study:
    """Read one of them.

    Raises
    ------
    FileError
        If none has that name.
    """
    source = take(OWN_STUDIES, name, "study")
    return read_study(source.text, source.name)
