"""The table of fault kinds: where each belongs, its size, and what it means."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.place import Level
from pvsim.errors import ScenarioError, nearest
from pvsim.words import _, mark


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultKind:
    """What one kind of fault is.

    Parameters
    ----------
    scope : Level
        The level its place usually has.
    title, meaning : str
        For people; the meaning is one sentence. Both in English, marked to be translated when shown.
    scopes : tuple of Level
        Every level its place may have.
    size_name : str
        What the size is; "" when the kind has none.
    unit : str
        Of the size: "" for a share, "1" for a count.
    size, least, most : float
        Default (None when the kind has no size) and limits.
    count : bool
        Whether the size is a whole number.
    """

    scope: Level
    title: str
    meaning: str
    scopes: tuple[Level, ...] = ()
    size_name: str = ""
    unit: str = ""
    size: float | None = None
    least: float = 0.0
    most: float = 0.0
    count: bool = False

    def __post_init__(self) -> None:
        if not self.scopes:
            object.__setattr__(self, "scopes", (self.scope,))


FAULT_KINDS: dict[str, FaultKind] = {
    "cell-open": FaultKind(
        scope="cell",
        title=mark("cell open"),
        meaning=mark("No current passes the cell: its contact has come off."),
    ),
    "cell-short": FaultKind(
        scope="cell",
        title=mark("cell short-circuited"),
        meaning=mark("The cell has no voltage: a metal bridge joins its two sides."),
    ),
    "cell-cracked": FaultKind(
        scope="cell",
        title=mark("cell cracked"),
        meaning=mark("A crack cuts off part of the cell's area, light and junction both."),
        size_name=mark("share of the area cut off"),
        size=0.3,
        most=0.99,
    ),
    "cell-shunt": FaultKind(
        scope="cell",
        title=mark("low shunt resistance"),
        meaning=mark("Current leaks past the cell's junction."),
        size_name=mark("shunt resistance"),
        unit="ohm",
        size=1.0,
        least=1e-4,
        most=1e6,
    ),
    "cell-resistive": FaultKind(
        scope="cell",
        title=mark("high series resistance"),
        meaning=mark("The current meets added resistance at the cell's contacts."),
        size_name=mark("added resistance"),
        unit="ohm",
        size=0.05,
        most=1e6,
    ),
    "ribbon-broken": FaultKind(
        scope="cell",
        title=mark("ribbon broken"),
        meaning=mark("Of the ribbons from this cell to the next some are broken, and the rest carry it all."),
        size_name=mark("share of the ribbons broken"),
        size=0.5,
        most=1.0,
    ),
    "diode-open": FaultKind(
        scope="diode",
        title=mark("bypass diode open"),
        meaning=mark("The bypass diode carries no current in either direction."),
    ),
    "diode-short": FaultKind(
        scope="diode",
        title=mark("bypass diode short-circuited"),
        meaning=mark("The bypass diode bridges its substring for good."),
    ),
    "diode-reversed": FaultKind(
        scope="diode",
        title=mark("bypass diode reversed"),
        meaning=mark("Built in the wrong way round, the diode shorts its lit substring."),
    ),
    "diode-resistive": FaultKind(
        scope="diode",
        title=mark("bypass diode with a burnt contact"),
        meaning=mark("The diode conducts through added resistance."),
        size_name=mark("contact resistance"),
        unit="ohm",
        size=0.5,
        most=1e6,
    ),
    "connector-resistive": FaultKind(
        scope="module",
        title=mark("connector resistive"),
        meaning=mark("The connector at the module's positive lead has added resistance."),
        size_name=mark("added resistance"),
        unit="ohm",
        size=1.0,
        most=1e9,
    ),
    "cable-open": FaultKind(
        scope="string",
        title=mark("string cable open"),
        meaning=mark("The string's cable is cut, so no current can flow."),
    ),
    "fuse-blown": FaultKind(
        scope="string",
        title=mark("fuse blown"),
        meaning=mark("The string's fuse has opened."),
    ),
    "module-reversed": FaultKind(
        scope="module",
        title=mark("module reversed"),
        meaning=mark("The module is plugged in with plus and minus exchanged."),
    ),
    "modules-too-few": FaultKind(
        scope="string",
        title=mark("modules too few"),
        meaning=mark("The string has fewer modules than planned; the last ones are missing."),
        size_name=mark("modules missing"),
        unit="1",
        size=1.0,
        least=1.0,
        most=199.0,
        count=True,
    ),
    "modules-too-many": FaultKind(
        scope="string",
        title=mark("modules too many"),
        meaning=mark("The string has more modules than planned, of the type of its last one."),
        size_name=mark("modules added"),
        unit="1",
        size=1.0,
        least=1.0,
        most=199.0,
        count=True,
    ),
    "soiling": FaultKind(
        scope="module",
        title=mark("soiling"),
        meaning=mark("Dirt takes a share of the light."),
        scopes=("array", "string", "module", "substring", "cell"),
        size_name=mark("share of the light lost"),
        size=0.05,
        most=1.0,
    ),
    "induced-shunting": FaultKind(
        scope="string",
        title=mark("potential-induced shunting"),
        meaning=mark(
            "Voltage against earth has shunted cells, most at the frame and at the string's minus end."
        ),
        scopes=("string", "module"),
        size_name=mark("shunt resistance of the worst cells"),
        unit="ohm",
        size=1.0,
        least=1e-3,
        most=1e6,
    ),
    "earth-fault": FaultKind(
        scope="module",
        title=mark("earth fault"),
        meaning=mark("The module's positive lead touches earth."),
        size_name=mark("resistance to earth"),
        unit="ohm",
        size=1.0,
        least=1e-3,
        most=1e9,
    ),
    "string-bridge": FaultKind(
        scope="module",
        title=mark("wire between strings"),
        meaning=mark("A wire joins the positive leads of two modules."),
        size_name=mark("resistance of the wire"),
        unit="ohm",
        size=0.01,
        least=1e-3,
        most=1e9,
    ),
}


def fault_kind(name: str) -> FaultKind:
    """The table row of a kind of fault; an unknown name is refused with the nearest known."""
    if not isinstance(name, str) or name not in FAULT_KINDS:
        raise ScenarioError(
            _("there is no kind of fault called {name}").format(name=repr(str(name)[:80])),
            expected=_("one of {names}").format(names=", ".join(FAULT_KINDS)),
            mend=nearest(str(name)[:80], FAULT_KINDS, _("Choose one of them")),
        )
    return FAULT_KINDS[name]
