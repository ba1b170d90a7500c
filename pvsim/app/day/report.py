"""What is said of a day: its curves, its energies in a table and in words."""

from __future__ import annotations

from typing import Any

import numpy as np

from pvsim.app.day.work import DayPlay
from pvsim.app.session.day_commands import clock_text
from pvsim.app.words import _
from pvsim.circuit.floats import Floats
from pvsim.day.energy import DayEnergy
from pvsim.files.figure.day import DayCurve
from pvsim.numbers import decimals_for, format_fixed, format_percent

__all__ = ["curves_of", "day_lines", "energy_rows", "energy_sentence", "line_titles"]

ORDER = ("open", "shaded", "power", "followed")


def line_titles() -> dict[str, str]:
    """What each curve of a day is called."""
    return {
        "open": _("no shadow, no faults"),
        "shaded": _("no faults"),
        "power": _("as it is"),
        "followed": _("on the nearest peak"),
    }


def day_lines(play: DayPlay | None) -> dict[str, Any]:
    """Curves, clock and sun of every time of a day, as far as they are known: plain values.

    Returns
    -------
    dict
        `hour`, `clock`, `azimuth`, `elevation`, and a list of powers by each name of ORDER, None where
        there is none yet. Empty before the light is known.
    """
    if play is None or play.films is None:
        return {}
    light = play.films.power.light
    return {
        "hour": np.round(light.hour, 4).tolist(),
        "clock": [clock_text(one) for one in light.hour.tolist()],
        "azimuth": np.round(light.sun.azimuth_deg, 1).tolist(),
        "elevation": np.round(90.0 - light.sun.apparent_zenith_deg, 1).tolist(),
        "powers": {name: _known(play.watts[name]) for name in ORDER},
    }


def _known(watts: Floats) -> list[float | None]:
    return [None if np.isnan(one) else round(one, 2) for one in watts.tolist()]


def energy_rows(energy: DayEnergy) -> list[list[str]]:
    """Rows of the table: name of the line, its title, kWh, kWh less than the row before, and per cent."""
    titles, before, rows = line_titles(), 0.0, []
    decimals = decimals_for(energy.open_kWh)
    for name in ORDER:
        value = energies(energy)[name]
        lost = before - value
        first = name == ORDER[0]
        if first or before <= 0.0:
            less, percent = "–", "–"
        elif abs(lost) < 0.5 * 10.0**-decimals:
            less, percent = "0", ""
        else:
            less = format_fixed(-lost, decimals=decimals, sign=True)
            percent = format_percent(-lost / before, sign=True)
        rows.append([name, titles[name], format_fixed(value, decimals=decimals), less, percent])
        before = value
    return rows


def energies(energy: DayEnergy) -> dict[str, float]:
    """The energy under each curve, in kWh."""
    return {name: getattr(energy, f"{name}_kWh") for name in ORDER}


def energy_sentence(energy: DayEnergy) -> str:
    """The energies of a day in words."""
    decimals = decimals_for(energy.open_kWh)

    def told(value: float) -> str:
        return format_fixed(value, "kWh", decimals=decimals)

    said = [_("The array gives {energy} on this day.").format(energy=told(energy.power_kWh))]
    losses = (
        (energy.open_kWh - energy.shaded_kWh, _("The shadow costs {energy}.")),
        (energy.shaded_kWh - energy.power_kWh, _("Faults and what lies on the glass cost {energy}.")),
        (energy.power_kWh - energy.followed_kWh, _("Trackers that stay on the nearest peak lose {energy}.")),
    )
    least = 0.5 * 10.0**-decimals  # less is written as nothing
    said += [text.format(energy=told(lost)) for lost, text in losses if lost >= least]
    if len(said) == 1:
        if any(lost > 0.0 for lost, _text in losses):
            words = _("Shadows, faults and trackers cost less than {energy} each.")
            said.append(words.format(energy=told(10.0**-decimals)))
        else:
            said.append(_("Nothing of it is lost to shadows, faults or trackers."))
    return " ".join(said)


def curves_of(play: DayPlay) -> tuple[DayCurve, ...]:
    """The curves of a day that is played, for a figure."""
    assert play.energy is not None
    titles, found = line_titles(), energies(play.energy)
    return tuple(
        DayCurve(name=name, label=titles[name], power_W=play.watts[name], energy_kWh=found[name])
        for name in ORDER
    )
