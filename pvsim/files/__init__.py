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
    from pvsim.files.curve import Curve, curve_of
    from pvsim.files.curve_file import read_curve, write_curve
    from pvsim.files.demo import demo_names, read_demo
    from pvsim.files.figure.characteristic import draw_curves
    from pvsim.files.figure.png import write_png
    from pvsim.files.figure.svg import write_svg
    from pvsim.files.link import MAX_LINK_LENGTH, pack, unpack
    from pvsim.files.scenario_file import read_scenario, write_scenario

_HOMES = {
    "CircuitFile": "circuit_file",
    "Curve": "curve",
    "MAX_LINK_LENGTH": "link",
    "curve_of": "curve",
    "demo_names": "demo",
    "draw_curves": "figure.characteristic",
    "pack": "link",
    "read_circuit": "circuit_file",
    "read_curve": "curve_file",
    "read_demo": "demo",
    "read_scenario": "scenario_file",
    "unpack": "link",
    "write_curve": "curve_file",
    "write_png": "figure.png",
    "write_scenario": "scenario_file",
    "write_svg": "figure.svg",
}

__all__ = [
    "MAX_LINK_LENGTH",
    "CircuitFile",
    "Curve",
    "curve_of",
    "demo_names",
    "draw_curves",
    "pack",
    "read_circuit",
    "read_curve",
    "read_demo",
    "read_scenario",
    "unpack",
    "write_curve",
    "write_png",
    "write_scenario",
    "write_svg",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
