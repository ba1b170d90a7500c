"""The innermost work of the solver as compiled code, where this installation has it (see kernel.c).

Building pvsim compiles it where there is a C compiler (see compile_kernel.py), and nobody needs one: without
it numpy does the same work array by array, only slower. PVSIM_KERNEL=none asks for that.
"""

from __future__ import annotations

import ctypes
import os
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.compile_kernel import library_path, made_of
from pvsim.circuit.floats import Floats

if TYPE_CHECKING:
    from pvsim.circuit.register import Plan
    from pvsim.circuit.states import States

_KINDS = {"leaf": 0, "series": 1, "parallel": 2, "turned": 3}
_SCRATCH = 5  # numbers a leaf, and 4 a node
_ITEM = 8  # bytes

_whole, _pointer = ctypes.c_int64, ctypes.c_void_p


class _Laws(ctypes.Structure):
    _fields_ = (
        *((name, _whole) for name in ("rows", "apart")),
        *((name, _pointer) for name in ("number", "value", "slope")),
        *((name, _whole) for name in ("two", "breaks", "akin", "forward")),
    )


class _Tree(ctypes.Structure):
    _fields_ = (
        *((name, _whole) for name in ("leaves", "nodes")),
        *((name, _pointer) for name in ("kind", "child", "end")),
        *((name, _whole) for name in ("parents", "runs")),
        *((name, _pointer) for name in ("parent", "node", "leaf", "many", "times")),
        *((name, _pointer) for name in ("source", "sign", "ohms", "far", "bend", "deep")),
    )


class _Start(ctypes.Structure):
    _fields_ = (
        *((name, _whole) for name in ("pieces", "apart")),
        *((name, _pointer) for name in ("first", "shared")),
        ("runs", _whole),
        *((name, _pointer) for name in ("from", "to")),
    )


class _Rules(ctypes.Structure):
    _fields_ = (
        *((name, ctypes.c_double) for name in ("tolerance", "accepted")),
        *((name, _whole) for name in ("patience", "steps", "bounded", "slopes")),
    )


_laws, _tree, _rules, _start = (ctypes.POINTER(kind) for kind in (_Laws, _Tree, _Rules, _Start))
_GIVEN = {  # what each function of kernel.c takes
    "evaluate": [_laws, *[_whole] * 4, *[_pointer] * 3],
    "invert": [_laws, *[_whole] * 4, *[_pointer] * 2],
    "chains": [_laws, _whole, *[_pointer] * 5, _whole, *[_pointer] * 4],
    "newton": [_laws, _tree, _rules, _start, _whole, *[_pointer] * 11],
    "cubics": [_whole, _whole, *[_pointer] * 4],
    "read": [_whole, _pointer, _whole, _pointer, _pointer],
    "add": [_whole, *[_pointer] * 7, ctypes.c_double],
}


@cache
def _library() -> Any:
    """What was compiled of this very source; None without."""
    if os.environ.get("PVSIM_KERNEL") == "none":
        return None
    try:
        library = ctypes.CDLL(str(library_path()))
        library.kernel_made_of.restype = ctypes.c_char_p
        if library.kernel_made_of().decode("ascii") != made_of():
            return None
    except (OSError, AttributeError):
        return None
    for name, given in _GIVEN.items():
        function = getattr(library, f"kernel_{name}")
        function.argtypes, function.restype = given, None
    return library


def is_compiled() -> bool:
    """Whether this installation has the compiled kernel."""
    return _library() is not None


_Memory = ctypes.c_char * 0


def _at(array: Any) -> Any:
    """Where an array's numbers lie, as a function of kernel.c takes it."""
    try:
        return _Memory.from_buffer(array)  # several times quicker than to ask numpy
    except TypeError:  # it may only be read, or lies the other way round
        return array.ctypes.data


def _address(array: Any) -> int:
    """The same as a number."""
    at = _at(array)
    return at if isinstance(at, int) else ctypes.addressof(at)


def cubics_through(x: Floats, y: Floats, d: Floats, *, backwards: bool = False) -> Floats:
    """The cubics, (5, n + 1), through knots of a falling function, as `cubics_of` has them.

    Parameters
    ----------
    x, y, d : (n,)
        Knots, rising or with `backwards` falling, and slopes dy/dx, or with it dx/dy.
    """
    cubics = np.empty((5, len(x) + 1))
    x, y, d = (np.ascontiguousarray(one) for one in (x, y, d))
    _library().kernel_cubics(len(x), backwards, _at(x), _at(y), _at(d), _at(cubics))
    return cubics


