"""The array as planned: strings of modules, leads, trackers, and how they lie on the roof."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.array.cables import Cables
from pvsim.array.checks import finite, one_of, refuse, text, truth, tuple_of, whole
from pvsim.array.limits import (
    MAX_MODULES,
    MAX_MODULES_PER_STRING,
    MAX_NAME,
    MAX_STRINGS,
    MAX_SURFACES,
)
from pvsim.array.mounted import check_spots
from pvsim.array.mounting import Orientation, Spot, Surface
from pvsim.errors import ScenarioError
from pvsim.prompt import summary
from pvsim.words import _

Tracking = Literal["one", "per-string"]
Wiring = Literal["strings", "cross-tied"]
Grounded = Literal["none", "negative"]


@dataclass(frozen=True, slots=True)
class Module:
    """A module in its string.

    Parameters
    ----------
    type : str
        Name of a module type: from the scenario or the catalogue.
    rotated : bool
        Mounted upside down, turned by 180 degrees.
    spot : Spot or None
        Where it is mounted, on an array with surfaces.
    """

    type: str
    rotated: bool = False
    spot: Spot | None = None

    def __post_init__(self) -> None:
        text(self, "type", most=MAX_NAME)
        truth(self, "rotated")
        if self.spot is not None and not isinstance(self.spot, Spot):
            refuse(self, "spot", self.spot, _("a Spot or none"))


@dataclass(frozen=True, slots=True, kw_only=True)
class String:
    """Modules in series, and their leads.

    Parameters
    ----------
    modules : tuple of Module
        From the negative end to the positive one.
    cable_resistance_ohm : float
        Of the string's cables, there and back.
    connector_resistance_ohm : float
        Of each connector pair; a string of n modules has n + 1.
    fuse, blocking_diode : bool
        Whether the string has them, at its positive end.
    irradiance_factor : float
        In-plane irradiance of this string relative to the scenario's; for strings that
        face another way.
    """

    modules: tuple[Module, ...]
    cable_resistance_ohm: float = 0.1
    connector_resistance_ohm: float = 0.0005
    fuse: bool = False
    blocking_diode: bool = False
    irradiance_factor: float = 1.0

    __repr__ = summary

    def __post_init__(self) -> None:
        tuple_of(self, "modules", Module, least=1, most=MAX_MODULES_PER_STRING)
        finite(self, "cable_resistance_ohm", least=0.0, most=1e6)
        finite(self, "connector_resistance_ohm", least=0.0, most=1e6)
        truth(self, "fuse")
        truth(self, "blocking_diode")
        finite(self, "irradiance_factor", least=0.0, most=2.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Array:
    """Strings, what they are connected to, and how they lie on the roof.

    Parameters
    ----------
    strings : tuple of String
        In parallel; string 1 is the topmost on the roof.
    tracking : "one" or "per-string"
        One tracker for all strings, or each string on its own.
    wiring : "strings" or "cross-tied"
        Cross-tied: modules at the same number of every string are in parallel.
    orientation : "portrait" or "landscape"
        Landscape modules are turned by 90 degrees, junction box to the left.
    main_cable_resistance_ohm : float
        From where the strings meet to the tracker, there and back; with one tracker per
        string it lies in each string's own way to its tracker.
    grounded : "none" or "negative"
        Whether the negative pole is connected to earth.
    row_gap_m, module_gap_m : float
        Between rows of modules, and between neighbours in a row.
    modules_per_row : int
        A longer string goes on in the row below.
    surfaces : tuple of Surface
        With any, each module is mounted on a spot of theirs, and strings run as they are
        wired. Without, each string is a row, as `orientation`, the gaps and
        `modules_per_row` say.
    unwired : tuple of Module
        Mounted, and in no string.
    cables : Cables or None
        With them, each string's cables are as long as the roof makes them, and its
        `cable_resistance_ohm` is not looked at.
    """

    strings: tuple[String, ...]
    tracking: Tracking = "one"
    wiring: Wiring = "strings"
    orientation: Orientation = "portrait"
    main_cable_resistance_ohm: float = 0.05
    grounded: Grounded = "none"
    row_gap_m: float = 0.1
    module_gap_m: float = 0.02
    modules_per_row: int = 20
    surfaces: tuple[Surface, ...] = ()
    unwired: tuple[Module, ...] = ()
    cables: Cables | None = None

    __repr__ = summary

    def __post_init__(self) -> None:
        tuple_of(self, "strings", String, least=1, most=MAX_STRINGS)
        one_of(self, "tracking", get_args(Tracking))
        one_of(self, "wiring", get_args(Wiring))
        one_of(self, "orientation", get_args(Orientation))
        one_of(self, "grounded", get_args(Grounded))
        finite(self, "main_cable_resistance_ohm", least=0.0, most=1e6)
        finite(self, "row_gap_m", least=0.0, most=50.0)
        finite(self, "module_gap_m", least=0.0, most=50.0)
        whole(self, "modules_per_row", least=1, most=MAX_MODULES_PER_STRING)
        tuple_of(self, "surfaces", Surface, most=MAX_SURFACES)
        tuple_of(self, "unwired", Module, most=MAX_MODULES)
        if self.cables is not None and not isinstance(self.cables, Cables):
            refuse(self, "cables", self.cables, _("Cables or none"))
        check_spots(self.surfaces, ((address, module.spot) for address, module in mounted_modules(self)))
        modules = sum(len(string.modules) for string in self.strings) + len(self.unwired)
        if modules > MAX_MODULES:
            raise ScenarioError(
                _("the array has {modules} modules").format(modules=modules),
                expected=_("at most {most}").format(most=MAX_MODULES),
                mend=_("Take strings or modules out"),
            )
        if self.wiring == "cross-tied":
            _check_cross_ties(self)


def mounted_modules(array: Array) -> Iterator[tuple[str, Module]]:
    """Each module with its address; the address of one in no string is empty."""
    for number, string in enumerate(array.strings, start=1):
        for position, module in enumerate(string.modules, start=1):
            yield f"{number}/{position}", module
    for module in array.unwired:
        yield "", module


def _check_cross_ties(array: Array) -> None:
    lengths = {len(string.modules) for string in array.strings}
    if len(lengths) > 1:
        raise ScenarioError(
            _("a cross-tied array has strings of {least} and {most} modules").format(
                least=min(lengths), most=max(lengths)
            ),
            expected=_("strings of the same length"),
            mend=_("Make the strings equally long, or set wiring to 'strings'"),
        )
    if array.tracking == "per-string" and len(array.strings) > 1:
        raise ScenarioError(
            _("a cross-tied array has one tracker per string"),
            expected=_("one tracker, since cross-ties join the strings"),
            mend=_("Set tracking to 'one', or wiring to 'strings'"),
        )
