"""Faults: the table of kinds, and one fault with its place and size."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import finite, refuse, whole
from pvsim.array.place import Level, Place, describe_place, level_of
from pvsim.errors import ScenarioError, nearest


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultKind:
    """What one kind of fault is.

    Parameters
    ----------
    scope : Level
        The level its place usually has.
    scopes : tuple of Level
        Every level its place may have.
    title, meaning : str
        For people; the meaning is one sentence.
    unit, size, least, most, size_name
        Of the fault's size: unit ("" for a share, "1" for a count), default, limits, what the
        size is; `size` is None when the kind has no size.
    count : bool
        Whether the size is a whole number.
    """

    scope: Level
    scopes: tuple[Level, ...]
    title: str
    meaning: str
    size_name: str = ""
    unit: str = ""
    size: float | None = None
    least: float = 0.0
    most: float = 0.0
    count: bool = False


def _kind(scope: Level, title: str, meaning: str, **more: object) -> FaultKind:
    more.setdefault("scopes", (scope,))
    return FaultKind(scope=scope, title=title, meaning=meaning, **more)  # type: ignore[arg-type]


FAULT_KINDS: dict[str, FaultKind] = {
    "cell-open": _kind("cell", "cell open", "No current passes the cell: its contact has come off."),
    "cell-short": _kind("cell", "cell short-circuited", "The cell has no voltage: a metal bridge joins its two sides."),
    "cell-cracked": _kind(
        "cell", "cell cracked", "A crack cuts off part of the cell's area, light and junction both.",
        size_name="share of the area cut off", size=0.3, least=0.0, most=0.99,
    ),
    "cell-shunt": _kind(
        "cell", "low shunt resistance", "Current leaks past the cell's junction.",
        size_name="shunt resistance", unit="ohm", size=1.0, least=1e-4, most=1e6,
    ),
    "cell-resistive": _kind(
        "cell", "high series resistance", "The current meets added resistance at the cell's contacts.",
        size_name="added resistance", unit="ohm", size=0.05, least=0.0, most=1e6,
    ),
    "ribbon-broken": _kind(
        "cell", "ribbon broken", "Of the ribbons from this cell to the next, some are broken; the rest carry it all.",
        size_name="share of the ribbons broken", size=0.5, least=0.0, most=1.0,
    ),
    "diode-open": _kind("diode", "bypass diode open", "The bypass diode carries no current in either direction."),
    "diode-short": _kind("diode", "bypass diode short-circuited", "The bypass diode bridges its substring for good."),
    "diode-reversed": _kind("diode", "bypass diode reversed", "Built in the wrong way round, the diode shorts its lit substring."),
    "diode-resistive": _kind(
        "diode", "bypass diode with a burnt contact", "The diode conducts through added resistance.",
        size_name="contact resistance", unit="ohm", size=0.5, least=0.0, most=1e6,
    ),
    "connector-resistive": _kind(
        "module", "connector resistive", "The connector at the module's positive lead has added resistance.",
        size_name="added resistance", unit="ohm", size=1.0, least=0.0, most=1e9,
    ),
    "cable-open": _kind("string", "string cable open", "The string's cable is cut, so no current can flow."),
    "fuse-blown": _kind("string", "fuse blown", "The string's fuse has opened."),
    "module-reversed": _kind("module", "module reversed", "The module is plugged in with plus and minus exchanged."),
    "modules-too-few": _kind(
        "string", "modules too few", "The string has fewer modules than planned; the last ones are missing.",
        size_name="modules missing", unit="1", size=1.0, least=1.0, most=199.0, count=True,
    ),
    "modules-too-many": _kind(
        "string", "modules too many", "The string has more modules than planned, of the type of its last one.",
        size_name="modules added", unit="1", size=1.0, least=1.0, most=199.0, count=True,
    ),
    "soiling": _kind(
        "module", "soiling", "Dirt takes a share of the light.",
        scopes=("array", "string", "module", "substring", "cell"),
        size_name="share of the light lost", size=0.05, least=0.0, most=1.0,
    ),
    "induced-shunting": _kind(
        "string", "potential-induced shunting",
        "Voltage against earth has shunted the cells: in a string most at its negative end, in a module most at its frame.",
        scopes=("string", "module"),
        size_name="shunt resistance of a cell at the frame, worst module", unit="ohm", size=1.0, least=1e-3, most=1e6,
    ),
    "earth-fault": _kind(
        "module", "earth fault", "The module's positive lead touches earth.",
        size_name="resistance to earth", unit="ohm", size=1.0, least=1e-3, most=1e9,
    ),
    "string-bridge": _kind(
        "module", "wire between strings", "A wire joins the positive leads of two modules.",
        size_name="resistance of the wire", unit="ohm", size=0.01, least=1e-3, most=1e9,
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault, where it is, and how large.

    Parameters
    ----------
    kind : str
        A key of FAULT_KINDS.
    place : Place
        Of a level the kind allows.
    size : float or None
        In the kind's unit; its default when not given. None for kinds without a size.
    other : Place or None
        The second module of a "string-bridge".

    Raises
    ------
    ScenarioError
        If kind, place, size or other do not go together.
    """

    kind: str
    place: Place
    size: float | None = None
    other: Place | None = None

    def __post_init__(self) -> None:
        kind = fault_kind(self.kind)
        if not isinstance(self.place, Place):
            refuse(self, "place", self.place, "a Place")
        if level_of(self.place) not in kind.scopes:
            raise ScenarioError(
                f"'{self.kind}' is put on {describe_place(self.place)}",
                expected="a " + " or a ".join(kind.scopes),
                mend="Choose a place of that level",
            )
        if kind.size is None:
            if self.size is not None:
                refuse(self, "size", self.size, f"no size with '{self.kind}'")
        elif self.size is None:
            object.__setattr__(self, "size", kind.size)
        else:
            _check_size(self, kind)
        _check_other(self)


def fault_kind(name: str) -> FaultKind:
    """The table row of a kind of fault; an unknown name is refused with the nearest known."""
    if not isinstance(name, str) or name not in FAULT_KINDS:
        raise ScenarioError(
            f"there is no kind of fault called {str(name)[:80]!r}",
            expected="one of " + ", ".join(FAULT_KINDS),
            mend=nearest(str(name)[:80], FAULT_KINDS),
        )
    return FAULT_KINDS[name]


def _check_size(fault: Fault, kind: FaultKind) -> None:
    if kind.count:
        if isinstance(fault.size, float) and fault.size.is_integer():
            object.__setattr__(fault, "size", int(fault.size))
        whole(fault, "size", least=int(kind.least), most=int(kind.most))
        object.__setattr__(fault, "size", float(fault.size or 0.0))
    else:
        finite(fault, "size", least=kind.least, most=kind.most)


def _check_other(fault: Fault) -> None:
    if fault.kind != "string-bridge":
        if fault.other is not None:
            refuse(fault, "other", fault.other, f"no second place with '{fault.kind}'")
        return
    other = fault.other
    if not isinstance(other, Place) or level_of(other) != "module" or other == fault.place:
        refuse(fault, "other", other, "another module, where the wire ends")
