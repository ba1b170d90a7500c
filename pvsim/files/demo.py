"""The scenarios that come with pvsim: invented sites to start from."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pvsim
from pvsim.array.scenario import Scenario
from pvsim.errors import FileError, nearest
from pvsim.files.scenario_file import read_scenario
from pvsim.files.source import read_source, shown

FIRST_DEMO = "workshop"  # what the page opens with


@cache
def demo_names() -> tuple[str, ...]:
    """Names of the scenarios that come with pvsim, sorted."""
    return tuple(sorted(path.stem for path in demo_folder().glob("*.toml")))


def demo_folder() -> Path:
    """The folder they lie in, inside the installed package."""
    return Path(pvsim.__file__).parent / "scenarios"


@cache
def read_demo(name: str) -> Scenario:
    """Read one of them.

    Raises
    ------
    FileError
        If none has that name.
    """
    known = demo_names()
    if name not in known:
        raise FileError(
            f"no scenario called '{shown(name)}' comes with pvsim",
            expected="one of " + ", ".join(known),
            mend=nearest(name[:80], known),
        )
    source = read_source(demo_folder() / f"{name}.toml")
    return read_scenario(source.text, f"{name}.toml")
