"""What people read of a search: acts, looks and answers in words."""

from __future__ import annotations

from pvsim.array.place import WHOLE_ARRAY, Place, describe_place
from pvsim.field.search.act import Act, meter_of_act
from pvsim.field.search.candidates import Answered
from pvsim.field.search.family import ANSWERS
from pvsim.field.search.look import Look
from pvsim.field.search.offer import Choice
from pvsim.numbers import format_setting, unit_symbol
from pvsim.words import _, mark

__all__ = ["describe_act", "describe_answered", "describe_choice", "describe_look"]

_READ = {
    "voltage": mark("voltage of {place} with the voltmeter"),
    "open-voltage": mark("open-circuit voltage of {place}, taken out"),
    "current": mark("current of {place} with the clamp meter"),
    "irradiance": mark("irradiance at {place}"),
    "back": mark("temperature of the back of {place}"),
    "power": mark("power on the inverter's display"),
    "display-voltage": mark("voltage on the inverter's display"),
    "display-current": mark("current on the inverter's display"),
    "insulation": mark("insulation of {place}"),
}
_ACTS = {
    "trace": mark("I-V curve of {place}, taken out"),
    "picture": mark("infrared picture of {place}"),
    "stop": mark("stop the inverter"),
    "start": mark("start the inverter"),
    "open-switch": mark("open the DC switch"),
    "close-switch": mark("close the DC switch"),
    "prove-zero": mark("prove zero current on every string"),
    "separate": mark("separate {place}"),
    "join": mark("join {place} again"),
    "cover": mark("lay a cloth on {place}"),
    "lift": mark("lift the cloth"),
    "hint": mark("take a hint"),
}
_MODES = {
    "work": mark("{look}, at work"),
    "open": mark("{look}, with the DC switch open"),
    "apart": mark("{look}, with the string separated"),
}


def describe_act(act: Act) -> str:
    """An act in a few words, with the range that its meter was set to."""
    text = _act_words(act)
    meter = meter_of_act(act)
    if meter is None or not act.range_most:
        return text
    most = format_setting(act.range_most, unit_symbol(meter.unit))
    return _("{look}, on the range of {most}").format(look=text, most=most)


def _act_words(act: Act) -> str:
    if act.kind == "read-run":
        first, last = act.place.module or 1, act.last
        if first == last:
            return _("voltage across {place} and its connector").format(place=describe_place(act.place))
        return _("voltage across modules {first} to {last} of string {string}").format(
            first=first, last=last, string=act.place.string
        )
    template = _READ[act.what] if act.kind == "read" else _ACTS[act.kind]
    return _(template).format(place=_named(act.place))


def describe_look(look: Look) -> str:
    """A look: the reading, the cloth, and how the plant has to stand."""
    text = describe_act(look.act)
    if look.cloth is not None:
        text = _("{look}, with a cloth on {place}").format(look=text, place=_named(look.cloth))
    return _(_MODES[look.mode]).format(look=text)


def describe_choice(choice: Choice) -> str:
    """One of an offer: what is read, and how the plant has to stand or that it is left as it stands."""
    if choice.look is None:
        return _("{look}, with the plant as it stands").format(look=describe_act(choice.act))
    return describe_look(choice.look)


def describe_answered(answered: Answered) -> str:
    """An answer: what, and where."""
    kind, place = answered
    return _("{what}: {place}").format(what=_(ANSWERS[kind].title), place=_named(place))


def _named(place: Place) -> str:
    return _("the array") if place == WHOLE_ARRAY else describe_place(place)
