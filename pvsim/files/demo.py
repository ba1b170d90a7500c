"""The scenarios that come with pvsim: invented sites to start from."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pvsim.array.scenario import Scenario
from pvsim.files.scenario_file import read_scenario
from pvsim.files.shipped_file import names_on, take
from pvsim.shipped import shipped

FIRST_DEMO = "workshop"  # what the page opens with


def demo_names() -> tuple[str, ...]:
    """Names of the scenarios that come with pvsim, sorted."""
    return names_on(demo_folder())


def demo_folder() -> Path:
    """The folder they lie in."""
    return shipped("scenarios")


@cache
def read_demo(name: str) -> Scenario:
    """Read one of them.

    Raises
    ------
    FileError
        If none has that name.
    """
    source = take(demo_folder(), name, "scenario")
    return read_scenario(source.text, source.name)
