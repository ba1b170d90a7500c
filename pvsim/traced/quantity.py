"""What a column of a measured curve may hold, and the words and units by which it is known."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, get_args

Quantity = Literal["voltage", "current", "power", "irradiance", "temperature"]
QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)

LONGEST_HEADING = 80  # characters that are looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit as it is written, and how it becomes that of its quantity: V, A, W, W/m2 or degrees C."""

    quantity: Quantity
    factor: float = 1.0
    offset: float = 0.0


UNITS: dict[str, Unit] = {
    "V": Unit(quantity="voltage"),
    "mV": Unit(quantity="voltage", factor=1e-3),
    "kV": Unit(quantity="voltage", factor=1e3),
    "A": Unit(quantity="current"),
    "mA": Unit(quantity="current", factor=1e-3),
    "W": Unit(quantity="power"),
    "mW": Unit(quantity="power", factor=1e-3),
    "kW": Unit(quantity="power", factor=1e3),
    "W/m2": Unit(quantity="irradiance"),
    "kW/m2": Unit(quantity="irradiance", factor=1e3),
    "mW/cm2": Unit(quantity="irradiance", factor=10.0),
    "degC": Unit(quantity="temperature"),
    "K": Unit(quantity="temperature", offset=-273.15),
    "degF": Unit(quantity="temperature", factor=1.0 / 1.8, offset=-32.0 / 1.8),
}
OWN_UNIT: dict[Quantity, str] = {
    "voltage": "V",
    "current": "A",
    "power": "W",
    "irradiance": "W/m2",
    "temperature": "degC",
}
# Small letters, of English and German tracers and spreadsheets; "u" and "g" are letters of IEC 60050.
_WORDS: dict[Quantity, tuple[str, ...]] = {
    "voltage": ("voltage", "volts", "volt", "spannung", "v", "u", "vpv", "upv", "vmeas", "vdc", "udc"),
    "current": ("current", "amps", "ampere", "amperes", "strom", "i", "ipv", "imeas", "idc"),
    "power": ("power", "watts", "leistung", "p", "ppv", "pmeas"),
    "irradiance": ("irradiance", "irr", "irrad", "einstrahlung", "bestrahlungsstärke", "g", "gpoa"),
    "temperature": ("temperature", "temp", "temperatur", "zelltemperatur", "t", "tcell", "tmod", "tc"),
}
_SPELLINGS = {
    "w/m2": "W/m2",
    "wm2": "W/m2",
    "wm-2": "W/m2",
    "kw/m2": "kW/m2",
    "kwm2": "kW/m2",
    "mw/cm2": "mW/cm2",
    "mwcm2": "mW/cm2",
    "°c": "degC",
    "c": "degC",
    "celsius": "degC",
    "gradc": "degC",
    "degc": "degC",
    "°f": "degF",
    "f": "degF",
    "degf": "degF",
    "volt": "V",
    "volts": "V",
    "ampere": "A",
    "amps": "A",
    "amp": "A",
    "watt": "W",
    "watts": "W",
}
_IN_BRACKETS = re.compile(r"^(.*?)[\[(<]\s*([^\[\]()<>]*?)\s*[\])>]\s*$")
_BEHIND_MARK = re.compile(r"^(.*?)(?:\s*/\s*|_|\s+in\s+|[\s,:]+)((?:W|kW|mW)[/_ ]?c?m[\^]?[2²]|[^\s/_,:]+)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What the text above a column says.

    Parameters
    ----------
    quantity : Quantity or None
        None if neither its words nor its unit are known.
    unit : str
        A key of UNITS; "" if it names none that its quantity has.
    named : bool
        Whether its words say the quantity, and not its unit alone.
    """

    quantity: Quantity | None
    unit: str
    named: bool


def unit_named(text: str) -> str:
    """The key of UNITS that a text spells; "" if none. Case tells mW from MW, and is else forgiven."""
    plain = text.strip().strip("[]()<>").strip()
    if plain in UNITS:
        return plain
    bare = plain.replace("²", "2").replace("^", "").replace("_", "/").replace("·", "").replace(" ", "")
    if bare[:1] == "M" and bare.lower()[1:] in ("v", "a", "w", "w/cm2"):
        return ""  # mega is not milli
    known = {key.lower(): key for key in UNITS if key != "K"} | _SPELLINGS
    return known.get(bare.lower(), "")


def read_heading(text: str) -> Heading:
    """What a heading names: "Voltage (V)", "U/V", "voltage_V", "I in mA", "Spannung [V]", "V"."""
    plain = " ".join(text.strip().strip("\"'#").split())[:LONGEST_HEADING]
    stem, unit = plain, ""
    for pattern in (_IN_BRACKETS, _BEHIND_MARK):
        match = pattern.match(plain)
        if match and unit_named(match[2]):
            stem, unit = match[1], unit_named(match[2])
            break
        if match and pattern is _IN_BRACKETS:
            stem = match[1]
    quantity = _quantity_of(stem)
    if quantity is None and not unit and unit_named(plain):
        unit = unit_named(plain)
        return Heading(quantity=UNITS[unit].quantity, unit=unit, named=False)
    if quantity is None:
        return Heading(quantity=None, unit="", named=False)
    if unit and UNITS[unit].quantity != quantity:
        unit = ""
    return Heading(quantity=quantity, unit=unit, named=True)


def _quantity_of(stem: str) -> Quantity | None:
    """The first word of a stem that is known. Short letters have to stand alone: a "t" may be a time."""
    words = [word for word in re.split(r"[\s_\-.:,;]+", stem.lower()) if word]
    if not words or words[0] in ("open", "short", "ambient", "air", "time", "zeit", "umgebungstemperatur"):
        return None
    for quantity in QUANTITIES:
        for word in words:
            if word in _WORDS[quantity] and (len(word) > 2 or len(words) == 1):
                return quantity
    return None
