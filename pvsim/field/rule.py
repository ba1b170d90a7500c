"""A trained eye's rule: a reading that lies too many per cent lower than it should is called faulty.

    faulty    r < (1 - p / 100) s        r the reading, s its prediction or the neighbour's reading

The rule asks no meter's data sheet, and so calls some sound arrays faulty and misses some faults. Both come
from the same two things, r and s, each off by what it may be off by:

    T = r - (1 - p / 100) s,    called faulty where T < 0

T is taken as normal about its true value. Of a prediction r and s err apart from one another; beside a
neighbour gain and zero are the same meter's in both, so that of the gain only its share of T is left, and of
the zero that of p.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import erfc, hypot, sqrt

import numpy as np

from pvsim.array.checks import finite
from pvsim.array.place import describe_place
from pvsim.array.solution import ArraySolution
from pvsim.errors import ScenarioError
from pvsim.field.doubt import FOLLOWS, USUAL_DOUBT, Doubt, apart, prediction_uncertainty
from pvsim.field.meter import Meter, budget_of, range_of, zero_limit
from pvsim.field.neighbour import check_neighbour
from pvsim.field.probe import Probe, meter_of, true_value
from pvsim.words import _

__all__ = ["RULES", "Chances", "called_faulty", "rule_against_neighbour", "rule_against_prediction"]

RULES = (5.0, 2.0)  # per cent; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """How often a rule is wrong.

    Parameters
    ----------
    percent : float
        Of the rule.
    compared : float
        What it compares with, as that should be, in the unit of the meter.
    false_alarm : float
        Probability that it calls the array faulty as it should be.
    missed : float
        Probability that it does not call the array faulty as it is.
    """

    percent: float
    compared: float
    false_alarm: float
    missed: float

    def __post_init__(self) -> None:
        finite(self, "percent", least=0.0, most=100.0)
        finite(self, "compared", least=0.0)
        finite(self, "false_alarm", least=0.0, most=1.0)
        finite(self, "missed", least=0.0, most=1.0)


def called_faulty(
    reading: float | np.ndarray, compared: float | np.ndarray, percent: float
) -> bool | np.ndarray:
    """Whether a rule calls readings faulty beside what they are compared with."""
    return reading < (1.0 - percent / 100.0) * compared


def rule_against_prediction(
    should_be: ArraySolution,
    as_is: ArraySolution,
    probe: Probe,
    percent: float,
    *,
    doubt: Doubt = USUAL_DOUBT,
    meter: Meter | None = None,
) -> Chances:
    """The chances of a rule that compares a reading with what is reckoned.

    Parameters
    ----------
    percent : float
        How much lower a reading may be, 0 to 100.

    Raises
    ------
    ScenarioError
        If one of the arrays does not have the place, or per cent of the quantity mean nothing there.
    """
    meter = meter or meter_of(probe)
    kept = 1.0 - percent / 100.0
    right = _positive(should_be, probe, meter)
    reckoned = kept * prediction_uncertainty(should_be, probe, doubt=doubt)

    def called(now: float) -> float:
        return _below(now - kept * right, hypot(budget_of(meter, now).combined, reckoned))

    now = true_value(as_is, probe)
    return Chances(percent=percent, compared=right, false_alarm=called(right), missed=1.0 - called(now))


def rule_against_neighbour(
    should_be: ArraySolution,
    as_is: ArraySolution,
    probe: Probe,
    neighbour: Probe,
    percent: float,
    *,
    doubt: Doubt = USUAL_DOUBT,
    meter: Meter | None = None,
) -> Chances:
    """The chances of a rule that compares a reading with the neighbour's, by the same meter.

    Raises
    ------
    ScenarioError
        As `rule_against_prediction`, and if they are no neighbours.
    """
    check_neighbour(probe, neighbour)
    meter = meter or meter_of(probe)
    kept = 1.0 - percent / 100.0
    right = _positive(should_be, neighbour, meter)

    def called(solution: ArraySolution) -> float:
        here, there = true_value(solution, probe), true_value(solution, neighbour)
        return _below(here - kept * there, _spread(meter, here, there, kept, apart(probe, abs(there), doubt)))

    false_alarm, missed = called(should_be), 1.0 - called(as_is)
    return Chances(percent=percent, compared=right, false_alarm=false_alarm, missed=missed)


def _spread(meter: Meter, here: float, there: float, kept: float, unlike: float) -> float:
    """Standard deviation of T beside a neighbour."""
    ranges = [meter.ranges[k] for k in range_of(meter, np.array([here, there])).tolist()]
    zeros = [zero_limit(meter, one) for one in ranges]
    return hypot(
        meter.gain_percent / 100.0 * abs(here - kept * there) / sqrt(3.0),
        (zeros[0] - kept * zeros[1]) / sqrt(3.0),
        budget_of(meter, here).random,
        kept * budget_of(meter, there).random,
        unlike,
    )


def _below(mean: float, spread: float) -> float:
    """Probability that a normal value lies below zero."""
    if spread == 0.0:
        return float(mean < 0.0)
    return 0.5 * erfc(mean / (spread * sqrt(2.0)))


def _positive(should_be: ArraySolution, probe: Probe, meter: Meter) -> float:
    """What is compared with; refused where so many per cent less of it mean nothing."""
    value = true_value(should_be, probe) if probe.what in FOLLOWS else 0.0
    if not 0.0 < value <= meter.ranges[-1].most:
        raise ScenarioError(
            _("a rule of per cent is asked of '{what}' at {place}").format(
                what=probe.what, place=describe_place(probe.place)
            ),
            expected=_("a voltage, a current or a power above zero that the meter can show"),
            mend=_("Judge such readings by their uncertainty"),
        )
    return value
