"""A measured curve beside that of the model: what is missed along it, and the key figures of both."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.key_points import TracedPoints, key_points
from pvsim.traced.traced_curve import TracedCurve
from pvsim.words import _

_SAMPLES = 201


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Beside:
    """A measured curve beside the model's, of the same part.

    Parameters
    ----------
    voltage_V : (m,)
        Those measured that the model's curve reaches.
    residual_A : (m,)
        Measured less modelled current there.
    rms_of_isc : float
        Root of the mean square of the residual from short circuit to the model's Voc, as a share of the
        model's Isc.
    measured, modelled : TracedPoints
        Key figures of both, found in the same way.
    """

    voltage_V: Floats
    residual_A: Floats
    rms_of_isc: float
    measured: TracedPoints
    modelled: TracedPoints

    __repr__ = summary


def lay_beside(curve: TracedCurve, model: Characteristic) -> Beside:
    """Lay a measured curve over the model's.

    Parameters
    ----------
    curve : TracedCurve
        At the light and temperature of the model, or translated to them.
    model : Characteristic
        Of the same part, as `own_curve` in pvsim/reading gives it.

    Raises
    ------
    FileError
        If the two share no voltages, or one of them is no curve from short to open circuit.
    """
    reached = (curve.voltage_V >= model.voltage_V[0]) & (curve.voltage_V <= model.voltage_V[-1])
    V, I = curve.voltage_V[reached], curve.current_A[reached]
    inside = (V >= 0.0) & (V <= model.voc_V)
    if not inside.any() or not model.isc_A > 0.0:
        raise FileError(
            _("the measured curve and the model share no voltages"),
            expected=_("the curve of the part that was measured, in light"),
            mend=_("Choose the part, its light and the unit of the voltage again"),
        )
    missed = I - np.interp(V, model.voltage_V, model.current_A)
    return Beside(
        voltage_V=V,
        residual_A=missed,
        rms_of_isc=float(np.sqrt(np.mean(missed[inside] ** 2)) / model.isc_A),
        measured=key_points(curve),
        modelled=modelled_points(model),
    )


def modelled_points(model: Characteristic) -> TracedPoints:
    """The model's key figures, found as those of a measured curve are.

    Raises
    ------
    FileError
        If the model delivers no power.
    """
    if not (model.voc_V > 0.0 and model.isc_A > 0.0):
        raise FileError(
            _("the model's curve delivers no power"),
            expected=_("the curve of a part in light"),
            mend=_("Choose the part and its light again"),
        )
    return key_points(sampled(model, np.linspace(0.0, 1.01 * model.voc_V, _SAMPLES)))


def sampled(model: Characteristic, voltage_V: Floats) -> TracedCurve:
    """The model's curve as a tracer without error would take it at some voltages."""
    return TracedCurve(voltage_V=voltage_V, current_A=np.interp(voltage_V, model.voltage_V, model.current_A))


def reaching(model: Characteristic, voltage_V: Floats) -> Floats:
    """The model's current at some voltages, and beyond its last one along its slope at open circuit."""
    beyond = np.maximum(voltage_V - model.voltage_V[-1], 0.0)
    reached: Floats = np.interp(voltage_V, model.voltage_V, model.current_A)
    reached += beyond * model.slope_at_voc_A_per_V
    return reached
