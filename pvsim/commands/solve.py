"""`pvsim solve`: the characteristic, the operating point, and who delivers or eats how much."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING, Any

import pvsim
from pvsim.commands.source import open_source
from pvsim.commands.text import number
from pvsim.files.circuit_file import CircuitFile
from pvsim.files.provenance import MODEL_LIMITS, one_line

if TYPE_CHECKING:
    from pvsim.circuit.solution import Characteristic, OperatingPoint, PowerPoint


def run(options: Namespace) -> int:
    """Solve what is named and print it."""
    source = open_source(options.source)
    if isinstance(source, CircuitFile):
        from pvsim.commands.circuit_report import report_circuit

        lines, values = report_circuit(source, options)
    else:
        from pvsim.commands.array_report import report_array

        lines, values = report_array(source, options)
    if options.json:
        import json

        head = {"pvsim": pvsim.__version__, "title": source.title, "limits": list(MODEL_LIMITS)}
        print(json.dumps({**head, **values}, indent=2, allow_nan=False))
    else:
        print("\n".join([one_line(source.title) or "Circuit", *lines, "", MODEL_LIMITS[1]]))
    return 0


def characteristic_lines(found: Characteristic) -> list[str]:
    """The key points of a characteristic, for reading."""
    isc, voc, fill = number(found.isc_A), number(found.voc_V), number(found.fill_factor)
    lines = [f"  Isc {isc} A, Voc {voc} V, fill factor {fill}"]
    for point in sorted(found.mpps, key=lambda point: -point.power_W):
        name = "MPP" if point.power_W == found.mpp.power_W else "local maximum"
        lines.append(f"  {name} {point_text(point)}")
    return lines


def point_text(point: PowerPoint | OperatingPoint) -> str:
    """Power, voltage and current of a point in words."""
    return f"{number(point.power_W)} W at {number(point.voltage_V)} V and {number(point.current_A)} A"


def characteristic_values(found: Characteristic, *, curve: bool) -> dict[str, Any]:
    """The key points of a characteristic, for programs; its points too when wanted."""
    values: dict[str, Any] = {
        "isc_A": found.isc_A,
        "voc_V": found.voc_V,
        "fill_factor": found.fill_factor,
        "slope_at_isc_A_per_V": found.slope_at_isc_A_per_V,
        "slope_at_voc_A_per_V": found.slope_at_voc_A_per_V,
        "mpps": [
            {"voltage_V": point.voltage_V, "current_A": point.current_A, "power_W": point.power_W}
            for point in found.mpps
        ],
        "residual": found.residual_A,
    }
    if curve:
        for name in ("voltage_V", "current_A", "power_W"):
            values.setdefault("curve", {})[name] = getattr(found, name).tolist()
    return values
