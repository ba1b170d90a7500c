"""Where on the page the answer to a question is read: a part, how near to look, and the words for it."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.place import Place, describe_place, level_of
from pvsim.array.scenario import Quantity
from pvsim.course.lesson.lesson import NumberQuestion, Question
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.expression import paths
from pvsim.course.number.quantities import locate
from pvsim.words import _, mark

MOST_NAMED = 2  # places in one answer

_FIGURES = {
    "isc_A": mark("short-circuit current"),
    "voc_V": mark("open-circuit voltage"),
    "i_mp_A": mark("current at the MPP"),
    "v_mp_V": mark("voltage at the MPP"),
    "p_mp_W": mark("greatest power"),
    "fill_factor": mark("fill factor"),
}
_DRAWN: dict[str, Quantity] = {
    "voltage_V": "voltage",
    "power_W": "power",
    "eaten_W": "power",
    "eating": "power",
    "irradiance_W_m2": "irradiance",
    "sunlight_W": "irradiance",
    "temperature_C": "temperature",
    "steady_temperature_C": "temperature",
}
_CABLES = {
    "cable_m": mark("metres of cable"),
    "extension_m": mark("metres of extensions"),
    "extensions": mark("extensions"),
    "joints": mark("joints"),
    "loop_m2": mark("largest loop"),
    "cable_drop_V": mark("voltage drop of the cables"),
    "cable_W": mark("loss of the cables"),
}
_DAY = (
    "day_kWh", "day_open_kWh", "day_followed_kWh", "day_lost", "noon_lost", "worst_lost", "worst_off_noon_h",
)  # fmt: skip
_OTHERS = ("current_A", "conducting", "rise_to_case_K", "rise_to_air_K")
_BUTTONS = {
    "irradiance": mark("Light"),
    "voltage": mark("Voltage"),
    "power": mark("Power"),
    "temperature": mark("Temperature"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where one reading stands.

    Parameters
    ----------
    place : Place
        The part to look at.
    level : str
        How near.
    quantity : str or None
        What the drawing has to show; None where it does not matter.
    words : str
        For people.
    """

    place: Place
    level: str
    quantity: Quantity | None
    words: str


def spots(question: Question, readings: Readings) -> tuple[Spot, ...]:
    """Where the right answer is read, in the order it speaks of things; empty where nobody can say."""
    if isinstance(question, NumberQuestion):
        read = paths(question.answer)
    else:
        right = next((one.when for one in question.choices if one.right and one.when), None)
        read = paths(right) if right is not None else ()
    compared: dict[tuple[str, str], bool] = {}
    for path in read:
        if path.quantity in (*_FIGURES, *_DRAWN, *_CABLES, *_DAY, *_OTHERS):
            key = path.place, path.quantity
            compared[key] = compared.get(key, False) or path.when != "now"
    found = [_spot(*key, earlier, readings) for key, earlier in compared.items()]
    return tuple(dict.fromkeys(found))[:MOST_NAMED]


def _spot(written: str, quantity: str, earlier: bool, readings: Readings) -> Spot:
    place = locate(written, readings.now)
    level, where = level_of(place), describe_place(place)
    near, drawn = level, None
    if quantity in _FIGURES:
        words = _("figures below the curves, {place}: {figure}").format(
            place=where, figure=_(_FIGURES[quantity])
        )
    elif quantity in _CABLES:
        near = "array"
        words = _("“Wire” above the drawing: {figure}").format(figure=_(_CABLES[quantity]))
    elif quantity in _DAY:
        near = "array"
        words = _("the day's picture and its table")
    elif quantity == "conducting":
        near = level if level in ("array", "string") else "module"
        words = _("drawing, {place}: bypass diodes that conduct are coloured").format(place=where)
    elif level in ("cell", "diode"):
        near, drawn = "module", _DRAWN.get(quantity) if level == "cell" else None
        words = _("line below the drawing, once {place} is chosen").format(place=where)
        if drawn is not None:
            words = _("drawing, {place}, with “{button}” chosen below it").format(
                place=where, button=_(_BUTTONS[drawn])
            )
    else:
        words = _("line below the curves, {place}").format(place=where)
    if earlier:
        words += _(", now against before")
    return Spot(place=place, level=near, quantity=drawn, words=words)
