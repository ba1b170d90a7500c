"""How a part's curve is built from those of its parts: voltages added at one current, or currents
at one voltage."""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1

from pvsim.app.words import _
from pvsim.circuit import (
    Cell,
    Diode,
    Element,
    Parallel,
    Resistor,
    Series,
    Turned,
    operate,
)
from pvsim.circuit.leaf import leaf_of, photocurrent

__all__ = ["MOST_ROWS", "Group", "Row", "Stack", "Stage", "cell_currents", "stack", "stages"]

MOST_ROWS = 7  # rows of the ledger that stay readable beside the figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Equal parts of a stage.

    Parameters
    ----------
    kind : (one, many)
        What they are, in words: ("substring", "substrings").
    numbers : tuple of int
        As people count them; empty for parts without a number.
    element : Element
        One of them.
    count : int
        How many there are.
    """

    kind: tuple[str, str]
    numbers: tuple[int, ...]
    element: Element
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One step of the construction: parts in series or side by side.

    Parameters
    ----------
    key, title : str
        To choose it by, and in words.
    series : bool
        Voltages add at one current; otherwise currents add at one voltage.
    whole : Element
        What they make.
    groups : tuple of Group
        The parts, equal ones together, in wiring order of the first of each.
    """

    key: str
    title: str
    series: bool
    whole: Element
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of the sum.

    Parameters
    ----------
    groups : tuple of int
        Indices of the groups it stands for: one, or several folded together.
    count : int
        How many parts.
    each : float or None
        Voltage in V (or current in A) of one of them; None when folded.
    start, end : float
        The running sum before and after it.
    """

    groups: tuple[int, ...]
    count: int
    each: float | None
    start: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """The parts of a stage at one current (series) or voltage (side by side).

    Parameters
    ----------
    at : float
        That current in A, or voltage in V.
    rows : tuple of Row
        In wiring order; what was folded comes last.
    total : float
        Of the whole, solved on its own: that the rows add up to it is a law, not a definition.
    """

    at: float
    rows: tuple[Row, ...]
    total: float


def stages(circuit: Element, level: str, *, first: int = 1) -> tuple[Stage, ...]:
    """The steps that build the curve of a part of this level, the inner first.

    Parameters
    ----------
    circuit : Element
        Of the part.
    level : str
        "array", "rows" (an array whose strings are tied to each other after every module),
        "string", "module", "substring" or "cell"; a cell's parts are its light, junction and leaks.
    first : int
        Number of the first cell of a substring: cells count through their module.
    """
    while isinstance(circuit, Turned):
        circuit = circuit.child
    if isinstance(circuit, Cell):
        return _cell_stage(circuit)
    names = {
        "array": (_("string"), _("strings")),
        "rows": (_("row"), _("rows")),
        "string": (_("module"), _("modules")),
        "module": (_("substring"), _("substrings")),
        "substring": (_("cell"), _("cells")),
    }
    found: list[Stage] = []
    node: Element | None = circuit
    while isinstance(node, (Series, Parallel)) and len(found) < 3:
        stage = _stage(node, names[level], level, first)
        if stage.groups:
            found.insert(0, stage)
        node = _inner(node, level)
    return tuple(found)


def _cell_stage(cell: Cell) -> tuple[Stage, ...]:
    """The currents that make up a cell's; none for one that is broken open or shorted."""
    if cell.condition != "good":
        return ()
    law = leaf_of(cell).junction
    names = [_("light"), _("diodes") if law.second_saturation_current_A > 0.0 else _("diode"), _("shunt")]
    if law.breakdown_conductance_S > 0.0:
        names.append(_("breakdown"))
    groups = tuple(Group(kind=(name, name), numbers=(), element=cell, count=1) for name in names)
    title = _("Currents add at one voltage")
    return (Stage(key="parallel", title=title, series=False, whole=cell, groups=groups),)


