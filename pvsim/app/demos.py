"""The scenarios that come with pvsim: invented sites to start from."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from pvsim.array.scenario import Scenario
from pvsim.errors import FileError, nearest
from pvsim.files.scenario_file import read_scenario

__all__ = ["FIRST", "list_demos", "read_demo"]

FIRST = "workshop"


@cache
def _all() -> dict[str, Scenario]:
    folder = files("pvsim") / "scenarios"
    texts = {one.name: one.read_text(encoding="utf-8") for one in folder.iterdir() if one.name.endswith(".toml")}
    return {name.removesuffix(".toml"): read_scenario(text, name) for name, text in sorted(texts.items())}


def list_demos() -> list[tuple[str, str, str]]:
    """Name, title and note of each, the one to start with first."""
    ordered = sorted(_all().items(), key=lambda pair: (pair[0] != FIRST, pair[1].title))
    return [(name, scenario.title, scenario.note) for name, scenario in ordered]


def read_demo(name: str) -> Scenario:
    """The scenario of that name."""
    known = _all()
    if name not in known:
        raise FileError(
            f"no scenario called '{name[:80]}' comes with pvsim",
            expected="one of " + ", ".join(known),
            mend=nearest(name[:80], known),
        )
    return known[name]
