"""Would you notice? What a change does to a reading, beside how well that reading can be known.

The effect d is a difference of true values: what the circuit has, as it is, less what it should have.

* Against a prediction, d is the place's own change. Meter and prediction both may be off: u combines gain,
  zero, drift, step and noise of the reading with what is not known of light, warmth and modules.
* Against a neighbour, d is the change of the difference "here less there", both read one after the other with
  the same meter. Zero and drift cancel where both are in one range, and the gain is off by its share of the
  difference alone; u holds that, step and noise of both readings, and how far sound neighbours lie apart.

u_r is the part of u that comes anew with each reading: step and noise. With k = COVERAGE the verdict is

    changed                        |d| > k u         farther than a meter within its limits, and all else that
                                                     is not known, could be off
    changed-unless-meter-errs      |d| > k u_r       the figure moves farther than it does by itself, but what
                                                     it is compared with, or the meter, may be off by as much
    cannot-be-told                 |d| > step / 2    within what the figure does by itself
    unchanged                      else              less than the meter can show

A reading over range tells nothing: cannot-be-told, unless nothing has changed.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt
from typing import Literal

import numpy as np

from pvsim.array.solution import ArraySolution
from pvsim.field.doubt import USUAL_DOUBT, Doubt, apart, prediction_uncertainty
from pvsim.field.meter import COVERAGE, Meter, MeterRange, budget_of, range_of, zero_limit
from pvsim.field.neighbour import check_neighbour
from pvsim.field.probe import Probe, meter_of, true_value
from pvsim.prompt import summary
from pvsim.words import mark

__all__ = [
    "NOTICED",
    "Notice",
    "Noticed",
    "against_neighbour",
    "against_prediction",
    "noticed",
]

Noticed = Literal["changed", "changed-unless-meter-errs", "cannot-be-told", "unchanged"]

NOTICED: dict[Noticed, str] = {
    "changed": mark("changed"),
    "changed-unless-meter-errs": mark("changed, unless the meter errs"),
    "cannot-be-told": mark("cannot be told"),
    "unchanged": mark("unchanged"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """What a change does to a reading, and whether it would be noticed; in the unit of the meter.

    Parameters
    ----------
    probe : Probe
    neighbour : Probe or None
        What it is compared with; None for a prediction.
    unit : str
    should_be, as_is : float
        True values at the place; beside a neighbour, of "here less there".
    effect : float
        `as_is` less `should_be`.
    uncertainty, random_uncertainty : float
        Standard: u, and its part u_r that comes anew with each reading.
    step : float
        The coarsest step of what is read.
    verdict : str
        A key of NOTICED.
    """

    probe: Probe
    neighbour: Probe | None
    unit: str
    should_be: float
    as_is: float
    effect: float
    uncertainty: float
    random_uncertainty: float
    step: float
    verdict: Noticed

    __repr__ = summary

    @property
    def expanded_uncertainty(self) -> float:
        """k u."""
        return COVERAGE * self.uncertainty

    @property
    def ratio(self) -> float:
        """The effect in units of its expanded uncertainty: beyond one, of either sign, it is noticed."""
        return self.effect / self.expanded_uncertainty


def noticed(effect: float, *, uncertainty: float, random_uncertainty: float, step: float) -> Noticed:
    """The verdict on a difference, true or read; all in one unit, the uncertainties standard ones."""
    size = abs(effect)
    if size > COVERAGE * uncertainty:
        return "changed"
    if size > COVERAGE * random_uncertainty:
        return "changed-unless-meter-errs"
    return "cannot-be-told" if size > 0.5 * step else "unchanged"


def against_prediction(
    should_be: ArraySolution,
    as_is: ArraySolution,
    probe: Probe,
    *,
    time_min: float = 0.0,
    doubt: Doubt = USUAL_DOUBT,
    meter: Meter | None = None,
) -> Notice:
    """Compared with what the array should show by reckoning.

    Parameters
    ----------
    should_be, as_is : ArraySolution
        In the same light and weather.
    time_min : float
        Since the meter was set to zero.
    meter : Meter or None
        Of the same unit; the kit's own if left out.

    Raises
    ------
    ScenarioError
        If one of the arrays does not have the place.
    """
    meter = meter or meter_of(probe)
    right, now = true_value(should_be, probe), true_value(as_is, probe)
    budget = budget_of(meter, now, time_min)
    u = hypot(budget.combined, prediction_uncertainty(should_be, probe, doubt=doubt))
    return _notice(meter, probe, None, (right, now), (u, budget.random), (now,))


def against_neighbour(
    should_be: ArraySolution,
    as_is: ArraySolution,
    probe: Probe,
    neighbour: Probe,
    *,
    doubt: Doubt = USUAL_DOUBT,
    meter: Meter | None = None,
) -> Notice:
    """Compared with the same thing at a neighbour, read with the same meter right after.

    Parameters
    ----------
    probe, neighbour : Probe
        Of the same kind, at two places of one level.

    Raises
    ------
    ScenarioError
        If they are not, or one of the arrays does not have a place.
    """
    check_neighbour(probe, neighbour)
    meter = meter or meter_of(probe)
    right = true_value(should_be, probe) - true_value(should_be, neighbour)
    here, there = true_value(as_is, probe), true_value(as_is, neighbour)
    random = hypot(budget_of(meter, here).random, budget_of(meter, there).random)
    ranges = [_range(meter, value) for value in (here, there)]
    u = hypot(
        random,
        meter.gain_percent / 100.0 * abs(here - there) / sqrt(3.0),
        (zero_limit(meter, ranges[0]) - zero_limit(meter, ranges[1])) / sqrt(3.0),
        apart(probe, max(abs(here), abs(there)), doubt),
    )
    return _notice(meter, probe, neighbour, (right, here - there), (u, random), (here, there))


def _range(meter: Meter, value: float) -> MeterRange:
    return meter.ranges[int(range_of(meter, np.array([value]))[0])]


def _notice(
    meter: Meter,
    probe: Probe,
    neighbour: Probe | None,
    true: tuple[float, float],
    known: tuple[float, float],
    shown: tuple[float, ...],
) -> Notice:
    right, now = true
    u, random = known
    step = max(_range(meter, value).step for value in shown)
    verdict = noticed(now - right, uncertainty=u, random_uncertainty=random, step=step)
    over = any(abs(value) > meter.ranges[-1].most for value in shown)
    return Notice(
        probe=probe,
        neighbour=neighbour,
        unit=meter.unit,
        should_be=right,
        as_is=now,
        effect=now - right,
        uncertainty=u,
        random_uncertainty=random,
        step=step,
        verdict="cannot-be-told" if over and verdict != "unchanged" else verdict,
    )
