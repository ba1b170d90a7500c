"""Files and links: scenarios, bare circuits, curves and figures, in and out.

Everything read here is untrusted: sizes are bounded before anything is built, nothing is
run, and every refusal is a `FileError` with file, line, key and how to mend it.

Names are imported when first used, so that solving a bare circuit loads no array layer.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pvsim.files.circuit_file import CircuitFile, read_circuit
    from pvsim.files.link import MAX_LINK_LENGTH, pack, unpack
    from pvsim.files.scenario_file import read_scenario, write_scenario

_HOMES = {
    "CircuitFile": "circuit_file",
    "MAX_LINK_LENGTH": "link",
    "pack": "link",
    "read_circuit": "circuit_file",
    "read_scenario": "scenario_file",
    "unpack": "link",
    "write_scenario": "scenario_file",
}

__all__ = [
    "MAX_LINK_LENGTH",
    "CircuitFile",
    "pack",
    "read_circuit",
    "read_scenario",
    "unpack",
    "write_scenario",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
