"""How modules, leads and faults between them are wired up, for each tracker."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from pvsim.array.damage import Damage
from pvsim.array.elements import parallel, resistor, series, string_leads, turned
from pvsim.array.fault import Fault
from pvsim.array.index import ArrayIndex
from pvsim.array.module import Ints
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.circuit.mesh import Branch, Mesh, Node
from pvsim.circuit.network import Element, Resistor

MINUS, PLUS, BUS, EARTH = "minus", "plus", "bus", "earth"


@dataclass(slots=True)
class Wirer:
    """Puts elements together and notes where their leaves come to stand.

    Parameters
    ----------
    modules : list of Element
        In the flat order, not yet turned.
    module_leaf : (modules,)
        First leaf of each module.
    leads_ohm : list of float
        Cable and connectors of each string.
    connector_leaf : dict
        Leaf of a faulty connector, by module.
    leads_leaf : (strings + 1,)
        First leaf of each string's leads.
    cable_leaf : list of int
        Leaves of main cables.
    fault_leaf : list of int
        Leaves of earth faults and wires between strings.
    """

    index: ArrayIndex
    modules: list[Element]
    damage: Damage
    leads_ohm: list[float]
    at: int = 0
    module_leaf: Ints = field(init=False)
    connector_leaf: dict[int, int] = field(default_factory=dict)
    leads_leaf: Ints = field(init=False)
    leads_count: Ints = field(init=False)
    cable_leaf: list[int] = field(default_factory=list)
    fault_leaf: list[int] = field(default_factory=list)
    _leaves: list[int] = field(init=False)

    def __post_init__(self) -> None:
        strings = len(self.index.strings)
        self.module_leaf = np.zeros(len(self.modules), dtype=np.intp)
        self.leads_leaf = np.zeros(strings, dtype=np.intp)
        self.leads_count = np.zeros(strings, dtype=np.intp)
        self._leaves = [self.index.kinds[k].leaves for k in self.index.module_kind.tolist()]

    def module(self, m: int) -> list[Element]:
        """A module and, where it is faulty, the connector at its positive lead."""
        self.module_leaf[m] = self.at
        self.at += self._leaves[m]
        element = self.modules[m]
        out = [turned(element) if m in self.damage.reversed_modules else element]
        if m in self.damage.connectors:
            self.connector_leaf[m] = self.at
            self.at += 1
            out.append(resistor(self.damage.connectors[m]))
        return out

    def leads(self, s: int) -> list[Element]:
        """The leads of a string."""
        out = string_leads(
            self.index.strings[s],
            self.leads_ohm[s],
            s in self.damage.open_cables,
            s in self.damage.blown_fuses,
        )
        self.leads_leaf[s], self.leads_count[s] = self.at, len(out)
        self.at += len(out)
        return list(out)

    def string(self, s: int) -> Element:
        """A whole string with its leads."""
        first, last = int(self.index.string_start[s]), int(self.index.string_start[s + 1])
        out: list[Element] = []
        for m in range(first, last):
            out += self.module(m)
        return series((*out, *self.leads(s)))

    def main_cable(self, resistance_ohm: float) -> list[Element]:
        """The main cable, if it has any resistance."""
        if resistance_ohm == 0.0:
            return []
        self.cable_leaf.append(self.at)
        self.at += 1
        return [resistor(resistance_ohm)]

    def fault(self, resistance_ohm: float) -> Resistor:
        """The resistance of an earth fault or of a wire between strings."""
        self.fault_leaf.append(self.at)
        self.at += 1
        return resistor(resistance_ohm)


def wire_strings(wirer: Wirer, strings: list[int], main_cable_ohm: float) -> Element:
    """Strings in parallel, and the main cable."""
    joined = parallel(tuple(wirer.string(s) for s in strings))
    return series((joined, *wirer.main_cable(main_cable_ohm)))


def wire_cross_tied(wirer: Wirer, main_cable_ohm: float) -> Element:
    """Modules of the same number in parallel, row after row, and the main cable."""
    rows = [_row(wirer, k) for k in range(_length(wirer))]
    return series((*rows, *wirer.main_cable(main_cable_ohm)))


def _length(wirer: Wirer) -> int:
    return int(wirer.index.string_start[1])


def _row(wirer: Wirer, k: int) -> Element:
    """Row k of a cross-tied array; the leads go with the last one."""
    members = []
    for s in range(len(wirer.index.strings)):
        own = wirer.module(int(wirer.index.string_start[s]) + k)
        if k == _length(wirer) - 1:
            own += wirer.leads(s)
        members.append(series(tuple(own)))
    return parallel(tuple(members))


def tapping_faults(scenario: Scenario, index: ArrayIndex, strings: list[int]) -> tuple[Fault, ...]:
    """The faults that connect places within these strings, or to earth, and change something.

    A single earth fault in an ungrounded array closes no loop and is left out.
    """
    mine: list[Fault] = []
    earth: list[Fault] = []
    for fault in scenario.faults:
        if fault.kind not in ("earth-fault", "string-bridge"):
            continue
        places = [fault.place] if fault.other is None else [fault.place, fault.other]
        if all((p.string or 0) - 1 in strings and _built(index, p) for p in places):
            (earth if fault.kind == "earth-fault" else mine).append(fault)
    if earth and (scenario.array.grounded == "negative" or len(earth) > 1):
        mine += earth
    return tuple(mine)


def _built(index: ArrayIndex, place: Place) -> bool:
    return (place.module or 0) <= len(index.strings[(place.string or 1) - 1].modules)


def wire_mesh(wirer: Wirer, scenario: Scenario, strings: list[int], faults: tuple[Fault, ...]) -> Mesh:
    """Strings joined by faults to each other or to earth.

    Modules between two tapped nodes are one branch; strings without a tap are one branch
    together.
    """
    ends = [(f.place, f.other) for f in faults]
    tapped = {((p.string or 1) - 1, (p.module or 1) - 1) for pair in ends for p in pair if p is not None}
    main_ohm = scenario.array.main_cable_resistance_ohm
    bus = BUS if main_ohm > 0.0 else PLUS
    if scenario.array.wiring == "cross-tied" and len(strings) > 1:
        branches, node = _cross_tied_branches(wirer, tapped, bus)
    else:
        branches, node = _string_branches(wirer, strings, tapped, bus)
    earth = MINUS if scenario.array.grounded == "negative" else EARTH
    for fault in faults:
        start = node[(fault.place.string or 1) - 1, (fault.place.module or 1) - 1]
        other = fault.other
        end: Node = earth if other is None else node[(other.string or 1) - 1, (other.module or 1) - 1]
        branches.append(Branch(wirer.fault(fault.size or 0.0), start, end))
    branches += [Branch(cable, BUS, PLUS) for cable in wirer.main_cable(main_ohm)]
    return Mesh(tuple(branches), plus_node=PLUS, minus_node=MINUS)


Nodes = dict[tuple[int, int], Node]


def _string_branches(
    wirer: Wirer, strings: list[int], tapped: set[tuple[int, int]], bus: Node
) -> tuple[list[Branch], Nodes]:
    broken = {s for s, _ in tapped}
    whole = [wirer.string(s) for s in strings if s not in broken]
    branches = [Branch(parallel(tuple(whole)), MINUS, bus)] if whole else []
    node: Nodes = {}
    for s in (s for s in strings if s in broken):
        first, last = int(wirer.index.string_start[s]), int(wirer.index.string_start[s + 1])
        at: Node = MINUS
        run: list[Element] = []
        for k in range(last - first):
            run += wirer.module(first + k)
            if (s, k) in tapped:
                node[s, k] = (s + 1, k + 1)
                branches.append(Branch(series(tuple(run)), at, node[s, k]))
                at, run = node[s, k], []
        run += wirer.leads(s)
        if run:
            branches.append(Branch(series(tuple(run)), at, bus))
        else:  # no resistance between the last module and the bus: they are one node
            node = {key: bus if name == at else name for key, name in node.items()}
            branches[-1] = Branch(branches[-1].element, branches[-1].from_node, bus)
    return branches, node


def _cross_tied_branches(wirer: Wirer, tapped: set[tuple[int, int]], bus: Node) -> tuple[list[Branch], Nodes]:
    strings, length = len(wirer.index.strings), _length(wirer)
    rows = {k for _, k in tapped}
    branches: list[Branch] = []
    node: Nodes = {}
    at: Node = MINUS
    run: list[Element] = []
    for k in range(length - 1):
        run.append(_row(wirer, k))
        if k in rows or k == length - 2:
            to: Node = ("row", k + 1)
            branches.append(Branch(series(tuple(run)), at, to))
            node.update({(s, k): to for s in range(strings)})
            at, run = to, []
    for s in range(strings):
        member: Node = (s + 1, length)
        own = wirer.module(int(wirer.index.string_start[s]) + length - 1)
        leads_at = len(branches) + 1
        branches.append(Branch(series(tuple(own)), at, member))
        leads = wirer.leads(s)
        if leads:
            branches.append(Branch(series(tuple(leads)), member, bus))
        else:
            branches[leads_at - 1] = Branch(branches[leads_at - 1].element, at, bus)
            member = bus
        node[s, length - 1] = member
    return branches, node
