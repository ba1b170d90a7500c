"""How a part's curve is built from those of its parts: voltages added at one current, or currents
at one voltage."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.build import Built, circuits, part_circuit
from pvsim.array.index import module_range
from pvsim.array.module import substring_cells
from pvsim.array.part_place import place_at
from pvsim.array.place import Place, level_of
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.circuit import Cell, Characteristic, Diode, Element, Parallel, Resistor, Series, Turned, solve
from pvsim.circuit.leaf import leaf_of
from pvsim.circuit.mesh import Mesh
from pvsim.reading.unbroken import unbroken_curve, unbroken_scenario
from pvsim.words import _

__all__ = ["Group", "Stage", "stages", "stages_of", "unbroken_whole"]

INWARD = {"array": "string", "string": "module", "module": "substring", "substring": "cell"}


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


def stages_of(solution: ArraySolution, place: Place) -> tuple[Stage, ...]:
    """The steps that build a part's curve, the inner first; none where wires cross between strings.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        Of any level but a bypass diode.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    return _stages_of(solution.scenario, solution.built, place)


def unbroken_whole(scenario: Scenario, place: Place, key: str) -> Characteristic:
    """What the parts of one step make when nothing is wrong; the part itself where that is unknown.

    Parameters
    ----------
    scenario : Scenario
    place : Place
        The part.
    key : str
        Of the step.
    """
    sound = unbroken_scenario(scenario)
    for stage in _stages_of(sound, circuits(sound), place):
        if stage.key == key:
            return solve(stage.whole)
    return unbroken_curve(scenario, place)


def _stages_of(scenario: Scenario, built: Built, place: Place) -> tuple[Stage, ...]:
    level: str = level_of(place)
    circuit = part_circuit(scenario, place, built)
    while level in INWARD:
        # A part that holds a single part and nothing else is that part: a string of one module.
        inner = place_at(scenario, place, INWARD[level])
        if part_circuit(scenario, inner, built) is not circuit:
            break
        place, level = inner, INWARD[level]
    if isinstance(circuit, Mesh):
        return ()
    first = 1
    if level == "substring":
        module, _last = module_range(built.index, place)
        kind = built.index.kinds[built.index.module_kind[module]].kind
        first = substring_cells(kind, place.substring or 1)[0]
    crossed = scenario.array.wiring == "cross-tied" and level == "array"
    return stages(circuit, "rows" if crossed else level, first=first)


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
