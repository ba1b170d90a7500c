"""A measured curve at another irradiance and temperature, by procedures 1 and 2 of IEC 60891.

Both shift every point (V1, I1) of a curve taken at G1, T1 to (V2, I2) at G2, T2. Formulas of the 2009
edition, from memory and second-hand notes; the standard itself was not at hand.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import isfinite, log

from pvsim.circuit.floats import Floats
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.key_points import key_points
from pvsim.traced.traced_curve import TracedCurve
from pvsim.words import _

# Procedure 1 is meant for changes of irradiance of at most 30 % (IEC 60891:2009, 3.2; from memory).
FIRST_RATIO = (0.7, 1.3)
# Procedure 2 is for larger ones; below a fifth of the light shunts, which it does not know, count too much
# (reckoned on pvsim's own modules: tests/traced/test_translate.py).
SECOND_RATIO = (0.2, 5.0)
LIGHT_W_m2 = (100.0, 1500.0)
WARMTH_C = (-40.0, 100.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstCorrection:
    """Parameters of procedure 1, of the whole part that was measured.

    Parameters
    ----------
    alpha_A_per_K, beta_V_per_K : float
        Change of Isc and of Voc with temperature.
    series_resistance_ohm : float
        Internal.
    kappa_ohm_per_K : float
        Change of the shape of the curve with temperature.
    """

    alpha_A_per_K: float
    beta_V_per_K: float
    series_resistance_ohm: float = 0.0
    kappa_ohm_per_K: float = 0.0

    __repr__ = summary

    def __post_init__(self) -> None:
        _check_finite(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondCorrection:
    """Parameters of procedure 2, of the whole part that was measured.

    Parameters
    ----------
    alpha_per_K, beta_per_K : float
        Relative change of Isc and of Voc with temperature, of those at standard test conditions.
    light_factor : float
        The procedure's a: change of Voc with the logarithm of irradiance, relative to Voc.
    series_resistance_ohm, kappa_ohm_per_K : float
        As in procedure 1, but of their own: the procedure's R's and kappa'.
    """

    alpha_per_K: float
    beta_per_K: float
    light_factor: float = 0.0
    series_resistance_ohm: float = 0.0
    kappa_ohm_per_K: float = 0.0

    __repr__ = summary

    def __post_init__(self) -> None:
        _check_finite(self)


Correction = FirstCorrection | SecondCorrection


def translate_first(
    voltage_V: Floats,
    current_A: Floats,
    correction: FirstCorrection,
    *,
    isc_A: float,
    light_ratio: float,
    warming_K: float,
) -> tuple[Floats, Floats]:
    """Procedure 1: voltages and currents at G2 = `light_ratio` G1 and T2 = T1 + `warming_K`.

    Notes
    -----
    I2 = I1 + Isc1 (G2/G1 - 1) + alpha (T2 - T1)
    V2 = V1 - Rs (I2 - I1) - kappa I2 (T2 - T1) + beta (T2 - T1)
    Source: IEC 60891, procedure 1.
    """
    by = correction
    I = current_A + isc_A * (light_ratio - 1.0) + by.alpha_A_per_K * warming_K
    V = (
        voltage_V
        - by.series_resistance_ohm * (I - current_A)
        - by.kappa_ohm_per_K * I * warming_K
        + by.beta_V_per_K * warming_K
    )
    return V, I


def translate_second(
    voltage_V: Floats,
    current_A: Floats,
    correction: SecondCorrection,
    *,
    voc_V: float,
    light_ratio: float,
    warming_K: float,
) -> tuple[Floats, Floats]:
    """Procedure 2: voltages and currents at G2 = `light_ratio` G1 and T2 = T1 + `warming_K`.

    Notes
    -----
    I2 = I1 (1 + alpha_rel (T2 - T1)) G2/G1
    V2 = V1 + Voc1 (beta_rel (T2 - T1) + a ln(G2/G1)) - R's (I2 - I1) - kappa' I2 (T2 - T1)
    Source: IEC 60891:2009, procedure 2 (from memory; the edition of 2021 has a polynomial for a ln).
    """
    by = correction
    I = current_A * (1.0 + by.alpha_per_K * warming_K) * light_ratio
    V = (
        voltage_V
        + voc_V * (by.beta_per_K * warming_K + by.light_factor * log(light_ratio))
        - by.series_resistance_ohm * (I - current_A)
        - by.kappa_ohm_per_K * I * warming_K
    )
    return V, I


def translate(
    curve: TracedCurve, correction: Correction, *, irradiance_W_m2: float, temperature_C: float
) -> TracedCurve:
    """A curve as it would be at another irradiance and temperature.

    Parameters
    ----------
    curve : TracedCurve
        With its irradiance and temperature.
    correction : FirstCorrection or SecondCorrection
        Its kind chooses the procedure.
    irradiance_W_m2, temperature_C : float
        To translate to.

    Returns
    -------
    TracedCurve
        As many points, at other voltages: more light leaves a gap before short circuit, less light
        one before open circuit.

    Raises
    ------
    FileError
        If light or temperature are not known, or too far away for the procedure.
    """
    G1, T1 = curve.irradiance_W_m2, curve.temperature_C
    if G1 is None or T1 is None:
        raise FileError(
            _("the light or the temperature of the measured curve is not known"),
            expected=_("both, to translate it to others"),
            mend=_("Enter what was measured beside the curve"),
        )
    for value, unit, (least, most) in (
        (G1, "W/m2", LIGHT_W_m2),
        (irradiance_W_m2, "W/m2", LIGHT_W_m2),
        (T1, "degC", WARMTH_C),
        (temperature_C, "degC", WARMTH_C),
    ):
        if not least <= value <= most:
            raise FileError(
                _("a curve is translated from or to {value:g} {unit}").format(value=value, unit=unit),
                expected=_("from {least:g} to {most:g}").format(least=least, most=most),
                mend=_("Lay the curve over the model as it was measured instead"),
            )
    first = isinstance(correction, FirstCorrection)
    least, most = FIRST_RATIO if first else SECOND_RATIO
    ratio = irradiance_W_m2 / G1
    if not least <= ratio <= most:
        raise FileError(
            _("a curve of {G1:g} W/m2 is translated to {G2:g} W/m2").format(G1=G1, G2=irradiance_W_m2),
            expected=_("from {least:g} to {most:g} times its light").format(least=least, most=most),
            mend=_("Use procedure 2") if first else _("Choose a light nearer to that of the curve"),
        )
    points = key_points(curve)
    warming = temperature_C - T1
    V1, I1 = curve.voltage_V, curve.current_A
    if isinstance(correction, FirstCorrection):
        V, I = translate_first(V1, I1, correction, isc_A=points.isc_A, light_ratio=ratio, warming_K=warming)
    else:
        V, I = translate_second(V1, I1, correction, voc_V=points.voc_V, light_ratio=ratio, warming_K=warming)
    order = V.argsort(kind="stable")  # noise times a resistance may change the order of neighbours
    V, I = V[order], I[order]
    kept = [0, *(k for k in range(1, V.size) if V[k] > V[k - 1])]
    return replace(
        curve,
        voltage_V=V[kept],
        current_A=I[kept],
        irradiance_W_m2=irradiance_W_m2,
        temperature_C=temperature_C,
    )


def _check_finite(correction: Correction) -> None:
    for field in fields(correction):
        value = getattr(correction, field.name)
        if not isfinite(value) or abs(value) > 1e6:
            raise FileError(
                _("{name} of a correction is {value:g}").format(name=field.name, value=value),
                expected=_("a finite number"),
                mend=_("Take it from the data sheet, or from the model"),
            )