def cell_currents(cell: Cell, voltage_V: float) -> tuple[float, ...]:
    """What light, junction, shunt and breakdown give a cell at a terminal voltage, in A.

    Notes
    -----
    The four terms of pvsim.circuit.leaf at the junction voltage; they add up to the current.
    """
    point = operate(cell, voltage_V=voltage_V)
    law = leaf_of(cell).junction
    v = float(point.leaf_junction_V[0])
    junction = law.saturation_current_A * expm1(v / law.thermal_V)
    junction += law.second_saturation_current_A * expm1(v / law.second_thermal_V)
    reach = max(1.0 - v / law.breakdown_voltage_V, 1e-300)
    breakdown = v * law.breakdown_conductance_S * reach**-law.breakdown_exponent
    return photocurrent(cell), -junction, -v * law.conductance_S, -breakdown


def _inner(node: Series | Parallel, level: str) -> Element | None:
    """The node below that belongs to the same level: a chain of cells, or strings side by side."""
    if level == "substring" and isinstance(node, Parallel):
        return next((child for child in node.children if isinstance(child, (Series, Cell))), None)
    if level == "array" and isinstance(node, Series):
        return next((child for child in node.children if isinstance(child, Parallel)), None)
    return None


def _stage(node: Series | Parallel, name: tuple[str, str], level: str, first: int) -> Stage:
    series = isinstance(node, Series)
    kinds: list[tuple[str, str]] = []
    elements: list[Element] = []
    members: list[list[int]] = []
    at: dict[tuple[int, tuple[str, str]], int] = {}
    number = first - 1 if level == "substring" else 0
    for child in node.children:
        kind = _kind(child, name, series=series, level=level)
        number += kind == name
        group = at.get((id(child), kind))
        if group is None:
            same = (k for k, one in enumerate(elements) if kinds[k] == kind and one == child)
            group = at[id(child), kind] = next(same, len(elements))
            if group == len(elements):
                kinds.append(kind)
                elements.append(child)
                members.append([])
        members[group].append(number)
    made = tuple(
        Group(
            kind=kind, numbers=tuple(numbers) if kind == name else (), element=element, count=len(numbers)
        )
        for kind, element, numbers in zip(kinds, elements, members, strict=True)
    )
    title = _("Voltages add at one current") if series else _("Currents add at one voltage")
    key = "series" if series else "parallel"
    return Stage(key=key, title=title, series=series, whole=node, groups=made)


def _kind(child: Element, name: tuple[str, str], *, series: bool, level: str) -> tuple[str, str]:
    if isinstance(child, Diode) and series:
        return (_("blocking diode"), _("blocking diodes"))
    if isinstance(child, Diode):
        return (_("bypass diode"), _("bypass diodes"))
    if isinstance(child, Resistor):
        return (_("cable"), _("cables"))
    if level == "substring" and not series and isinstance(child, (Series, Cell)):
        return (_("chain of cells"), _("chains of cells"))
    if level == "array" and series:
        return (_("strings together"), _("strings together"))
    return name


def stack(stage: Stage, at: float) -> Stack:
    """What every part has at one current (series) or one voltage (side by side).

    Parameters
    ----------
    at : float
        Current in A of a series stage, voltage in V of one side by side.
    """
    if isinstance(stage.whole, Cell):
        each = list(cell_currents(stage.whole, at)[: len(stage.groups)])
    else:
        each = [_value(group.element, at, series=stage.series) for group in stage.groups]
    alone, folded = _fold(each)
    rows, running = [], 0.0
    for k in alone:
        end = running + stage.groups[k].count * each[k]
        rows.append(Row(groups=(k,), count=stage.groups[k].count, each=each[k], start=running, end=end))
        running = end
    if folded:
        count = sum(stage.groups[k].count for k in folded)
        end = running + sum(stage.groups[k].count * each[k] for k in folded)
        rows.append(Row(groups=folded, count=count, each=None, start=running, end=end))
    return Stack(at=at, rows=tuple(rows), total=_value(stage.whole, at, series=stage.series))


def _fold(each: list[float]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Groups that get a row of their own, those farthest from the middle one, and the others."""
    if len(each) <= MOST_ROWS:
        return tuple(range(len(each))), ()
    middle = sorted(each)[len(each) // 2]
    far = sorted(range(len(each)), key=lambda k: -abs(each[k] - middle))[: MOST_ROWS - 1]
    return tuple(sorted(far)), tuple(k for k in range(len(each)) if k not in far)


def _value(element: Element, at: float, *, series: bool) -> float:
    if series:
        return operate(element, current_A=at).voltage_V
    return operate(element, voltage_V=at).current_A
