"""The cautions a lesson can call by name; shown in place, before the act."""

from __future__ import annotations

from pvsim.words import mark

# Common practice of the trade; local codes and licensed people come first.
CAUTIONS: dict[str, str] = {
    "live": mark("On a real roof a module is live whenever light falls on it, with the inverter off too."),
    "arc": mark(
        "On a real roof never separate a connector that carries current: "
        "a direct-current arc does not go out by itself."
    ),
    "diode": mark(
        "On a real roof an open bypass diode together with shade can start a fire. Here it costs nothing."
    ),
    "shorting": mark(
        "Shorting a real string needs switchgear made for it. Never do it with a plug or a wire."
    ),
    "cold": mark(
        "Before you measure, check that the meter is rated for the open-circuit voltage "
        "on the coldest bright morning."
    ),
    "height": mark(
        "Work on a roof is work at height: two persons, qualified, secured, local rules first."
    ),
    "fuse": mark(
        "Which fuse a string needs is worked out by a licensed person, by the local code. "
        "A fuse holder is no switch: never open it under current."
    ),
    "heat": mark(
        "A shaded cell under current can be hot enough to burn skin. "
        "Do not touch it; look at it with an infrared camera."
    ),
}
