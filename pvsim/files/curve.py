"""A curve to be written or drawn: voltages, currents, powers and a name."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic, PowerPoint
from pvsim.errors import FileError
from pvsim.prompt import summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """An I-V characteristic as it stands in a file or figure.

    Parameters
    ----------
    label : str
        What the curve is, such as "string 2".
    voltage_V, current_A, power_W : (n,)
        Generator convention; at least two points.
    mpps : tuple of PowerPoint
        Marked in figures; empty when not known.
    before : bool
        Drawn faintly, as what was before a change.
    measured : bool
        Drawn as points, in whatever order and at whatever distance they were taken.
    """

    label: str
    voltage_V: Floats
    current_A: Floats
    power_W: Floats
    mpps: tuple[PowerPoint, ...] = ()
    before: bool = False
    measured: bool = False

    __repr__ = summary

    def __post_init__(self) -> None:
        count = self.voltage_V.shape
        if len(count) != 1 or count[0] < 2 or self.current_A.shape != count or self.power_W.shape != count:
            raise FileError(
                f"a curve has {self.voltage_V.size} voltages, {self.current_A.size} currents "
                f"and {self.power_W.size} powers",
                expected="at least two points, and as many of each",
                mend="Give one row of each",
            )


def curve_of(characteristic: Characteristic, label: str = "", *, before: bool = False) -> Curve:
    """Take the curve and its maxima out of a solved characteristic."""
    return Curve(
        label=label,
        voltage_V=characteristic.voltage_V,
        current_A=characteristic.current_A,
        power_W=characteristic.power_W,
        mpps=characteristic.mpps,
        before=before,
    )
