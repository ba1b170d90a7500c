"""Units at the end of a key: what to say when somebody writes another one."""

from __future__ import annotations

from collections.abc import Iterable

from pvsim.errors import nearest

_MEANT = {  # unit given -> (unit meant, how they relate)
    "kW_m2": ("W_m2", "1 kW/m2 is 1000 W/m2"),
    "mW_cm2": ("W_m2", "1 mW/cm2 is 10 W/m2"),
    "W_cm2": ("W_m2", "1 W/cm2 is 10000 W/m2"),
    "suns": ("W_m2", "W/m2 is the unit here, full light is 1000"),
    "mV": ("V", "1000 mV is 1 V"),
    "kV": ("V", "1 kV is 1000 V"),
    "mA": ("A", "1000 mA is 1 A"),
    "kW": ("W", "1 kW is 1000 W"),
    "mohm": ("ohm", "1000 mohm is 1 ohm"),
    "kohm": ("ohm", "1 kohm is 1000 ohm"),
    "ohms": ("ohm", "same unit, other spelling"),
    "mm": ("m", "1000 mm is 1 m"),
    "cm": ("m", "100 cm is 1 m"),
    "K": ("C", "degrees C are K less 273.15"),
    "C": ("K", "K are degrees C plus 273.15"),
    "F": ("C", "degrees C are (F - 32) / 1.8"),
    "km_h": ("m_s", "3.6 km/h is 1 m/s"),
    "rad": ("deg", "1 rad is 57.3 degrees"),
    "percent": ("fraction", "100 percent is 1"),
    "pct": ("fraction", "100 percent is 1"),
    "percent_per_K": ("per_K", "0.05 percent per K is 0.0005 per K"),
}
_PERCENT = ("percent", "pct")
_UNITS = sorted(
    {*_MEANT, *(meant for meant, _ in _MEANT.values()), "eV", "per_C"}, key=lambda unit: (-len(unit), unit)
)


def split_unit(key: str) -> tuple[str, str]:
    """Cut a key into its stem and its unit; the unit is empty when there is none.

    >>> split_unit("irradiance_W_m2")
    ('irradiance', 'W_m2')
    """
    for unit in _UNITS:
        if key.endswith("_" + unit):
            return key[: -len(unit) - 1], unit
    return key, ""


def unit_relation(given: str, wanted: str) -> str:
    """How a unit relates to the one that is wanted, such as "1000 mV is 1 V"; empty when not known."""
    meant, relation = _MEANT.get(given, ("", ""))
    return relation if meant == wanted else ""


def unknown_key_hint(key: str, known: Iterable[str], otherwise: str = "") -> str:
    """Say how to mend an unknown key: the same stem in the right unit, else the nearest name."""
    known = tuple(known)
    stem, unit = split_unit(key)
    for candidate in known:
        candidate_stem, candidate_unit = split_unit(candidate)
        if candidate_stem.lower() != stem.lower() or candidate_unit == unit:
            continue
        if not candidate_unit:
            share = ", as a share: 0.2 for 20 %" if unit in _PERCENT else ""
            return f"Write it as {candidate}, which has no unit{share}"
        relation = unit_relation(unit, candidate_unit)
        said = f" ({relation})" if relation else ""
        return f"Write it as {candidate}, in the unit its name ends with{said}"
    return nearest(key, known, otherwise)
