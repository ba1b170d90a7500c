"""The scenarios that come with pvsim, as the page lists them."""

from __future__ import annotations

from pvsim.files.demo import FIRST_DEMO as FIRST
from pvsim.files.demo import demo_names, read_demo

__all__ = ["FIRST", "list_demos", "read_demo"]


def list_demos() -> list[tuple[str, str, str]]:
    """Name, title and note of each, the one to start with first."""
    demos = [(name, read_demo(name)) for name in demo_names()]
    ordered = sorted(demos, key=lambda pair: (pair[0] != FIRST, pair[1].title))
    return [(name, scenario.title, scenario.note) for name, scenario in ordered]
