"""Small arrays that several tests use; all data invented."""

from __future__ import annotations

from typing import Any

from pvsim.array import Array, Fault, Module, Scenario, String, add_fault, parse_place


def scenario(
    *lengths: int,
    type: str = "full-60",
    rotated: bool = False,
    string: dict[str, Any] | None = None,
    **array: Any,
) -> Scenario:
    """Strings of the given lengths, without any lead resistance unless asked for."""
    leads = {"cable_resistance_ohm": 0.0, "connector_resistance_ohm": 0.0, **(string or {})}
    strings = tuple(String(modules=(Module(type, rotated),) * n, **leads) for n in lengths)
    array.setdefault("main_cable_resistance_ohm", 0.0)
    return Scenario(title="sample", array=Array(strings=strings, **array))


def faulty(start: Scenario, *faults: tuple[Any, ...]) -> Scenario:
    """Add faults written as (kind, "2/5/14") or (kind, "2/5/14", size) or with the other end."""
    for kind, place, *more in faults:
        size = next((one for one in more if not isinstance(one, str)), None)
        other = next((parse_place(one) for one in more if isinstance(one, str)), None)
        start = add_fault(start, Fault(kind, parse_place(place), size, other))
    return start
