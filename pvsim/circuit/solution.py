"""What a solve gives back: a characteristic, its key points, and an operating point."""

from __future__ import annotations

from dataclasses import dataclass, field

from pvsim.circuit.floats import Floats
from pvsim.circuit.mesh import Mesh
from pvsim.circuit.network import Element
from pvsim.prompt import drawn, summary


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerPoint:
    """A point of the characteristic: V, I and their product."""

    voltage_V: float
    current_A: float
    power_W: float

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Characteristic:
    """The I-V characteristic of a circuit and its key points.

    Parameters
    ----------
    voltage_V, current_A, power_W : (n,)
        The curve, voltage rising, current falling, from the reverse quadrant (V < 0)
        to beyond Voc (I < 0).
    isc_A, voc_V : float
        Current at V = 0, voltage at I = 0, to solver tolerance.
    mpps : tuple of PowerPoint
        Every local maximum of power with V > 0 and I > 0, voltage rising; empty in
        the dark.
    mpp : PowerPoint
        The greatest of them; all zero in the dark.
    fill_factor : float
        Pmp / (Isc Voc); 0 in the dark.
    slope_at_isc_A_per_V, slope_at_voc_A_per_V : float
        dI/dV at the two axes.
    residual_A : float
        Largest current by which an element's law is missed at any point shown,
        relative to the largest current of the circuit (at least 1 A); of many unlike
        elements a bound on it.
    iterations : int
        Newton steps taken.
    """

    # What would fill screens is left out at a prompt.
    circuit: Element | Mesh = field(repr=False)
    voltage_V: Floats = field(repr=False)
    current_A: Floats = field(repr=False)
    power_W: Floats = field(repr=False)
    isc_A: float
    voc_V: float
    mpps: tuple[PowerPoint, ...]
    mpp: PowerPoint
    fill_factor: float
    slope_at_isc_A_per_V: float
    slope_at_voc_A_per_V: float
    residual_A: float
    iterations: int

    __repr__ = summary
    _repr_svg_ = drawn


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OperatingPoint:
    """The whole circuit at one operating point.

    Leaves (cells, diodes and resistors) stand in the order a reader meets them in the
    tree: depth first, children in their order, a shared child once for each place.

    Parameters
    ----------
    voltage_V, current_A, power_W : float
        At the terminals, generator convention.
    leaf_voltage_V, leaf_current_A, leaf_power_W : (leaves,)
        Of every leaf, generator convention: a cell that eats power has a negative
        power; a conducting bypass diode has a negative voltage and a positive current.
    leaf_junction_V : (leaves,)
        Vd of a cell, the junction voltage of a diode (positive forward), 0 for a resistor.
    residual_A : float
        Largest current by which an element's law is missed, relative to the largest
        current of the circuit (at least 1 A).
    iterations : int
        Newton steps taken.
    """

    voltage_V: float
    current_A: float
    power_W: float
    leaf_voltage_V: Floats
    leaf_current_A: Floats
    leaf_power_W: Floats
    leaf_junction_V: Floats
    residual_A: float
    iterations: int

    __repr__ = summary
