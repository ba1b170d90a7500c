"""What leaves the page: scenario file, link, characteristic and figure; each as a message to the browser."""

from __future__ import annotations

import re
from typing import Any

from pvsim.app.address import address_of
from pvsim.app.state import State
from pvsim.files.scenario_file import write_scenario

__all__ = ["export_csv", "export_png", "export_svg", "link_to", "save_scenario"]


def file_stem(state: State) -> str:
    """A file name from the scenario's title: letters, digits and hyphens only."""
    stem = re.sub(r"[^a-z0-9]+", "-", state.scenario.title.lower()).strip("-")[:60]
    return stem or "scenario"


def save_scenario(state: State) -> dict[str, Any]:
    """The scenario as a TOML file that opens as the page looks now."""
    return {"file": f"{file_stem(state)}.toml", "mime": "text/plain", "text": write_scenario(state.scenario_as_shown())}


def link_to(state: State) -> dict[str, Any]:
    """The query of a link to exactly this state."""
    return {"link": address_of(state)}


def export_csv(state: State) -> dict[str, Any]:
    return {}


def export_svg(state: State) -> dict[str, Any]:
    return {}


def export_png(state: State) -> dict[str, Any]:
    return {}
