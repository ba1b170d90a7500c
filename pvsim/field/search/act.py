"""What one can do in a search, and the minutes it costs.

    "read"           an instrument of `pvsim.field.probe`, at the array, a string or a module
    "read-run"       the voltmeter over neighbouring modules of a string with the connectors between them
    "trace"          the I-V tracer on a string or a module: its short-circuit current, its open voltage
    "picture"        an infrared picture of a string or a module: how much warmer its warmest cells are
    "stop", "start"                the inverter
    "open-switch", "close-switch"  the DC switch; it has a pole for every string and so parts them all
    "prove-zero"     the clamp meter round every string, behind the open switch
    "separate", "join"             a string at its connectors
    "cover", "lift"  a cloth on a cell, a substring or a module, and off again
    "hint"           nothing on the roof: somebody is asked

All minutes are a judgement, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import finite, one_of, refuse, whole
from pvsim.array.limits import MAX_MODULES_PER_STRING
from pvsim.array.place import LEVELS, WHOLE_ARRAY, Level, Place, level_of
from pvsim.field.kit import RANGED, VOLTMETER
from pvsim.field.meter import Meter, on_range
from pvsim.field.probe import Probe, meter_of
from pvsim.words import _

__all__ = ["ACTS", "CLOTH_LEAK", "Act", "can_be_ranged", "meter_of_act", "minutes_of"]

CLOTH_LEAK = 0.01  # of cardboard; an opaque cloth lets nothing through

_READ_min = {
    "power": 1.0,
    "display-voltage": 1.0,
    "display-current": 1.0,
    "irradiance": 2.0,
    "current": 2.0,
    "back": 2.0,
    "voltage": 3.0,
    "open-voltage": 4.0,
    "insulation": 4.0,
}
# Levels of place that an act may have; the whole array where it has none.
ACTS: dict[str, tuple[float, tuple[Level, ...]]] = {
    "read": (0.0, LEVELS),  # as _READ_min and the probe say
    "read-run": (3.0, ("module",)),
    "trace": (8.0, ("string", "module")),
    "stop": (1.0, ("array",)),
    "start": (3.0, ("array",)),
    "open-switch": (1.0, ("array",)),
    "close-switch": (1.0, ("array",)),
    "prove-zero": (2.0, ("array",)),
    "separate": (2.0, ("string",)),
    "join": (2.0, ("string",)),
    "cover": (2.0, ("cell", "substring", "module")),
    "lift": (1.0, ("array",)),
    "hint": (5.0, ("array",)),
    "picture": (4.0, ("string", "module")),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One thing done.

    Parameters
    ----------
    kind : str
        A key of ACTS.
    place : Place
        Where; the whole array for what has no place of its own. Of a run its first module.
    what : str
        With "read" alone: what is read, a key of PROBES.
    last : int
        With "read-run" alone: the number of the run's last module, at least that of its first.
    leak : float
        With "cover": the share of the light that the cloth lets through, 0 to 1.
    range_most : float
        With a reading by a meter of RANGED: the end of the range that it is set to, in its unit; 0 where it
        chooses.

    Raises
    ------
    ScenarioError
        If the parts do not go together.
    """

    kind: str
    place: Place = WHOLE_ARRAY
    what: str = ""
    last: int = 0
    leak: float = 0.0
    range_most: float = 0.0

    def __post_init__(self) -> None:
        one_of(self, "kind", ACTS)
        if not isinstance(self.place, Place):
            refuse(self, "place", self.place, _("a Place"))
        levels = ACTS[self.kind][1]
        if level_of(self.place) not in levels:
            refuse(self, "place", self.place, _("one of {names}").format(names=", ".join(levels)))
        if self.kind == "read":
            Probe(what=self.what, place=self.place)
        elif self.what:
            refuse(self, "what", self.what, _("nothing: this act reads no instrument of its own"))
        run = self.kind == "read-run"
        first = self.place.module or 0
        whole(self, "last", least=first if run else 0, most=MAX_MODULES_PER_STRING if run else 0)
        finite(self, "leak", least=0.0, most=1.0 if self.kind == "cover" else 0.0)
        finite(self, "range_most", least=0.0, most=1e9)
        if self.range_most and not can_be_ranged(self):
            refuse(self, "range_most", self.range_most, _("0: no range is set for this act"))
        meter_of_act(self)


def minutes_of(act: Act) -> float:
    """What an act costs."""
    return _READ_min[act.what] if act.kind == "read" else ACTS[act.kind][0]


def can_be_ranged(act: Act) -> bool:
    """Whether the meter that an act reads with can be set to a range."""
    return _own_meter(act) in RANGED


def meter_of_act(act: Act) -> Meter | None:
    """The meter that an act reads with, on the range that it is set to; None where no meter is in hand.

    Raises
    ------
    ScenarioError
        If the meter has no such range.
    """
    meter = _own_meter(act)
    return on_range(meter, act.range_most) if meter is not None and act.range_most else meter


def _own_meter(act: Act) -> Meter | None:
    if act.kind == "read":
        return meter_of(Probe(what=act.what, place=act.place))
    return VOLTMETER if act.kind == "read-run" else None
