"""Usual orders of stringing modules that lie in rows and columns.

Each takes the row and the column of every place that holds a module, and the wanted numbers of modules by
string; places may be missing anywhere. None knows junction boxes or leads: what an order costs is for
`pvsim.cabling.route` to say. Common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from pvsim.cabling.checks import whole
from pvsim.cabling.wiring import MOST_MODULES, Wiring, check_lengths, cut
from pvsim.errors import CablingError
from pvsim.words import _

__all__ = ["blocks", "leapfrog", "preset_wirings", "row_by_row", "serpentine"]

FARTHEST_PLACE = 100_000  # of a row or a column, either way


def row_by_row(rows: Sequence[int], columns: Sequence[int], lengths: Iterable[int]) -> Wiring:
    """Each row from the left to the right, the first row first.

    Parameters
    ----------
    rows, columns : (n,) whole numbers
        Place of each module, rows counted downwards, columns to the right; no two modules in one.
    lengths : whole numbers
        Modules of each string; together n.

    Returns
    -------
    Wiring
        Of each string the numbers of its modules, counted from 1, from the negative to the positive end.

    Raises
    ------
    CablingError
        If places or lengths do not fit.
    """
    places, wanted = _checked(rows, columns, lengths)
    order = sorted(range(len(places)), key=places.__getitem__)
    return cut([k + 1 for k in order], wanted)


def serpentine(rows: Sequence[int], columns: Sequence[int], lengths: Iterable[int]) -> Wiring:
    """The first row to the right, the next one back, and so on; otherwise as `row_by_row`."""
    places, wanted = _checked(rows, columns, lengths)
    return cut(_serpentine(places), wanted)


def leapfrog(rows: Sequence[int], columns: Sequence[int], lengths: Iterable[int]) -> Wiring:
    """Every other module and back; otherwise as `row_by_row`.

    The strings of the serpentine, each gone along over its first, third, fifth ... module and back over
    the others, so that both its ends lie side by side: at that end which is farther to the left.
    """
    places, wanted = _checked(rows, columns, lengths)
    found = []
    for string in cut(_serpentine(places), wanted):
        first, last = places[string[0] - 1], places[string[-1] - 1]
        along = string if first[1] <= last[1] else string[::-1]
        found.append(along[::2] + along[1::2][::-1])
    return tuple(found)


def blocks(
    rows: Sequence[int],
    columns: Sequence[int],
    lengths: Iterable[int],
    *,
    block_rows: int,
    block_columns: int,
) -> Wiring:
    """Block after block, in each a serpentine; otherwise as `row_by_row`.

    Parameters
    ----------
    block_rows, block_columns : int
        Places of a block. The blocks themselves are gone through as a serpentine.
    """
    places, wanted = _checked(rows, columns, lengths)
    height = whole("block_rows", block_rows, least=1, most=MOST_MODULES)
    width = whole("block_columns", block_columns, least=1, most=MOST_MODULES)
    top, left = min(row for row, _column in places), min(column for _row, column in places)
    found: dict[tuple[int, int], list[int]] = {}
    for number, (row, column) in enumerate(places, 1):
        found.setdefault(((row - top) // height, (column - left) // width), []).append(number)
    keys = [*found]
    order: list[int] = []
    for at in _serpentine(keys):
        inside = found[keys[at - 1]]
        order += [inside[k - 1] for k in _serpentine([places[number - 1] for number in inside])]
    return cut(order, wanted)


def preset_wirings(rows: Sequence[int], columns: Sequence[int], lengths: Iterable[int]) -> dict[str, Wiring]:
    """Every preset, by its name.

    Returns
    -------
    dict
        "row by row", "serpentine", "leapfrog", and "blocks 2 x 3" for every way that the commonest length
        of a string is more than one row of more than one place.
    """
    _places, wanted = _checked(rows, columns, lengths)
    common = Counter(wanted).most_common(1)[0][0]
    wirings = {
        "row by row": row_by_row(rows, columns, wanted),
        "serpentine": serpentine(rows, columns, wanted),
        "leapfrog": leapfrog(rows, columns, wanted),
    }
    for height in range(2, common // 2 + 1):
        if common % height == 0:
            width = common // height
            wirings[f"blocks {height} x {width}"] = blocks(
                rows, columns, wanted, block_rows=height, block_columns=width
            )
    return wirings


Places = list[tuple[int, int]]


def _checked(
    rows: Sequence[int], columns: Sequence[int], lengths: Iterable[int]
) -> tuple[Places, tuple[int, ...]]:
    if len(rows) != len(columns) or not 1 <= len(rows) <= MOST_MODULES:
        raise CablingError(
            _("{rows} rows and {columns} columns are given").format(rows=len(rows), columns=len(columns)),
            expected=_("a row and a column of each module, of at most {most:,}").format(most=MOST_MODULES),
            mend=_("Give both, in the order of the modules' numbers"),
        )
    bounds = {"least": -FARTHEST_PLACE, "most": FARTHEST_PLACE}
    places = [
        (whole("rows", row, **bounds), whole("columns", column, **bounds))
        for row, column in zip(rows, columns, strict=True)
    ]
    place, count = Counter(places).most_common(1)[0]
    if count > 1:
        raise CablingError(
            _("{count} modules are in row {row}, column {column}").format(
                count=count, row=place[0], column=place[1]
            ),
            expected=_("at most one module in a place"),
            mend=_("Move all but one of them"),
        )
    return places, check_lengths(lengths, len(places))


def _serpentine(places: Places) -> list[int]:
    """Numbers from 1 in the order of a serpentine: rows that hold anything go there and back in turn."""
    turn = {row: k % 2 for k, row in enumerate(sorted({row for row, _column in places}))}
    at = sorted(
        range(len(places)),
        key=lambda k: (places[k][0], -places[k][1] if turn[places[k][0]] else places[k][1]),
    )
    return [k + 1 for k in at]
