"""Series-parallel networks: resistors, series, parallel and a part turned end for end."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.circuit import limits
from pvsim.circuit.cell import Cell
from pvsim.circuit.checks import within
from pvsim.circuit.diode import Diode
from pvsim.errors import CircuitError
from pvsim.prompt import summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor:
    """An ohmic resistance: a cable, a connector, a fuse.

    Parameters
    ----------
    resistance_ohm : float
        From SHORT_RESISTANCE_ohm (a bridge) to OPEN_RESISTANCE_ohm (a break).

    Raises
    ------
    CircuitError
        If the resistance is not finite or outside that range.
    """

    resistance_ohm: float

    def __post_init__(self) -> None:
        within(self, limits.RESISTOR)


@dataclass(frozen=True, slots=True)
class Series:
    """Elements one after the other: the same current, the voltages add."""

    children: tuple[Element, ...]

    __repr__ = summary

    def __post_init__(self) -> None:
        _check_children(self)


@dataclass(frozen=True, slots=True)
class Parallel:
    """Elements side by side: the same voltage, the currents add."""

    children: tuple[Element, ...]

    __repr__ = summary

    def __post_init__(self) -> None:
        _check_children(self)


@dataclass(frozen=True, slots=True)
class Turned:
    """A part connected end for end: a reversed module."""

    child: Element

    __repr__ = summary


Element = Cell | Diode | Resistor | Series | Parallel | Turned
ELEMENTS: tuple[type, ...] = (Cell, Diode, Resistor, Series, Parallel, Turned)


def _check_children(part: Series | Parallel) -> None:
    given: object = part.children
    if not isinstance(given, tuple):
        object.__setattr__(part, "children", tuple(part.children))
    if not part.children:
        raise CircuitError(
            f"a {type(part).__name__} has no elements",
            expected="at least one cell, diode, resistor, Series, Parallel or Turned",
            mend="Leave the empty part out",
        )
    for child in part.children:
        if not isinstance(child, ELEMENTS):
            raise CircuitError(
                f"{child!r} is not a circuit element",
                expected="a Cell, Diode, Resistor, Series, Parallel or Turned",
                mend="Wrap numbers as Resistor(resistance_ohm=...)",
            )