def read(cubics: Floats, x: Floats) -> Floats:
    """y at x, (n,), of the cubics of one table."""
    y, x = np.empty(len(x)), np.ascontiguousarray(x)
    _library().kernel_read(cubics.shape[1], _at(cubics), len(x), _at(x), _at(y))
    return y


def add(
    cubics: list[Floats], begin: NDArray[np.int64], times: Floats, x: Floats, sums: Floats, level: float
) -> None:
    """Add what the tables of some parts have at x to y and dy/dx, each so many times.

    Parameters
    ----------
    cubics : list of (5, n)
        Of each part.
    begin : (parts + 1,)
        Which of x belong to each part.
    times : (parts,)
    x : (n,)
    sums : (2, n)
        y and dy/dx so far.
    level : float
        What a slope is at most.
    """
    many = np.array([one.shape[1] for one in cubics], dtype=np.int64)
    number = np.array([_address(one) for one in cubics], dtype=np.uintp)
    arrays = (many, number, begin, times, x, *sums)
    _library().kernel_add(len(cubics), *(_at(array) for array in arrays), level)


class KernelLaws:
    """Junction laws as the kernel reads them.

    Parameters
    ----------
    numbers : (n, rows)
        A number of each law in a row of its own, in the order of kernel.c; rows may be a stretch of more.
    value, slope : (tables, knots)
        Of the inverse.
    two, breaks, akin, forward : bool
        Whether any law has a second diode, breaks down, shares the table of another, has a closed form.
    """

    __slots__ = ("_at", "_flags", "_held", "_numbers")

    def __init__(self, numbers: Floats, value: Floats, slope: Floats, *flags: bool) -> None:
        assert numbers.strides[1] == _ITEM
        self._numbers, self._held, self._flags = numbers, (value, slope), flags
        apart = numbers.strides[0] // _ITEM
        laws = _Laws(
            numbers.shape[1], apart, numbers.ctypes.data, value.ctypes.data, slope.ctypes.data, *flags
        )
        self._at = ctypes.byref(laws)

    def pick(self, rows: NDArray[np.intp] | slice) -> KernelLaws:
        """The laws of some rows, one row for each number given."""
        some = self._numbers[:, rows] if isinstance(rows, slice) else self._numbers.take(rows, axis=1)
        return KernelLaws(some, *self._held, *self._flags)

    def evaluate(self, v: Floats) -> tuple[Floats, Floats]:
        """f(v) and f'(v), both (rows, points)."""
        f, df = np.empty_like(v), np.empty_like(v)
        _library().kernel_evaluate(self._at, *self._layout(v), _at(v), _at(f), _at(df))
        return f, df

    def invert(self, x: Floats) -> Floats:
        """g(x), (rows, points), as `Laws.invert`."""
        v = np.empty_like(x)
        _library().kernel_invert(self._at, *self._layout(x), _at(x), _at(v))
        return v

    def _layout(self, x: Floats) -> tuple[int, int, int, int]:
        """Rows, points, and how far apart the numbers of a row and those of a point lie."""
        rows, points = x.shape
        if self._numbers.shape[1] == 1:  # one law for all
            return 1, x.size, x.size, 1
        return (rows, points, points, 1) if x.flags.c_contiguous else (rows, points, 1, rows)

    def chains(
        self, starts: NDArray[np.intp], source: Floats, sign: Floats, times: Floats, ohms: Floats, I: Floats
    ) -> tuple[Floats, Floats]:
        """V and dV/dI of chains of leaves, (chains, knots), at their currents.

        Parameters
        ----------
        starts : (chains,)
            The first leaf of each.
        source, sign, times : (leaves, 1)
        ohms : (chains, 1)
            Of all resistances in series.
        I : (chains, knots)
        """
        chains, knots = I.shape
        V, slope = np.empty_like(I), np.empty_like(I)
        first = np.array([*starts.tolist(), len(source)], dtype=np.int64)
        arrays = (first, *(np.ascontiguousarray(column) for column in (source, sign, times, ohms)))
        scratch = np.empty(3 * knots)
        _library().kernel_chains(
            self._at,
            chains,
            *(_at(array) for array in arrays),
            knots,
            *(_at(array) for array in (I, V, slope, scratch)),
        )
        return V, slope


class Rules(NamedTuple):
    """When a point is solved, as `TreeSolver` has it."""

    tolerance: float
    accepted: float
    patience: int
    steps: int
    bounded: bool
    slopes: bool


