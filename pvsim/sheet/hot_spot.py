"""What a shaded cell of the substring meets in reverse, beside the breakdown assumed."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.circuit.diode import Diode
from pvsim.circuit.solver import operate
from pvsim.prompt import summary
from pvsim.sheet.bands import Structure
from pvsim.sheet.data_sheet import DataSheet, rated_power_W
from pvsim.sheet.finding import Amount, Finding
from pvsim.sheet.joining import cells_per_diode
from pvsim.words import mark


@dataclass(frozen=True, slots=True, kw_only=True)
class HotSpot:
    """The reverse voltage of one shaded cell while its bypass diode conducts.

    Parameters
    ----------
    cells : int
        In series under one diode, the shaded one among them.
    diode_drop_V : float
        Vf of the diode, the module's Imp in it; 0 where there is none.
    held_drop_V : float
        Vf while the shaded cell still lets Imp pass: the diode carries what Isc is above it.
    at_mpp_V : float
        (n - 1) V(Imp) + Vf held: the others at their best.
    most_V : float
        (n - 1) Voc + Vf: the shaded cell lets next to nothing pass.
    power_W : float
        (n - 1) Pmp + Vf Imp of a cell, Vf held: about the most it can be made to take.
    breakdown_V : float
        Assumed, as a positive number.

    Notes
    -----
    Without a diode the module is taken as short-circuited, and Vf is 0. Of two chains in parallel each
    has the diode's voltage, so the sums are of one chain.
    """

    cells: int
    diode_drop_V: float
    held_drop_V: float
    at_mpp_V: float
    most_V: float
    power_W: float
    breakdown_V: float

    __repr__ = summary


def hot_spot_of(
    sheet: DataSheet, structure: Structure, breakdown_voltage_V: float, diode: Diode | None
) -> HotSpot:
    """The reverse voltage and power a shaded cell can meet.

    Parameters
    ----------
    breakdown_voltage_V : float
        Assumed; negative.
    diode : Diode or None
        Across each substring.
    """
    n = cells_per_diode(sheet, structure)
    drop = _drop_V(diode, sheet.imp_A)
    held = _drop_V(diode, (sheet.isc_A - sheet.imp_A) / structure.side_by_side)
    others = n - 1
    Pmp = rated_power_W(sheet) / sheet.cells
    Imp = sheet.imp_A / structure.side_by_side
    return HotSpot(
        cells=n,
        diode_drop_V=drop,
        held_drop_V=held,
        at_mpp_V=others * sheet.vmp_V / structure.in_series + held,
        most_V=others * structure.cell_voc_V + drop,
        power_W=others * Pmp + held * Imp,
        breakdown_V=-breakdown_voltage_V,
    )


def _drop_V(diode: Diode | None, current_A: float) -> float:
    return 0.0 if diode is None else -operate(diode, current_A=current_A).voltage_V


def hot_spot_findings(spot: HotSpot) -> tuple[Finding, ...]:
    """What that is beside the breakdown assumed; no promise either way."""
    met = Finding(
        about="reverse-voltage",
        bearing="open",
        says=mark(
            "A shaded cell meets what the {others} others under its diode deliver, and the diode's {drop}: "
            "{at_mpp} "
            "in reverse with them at their best, at most {most}. It can be made to take about {power}."
        )
        if spot.diode_drop_V
        else mark(
            "With no diode a shaded cell of a short-circuited module meets what all {others} others "
            "deliver: {at_mpp} "
            "in reverse with them at their best, at most {most}. It can be made to take about {power}."
        ),
        values=(
            ("others", Amount(value=spot.cells - 1)),
            *([("drop", Amount(value=spot.diode_drop_V, unit="V", digits=2))] if spot.diode_drop_V else []),
            ("at_mpp", Amount(value=spot.at_mpp_V, unit="V")),
            ("most", Amount(value=spot.most_V, unit="V")),
            ("power", Amount(value=spot.power_W, unit="W")),
        ),
    )
    values = (("breakdown", Amount(value=spot.breakdown_V, unit="V")), *met.values[-3:-1])
    if spot.most_V < spot.breakdown_V:
        bearing, says = "open", mark(
            "The breakdown assumed, {breakdown}, lies beyond that. It is an assumption and promises "
            "nothing: where a "
            "cell leaks at one spot, it gets hot there below breakdown too. The maker has the measured "
            "values."
        )  # fmt: skip
    elif spot.at_mpp_V < spot.breakdown_V:
        bearing, says = "doubt", mark(
            "The breakdown assumed, {breakdown}, lies between {at_mpp} and {most}: some cells would break "
            "down in deep "
            "shade. Only the maker knows the cells' reverse characteristic; ask there."
        )  # fmt: skip
    else:
        bearing, says = "doubt", mark(
            "The breakdown assumed, {breakdown}, lies within that: with it a shaded cell breaks down and "
            "carries the "
            "current before its diode does. Whether it may, only the maker can say; ask there."
        )  # fmt: skip
    return (met, Finding(about="breakdown", bearing=bearing, says=says, values=values))  # type: ignore[arg-type]
