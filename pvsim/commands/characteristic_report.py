"""What `pvsim solve` says about a characteristic and about a point of one."""

from __future__ import annotations

from typing import Any

from pvsim.circuit.solution import Characteristic, OperatingPoint, PowerPoint
from pvsim.commands.text import number


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


def point_values(point: PowerPoint | OperatingPoint) -> dict[str, float]:
    """Voltage, current and power of a point, for programs."""
    return {"voltage_V": point.voltage_V, "current_A": point.current_A, "power_W": point.power_W}


def characteristic_values(found: Characteristic, *, curve: bool) -> dict[str, Any]:
    """The key points of a characteristic, for programs; its points too when wanted."""
    values: dict[str, Any] = {
        "isc_A": found.isc_A,
        "voc_V": found.voc_V,
        "fill_factor": found.fill_factor,
        "slope_at_isc_A_per_V": found.slope_at_isc_A_per_V,
        "slope_at_voc_A_per_V": found.slope_at_voc_A_per_V,
        "mpps": [point_values(point) for point in found.mpps],
        "residual": found.residual_A,
    }
    if curve:
        for name in ("voltage_V", "current_A", "power_W"):
            values.setdefault("curve", {})[name] = getattr(found, name).tolist()
    return values
