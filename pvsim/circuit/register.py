"""Parts of a circuit, each distinct one known once.

An array repeats itself: most cells, substrings and modules equal their neighbours.
The register gives every distinct part a number, so that work and memory grow with what
differs and not with what repeats. Two numbers a part: one for the part as drawn (its
children in order) and one for what it does electrically (children in any order).
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator
from itertools import count
from threading import RLock

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import budget
from pvsim.circuit.cell import Cell
from pvsim.circuit.leaf import Leaf, leaf_of
from pvsim.circuit.memory import kept_at_most
from pvsim.circuit.mesh import Mesh, incidence
from pvsim.circuit.network import Element, Parallel, Series, Turned
from pvsim.errors import CircuitError

Ends = tuple[tuple[int, int], ...]  # the nodes at which each branch of a mesh starts and ends

MOST_PARTS = kept_at_most(1500, 60_000)
DEEPEST = 60


class Composite:
    """What a distinct part of others does: a sum of them with their counts, or a mesh of them in order."""

    __slots__ = ("children", "counts", "ends", "kind", "most_source_A")
    leaf = None

    def __init__(
        self,
        kind: str,
        children: tuple[int, ...],
        counts: tuple[int, ...],
        most_source_A: float,
        ends: Ends = (),
    ) -> None:
        self.kind = kind  # "series", "parallel", "turned", "mesh"
        self.children = children
        self.counts = counts
        self.most_source_A = most_source_A  # no light drives more than this through the part
        self.ends = ends  # of a mesh


class Register:
    """All distinct parts met so far; replaced by a fresh one when it grows too large."""

    _serials = count()

    def __init__(self) -> None:
        self.serial = next(Register._serials)
        self.electric: list[Leaf | Composite] = []
        self.tables: OrderedDict[tuple[int, float, float], object] = OrderedDict()
        self.knots = 0  # in all tables together
        self.table_lock = RLock()
        self._electric_of: dict[object, int] = {}
        self._drawn_of: dict[object, int] = {}
        # Of each part as drawn the electric number, and its children.
        self._electric: list[int] = []
        self._children: list[tuple[int, ...]] = []
        # Keeps the element alive, so that its id stays its own.
        self._seen: dict[int, tuple[Element, int]] = {}

    def number(self, circuit: Element | Mesh) -> int:
        """The number of an element or a mesh as drawn."""
        return self._mesh(circuit) if isinstance(circuit, Mesh) else self._number(circuit, 0)

    def _number(self, element: Element, depth: int) -> int:
        seen = self._seen.get(id(element))
        if seen is not None:
            return seen[1]
        if depth > DEEPEST:
            raise CircuitError(
                f"the circuit nests deeper than {DEEPEST} levels",
                expected=f"at most {DEEPEST} levels of Series and Parallel",
                mend="Put the children of a Series inside a Series into the outer one",
            )
        if isinstance(element, (Series, Parallel)):
            children = self._numbers(element.children, depth + 1)
            kind = "series" if isinstance(element, Series) else "parallel"
            drawn = self._composite(kind, children)
        elif isinstance(element, Turned):
            drawn = self._composite("turned", (self._number(element.child, depth + 1),))
        else:
            # Leaves are many and short-lived: known by value only.
            return self._leaf(leaf_of(element))
        self._seen[id(element)] = (element, drawn)
        return drawn

    def _numbers(self, elements: tuple[Element, ...], depth: int) -> tuple[int, ...]:
        budget.check()
        # One object often stands many times in a row.
        here: dict[int, int] = {}
        numbers = []
        for element in elements:
            number = here.get(id(element))
            if number is None:
                if type(element) is Cell and depth <= DEEPEST:  # by far the most, and known by value only
                    number = self._leaf(leaf_of(element))
                else:
                    number = self._number(element, depth)
                here[id(element)] = number
            numbers.append(number)
        return tuple(numbers)

    def _leaf(self, leaf: Leaf) -> int:
        drawn = self._drawn_of.setdefault(leaf, len(self._electric))
        if drawn == len(self._electric):  # not met before
            self._electric.append(len(self.electric))
            self._children.append(())
            self.electric.append(leaf)
        return drawn

    def _draw(self, key: object, electric: int, children: tuple[int, ...]) -> int:
        self._drawn_of[key] = drawn = len(self._electric)
        self._electric.append(electric)
        self._children.append(children)
        return drawn

    def _composite(self, kind: str, children: tuple[int, ...]) -> int:
        key = (kind, children)
        drawn = self._drawn_of.get(key)
        if drawn is not None:
            return drawn
        tally: dict[int, int] = {}
        for child in children:
            number = self._electric[child]
            tally[number] = tally.get(number, 0) + 1
        distinct = tuple(sorted(tally))
        counts = tuple(tally[number] for number in distinct)
        electric_key = (kind, distinct, counts)
        electric = self._electric_of.get(electric_key)
        if electric is None:
            self._electric_of[electric_key] = electric = len(self.electric)
            sources = [self.electric[number].most_source_A for number in distinct]
            most = max(sources)
            if kind == "parallel":
                most = sum(count * source for count, source in zip(counts, sources, strict=True))
            self.electric.append(Composite(kind, distinct, counts, most))
        return self._draw(key, electric, children)

    def _mesh(self, mesh: Mesh) -> int:
        children = self._numbers(tuple([branch.element for branch in mesh.branches]), 1)
        start, end = incidence(mesh)
        ends: Ends = tuple(zip(start.tolist(), end.tolist(), strict=True))
        key = ("mesh", children, ends)
        drawn = self._drawn_of.get(key)
        if drawn is not None:
            return drawn
        numbers = tuple([self._electric[child] for child in children])
        electric_key = ("mesh", numbers, ends)
        electric = self._electric_of.get(electric_key)
        if electric is None:
            self._electric_of[electric_key] = electric = len(self.electric)
            at_node: dict[int, float] = {}
            for number, pair in zip(numbers, ends, strict=True):
                for node in pair:
                    at_node[node] = at_node.get(node, 0.0) + self.electric[number].most_source_A
            ones = (1,) * len(numbers)
            self.electric.append(Composite("mesh", numbers, ones, max(at_node.values()), ends))
        return self._draw(key, electric, children)

    def composite(self, number: int) -> Composite:
        """An electric part that is no leaf."""
        part = self.electric[number]
        assert isinstance(part, Composite)
        return part

    def electric_number(self, drawn: int) -> int:
        """What a drawn part does."""
        return self._electric[drawn]

    def drawn_children(self, drawn: int) -> tuple[int, ...]:
        """The children of a drawn part, in order."""
        return self._children[drawn]

    def size(self) -> int:
        """How much the register holds."""
        return len(self._electric) + len(self.tables) + len(self._seen)


_lock = RLock()
_register = Register()


def current_register() -> tuple[Register, RLock]:
    """The register in use and the lock that guards it."""
    global _register
    with _lock:
        if _register.size() > MOST_PARTS:
            _register = Register()
        return _register, _lock


class Plan:
    """A circuit as rows: one row for each distinct part in each distinct place.

    Rows stand breadth first; the children of one row are neighbours on the next depth.
    """

    __slots__ = ("depths", "drawn", "electric", "leaf_order", "leaves", "register", "table_reach_A")

    def __init__(self, register: Register, drawn: int) -> None:
        self.register = register
        self.drawn = drawn
        self.electric = register.electric_number(drawn)
        self.depths: list[Depth] = []
        numbers, parents, counts = [self.electric], [-1], [1]
        while numbers:
            depth = Depth(register, numbers, parents, counts)
            self.depths.append(depth)
            numbers, parents, counts = [], [], []
            for row in depth.composite_rows:
                part = register.composite(depth.numbers[row])
                numbers.extend(part.children)
                counts.extend(part.counts)
                parents.extend([row] * len(part.children))
        self.leaves = [leaf for depth in self.depths for leaf in depth.leaves]
        self.leaf_order: NDArray[np.intp] | None = None
        # Twice all the light there is, in steps of four so that tables are met again.
        most = max(2.0 * register.electric[self.electric].most_source_A, 16.0)
        self.table_reach_A = 4.0 ** float(np.ceil(np.log(most) / np.log(4.0)))

    def order(self) -> NDArray[np.intp]:
        """The row in `leaves` of every leaf of the circuit, in depth-first order."""
        if self.leaf_order is None:
            first_leaf = np.cumsum([0] + [len(depth.leaves) for depth in self.depths]).tolist()
            self.leaf_order = self._order(self.drawn, 0, 0, first_leaf)
        return self.leaf_order

    def _order(self, drawn: int, depth_index: int, row: int, first_leaf: list[int]) -> NDArray[np.intp]:
        depth = self.depths[depth_index]
        children = self.register.drawn_children(drawn)
        if not children:
            return np.array([first_leaf[depth_index] + depth.leaf_place[row]], dtype=np.intp)
        start = depth.first_child[row]
        part = self.register.composite(depth.numbers[row])
        if part.kind == "mesh":  # every branch has a row of its own
            each = [
                self._order(child, depth_index + 1, place, first_leaf)
                for place, child in enumerate(children, start=start)
            ]
            return np.concatenate(each)
        rows = {number: start + k for k, number in enumerate(part.children)}
        below = self.depths[depth_index + 1]
        place = {child: rows[self.register.electric_number(child)] for child in dict.fromkeys(children)}
        if below.all_leaves or all(row in below.leaf_place for row in rows.values()):
            first = first_leaf[depth_index + 1]
            leaf = {child: first + below.leaf_place[row] for child, row in place.items()}
            return np.array([leaf[child] for child in children], dtype=np.intp)
        pieces = {
            child: self._order(child, depth_index + 1, row, first_leaf) for child, row in place.items()
        }
        return np.concatenate([pieces[child] for child in children])


class Depth:
    """The rows of one depth of a plan."""

    __slots__ = (
        "all_leaves",
        "composite_rows",
        "count_column",
        "counts",
        "first_child",
        "group_parents",
        "group_starts",
        "kinds",
        "leaf_place",
        "leaf_rows",
        "leaves",
        "numbers",
        "parent_column",
        "parents",
    )

    def __init__(self, register: Register, numbers: list[int], parents: list[int], counts: list[int]) -> None:
        self.numbers, self.parents, self.counts = numbers, parents, counts
        parts = [register.electric[number] for number in numbers]
        self.leaves: list[Leaf] = [part for part in parts if isinstance(part, Leaf)]
        self.leaf_rows = [k for k, part in enumerate(parts) if isinstance(part, Leaf)]
        self.composite_rows: list[int] = []
        self.kinds = ["leaf"] * len(parts)
        if len(self.leaves) < len(parts):
            self.composite_rows = [k for k, part in enumerate(parts) if not isinstance(part, Leaf)]
            for row in self.composite_rows:
                self.kinds[row] = parts[row].kind
        self.leaf_place = {row: k for k, row in enumerate(self.leaf_rows)}
        self.all_leaves = len(self.leaf_rows) == len(numbers)
        self.first_child: dict[int, int] = {}
        start = 0
        for row in self.composite_rows:
            self.first_child[row] = start
            start += len(register.composite(numbers[row]).children)
        column = np.array(counts, dtype=float)[:, None]
        self.count_column = None if (column == 1.0).all() else column
        self.parent_column = np.array(parents, dtype=np.intp)
        # Parents come in rising order.
        starts = [k for k, parent in enumerate(parents) if k == 0 or parent != parents[k - 1]]
        self.group_starts = np.array(starts, dtype=np.intp)
        self.group_parents = self.parent_column[self.group_starts]

    def families(self) -> Iterator[tuple[int, int, int]]:
        """The row of each parent that has children here, the first of them and the one after the last."""
        firsts = self.group_starts.tolist()
        return zip(self.group_parents.tolist(), firsts, [*firsts[1:], len(self.numbers)], strict=True)