class KernelTree:
    """A circuit without a mesh as the kernel reads it.

    Parameters
    ----------
    plan : Plan
    laws : KernelLaws
        One row a leaf of the plan.
    source, sign, ohms, far, bend, deep : (leaves, 1)
        As `TreeSolver` has them.
    """

    def __init__(self, plan: Plan, laws: KernelLaws, *columns: Floats) -> None:
        self._laws, self._leaves = laws, len(plan.leaves)
        kinds, child, end, times, leaf = (np.concatenate(part) for part in zip(*_nodes(plan), strict=True))
        self._nodes = len(kinds)
        parents = np.flatnonzero(kinds)
        nodes = np.flatnonzero(kinds == _KINDS["leaf"])
        # A run ends where the next leaf is no neighbour.
        starts = np.flatnonzero(np.diff(nodes, prepend=-2) != 1)
        runs = (nodes[starts], leaf[nodes[starts]], np.diff(starts, append=len(nodes)))
        where = [np.ascontiguousarray(array, dtype=np.int64) for array in (kinds, child, end, parents, *runs)]
        numbers = [times, *(np.ascontiguousarray(column[:, 0]) for column in columns)]
        self._held = (where, numbers)
        at = [array.ctypes.data for array in (*where, *numbers)]
        tree = _Tree(self._leaves, self._nodes, *at[:3], len(parents), len(starts), *at[3:])
        self._at = ctypes.byref(tree)

    def newton(
        self,
        lines: tuple[Floats, Floats, Floats],
        start: KernelStart | None,
        rules: Rules,
        done: States,
        block: slice,
    ) -> tuple[Floats, NDArray[np.int64]]:
        """Newton's steps of some points with a V + b I = c at the terminals.

        Parameters
        ----------
        lines : a, b, c
            Of all points, (points,).
        start : KernelStart
            Where all points begin; without it, where done has their junctions.
        rules : Rules
        done : States
            With the leaves of a point beside each other; what is found is written into it.
        block : slice
            Which points.

        Returns
        -------
        missed : (points of the block,)
            Relative residuals.
        steps : (points of the block,)
            0 where it did not settle, and nothing useful was written.
        """
        points = block.stop - block.start
        missed, steps = np.empty(points), np.empty(points, dtype=np.int64)
        scratch = np.empty(_SCRATCH * self._leaves + 4 * self._nodes)
        at, leaves = block.start * _ITEM, self._leaves
        with_currents = len(done.leaf_current_A) > 0
        _library().kernel_newton(
            self._laws._at,
            self._at,
            ctypes.byref(_Rules(*rules)),
            start and start.at(block.start),
            points,
            *(line.ctypes.data + at for line in lines),
            done.junction_V.ctypes.data + at * leaves,
            done.leaf_current_A.ctypes.data + at * leaves if with_currents else None,
            *(column.ctypes.data + at for column in (done.voltage_V, done.current_A, done.slope_ohm)),
            *(array.ctypes.data for array in (missed, steps, scratch)),
        )
        return missed, steps


class KernelStart:
    """Where Newton's steps begin, as the kernel reads it.

    Parameters
    ----------
    first : (pieces + 1,)
        The first leaf of each piece, and one after the last of all.
    shared : (pieces, points)
        What the leaves of each share: a current or a voltage.
    runs : list of (from, to)
        Leaves whose currents are known.
    """

    def __init__(self, first: list[int], shared: Floats, runs: list[tuple[int, int]]) -> None:
        self._first, self._shared = np.array(first, dtype=np.int64), np.ascontiguousarray(shared)
        self._runs = np.array(runs, dtype=np.int64).reshape(-1, 2).T.copy()

    def at(self, point: int) -> Any:
        """What the kernel is given, from a point on."""
        pieces, points = self._shared.shape
        from_, to = (part.ctypes.data for part in self._runs)
        shared = self._shared.ctypes.data + point * _ITEM
        runs = self._runs.shape[1]
        return ctypes.byref(_Start(pieces, points, self._first.ctypes.data, shared, runs, from_, to))


def _nodes(plan: Plan) -> list[tuple[NDArray[Any], ...]]:
    """Of the rows of each depth: kind, first child, one after the last, how often it stands there, leaf."""
    found: list[tuple[NDArray[Any], ...]] = []
    first_node = first_leaf = 0
    for depth in plan.depths:
        rows = len(depth.numbers)
        kinds, child, end, leaf = np.zeros((4, rows), dtype=np.int64)
        leaf[depth.leaf_rows] = np.arange(first_leaf, first_leaf + len(depth.leaf_rows))
        below = first_node + rows
        for row in depth.composite_rows:
            kinds[row] = _KINDS[depth.kinds[row]]
            child[row] = below + depth.first_child[row]
            end[row] = child[row] + len(plan.register.composite(depth.numbers[row]).children)
        found.append((kinds, child, end, np.array(depth.counts, dtype=float), leaf))
        first_node, first_leaf = below, first_leaf + len(depth.leaf_rows)
    return found
