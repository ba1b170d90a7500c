"""Limits that hurt people when they are passed: cold voltage, reverse current, and where an earth fault is.

Arithmetic of the standards, on what the model says of an array. It teaches how a licensed person reckons, and
does not take that person's place.
"""

from __future__ import annotations

from pvsim.safety.cold_voltage import ColdVoltage, cold_factor, cold_voltages
from pvsim.safety.earth_fault import (
    EarthFault,
    EarthReadings,
    earth_voltages,
    fault_after,
    fault_resistance_ohm,
    locate_earth_fault,
    own_earth_fault,
)
from pvsim.safety.ratings import Ratings
from pvsim.safety.reverse_current import ReverseCurrent, reverse_currents

__all__ = [
    "ColdVoltage",
    "EarthFault",
    "EarthReadings",
    "Ratings",
    "ReverseCurrent",
    "cold_factor",
    "cold_voltages",
    "earth_voltages",
    "fault_after",
    "fault_resistance_ohm",
    "locate_earth_fault",
    "own_earth_fault",
    "reverse_currents",
]
