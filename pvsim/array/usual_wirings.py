"""Usual ways to wire a roof, as spots: strings of equal length through all that is mounted."""

from __future__ import annotations

from collections.abc import Sequence

from pvsim.array.array import mounted_modules
from pvsim.array.layout import place_boxes_of
from pvsim.array.mounting import Spot
from pvsim.array.scenario import Scenario
from pvsim.cabling import blocks, preset_wirings
from pvsim.errors import ScenarioError
from pvsim.words import _

Wiring = tuple[tuple[Spot, ...], ...]


def mounted_spots(scenario: Scenario) -> tuple[Spot, ...]:
    """The spots that hold a module, in the order surface, row, place."""
    return tuple(sorted(module.spot for _at, module in mounted_modules(scenario.array) if module.spot))


def equal_lengths(modules: int, strings: int) -> tuple[int, ...]:
    """So many modules in so many strings, as equal as can be; the longer ones first.

    Raises
    ------
    ScenarioError
        If there are fewer modules than strings, or no string.
    """
    if not 1 <= strings <= modules:
        raise ScenarioError(
            _("{modules} modules are to form {strings} strings").format(modules=modules, strings=strings),
            expected=_("from 1 to {most} strings").format(most=modules),
            mend=_("Ask for fewer strings, or put more modules on the roof"),
        )
    each, over = divmod(modules, strings)
    return tuple(each + (number < over) for number in range(strings))


def string_lengths(scenario: Scenario, strings: int) -> tuple[int, ...]:
    """The lengths of so many strings through all mounted modules; see equal_lengths."""
    return equal_lengths(len(mounted_spots(scenario)), strings)


def usual_wirings(scenario: Scenario, lengths: Sequence[int]) -> dict[str, Wiring]:
    """Row by row, serpentine and the like through all mounted modules, by name.

    Parameters
    ----------
    lengths : sequence of int
        Modules of each string; together all that are mounted.
    """
    spots, rows, columns = _grid(scenario)
    return {
        name: tuple(tuple(spots[number - 1] for number in string) for string in wiring)
        for name, wiring in preset_wirings(rows, columns, lengths).items()
    }


def block_wiring(scenario: Scenario, lengths: Sequence[int], rows: int, columns: int) -> Wiring:
    """Blocks of so many rows and columns of places, one after the other."""
    spots, at_row, at_column = _grid(scenario)
    wiring = blocks(at_row, at_column, lengths, block_rows=rows, block_columns=columns)
    return tuple(tuple(spots[number - 1] for number in string) for string in wiring)


def _grid(scenario: Scenario) -> tuple[tuple[Spot, ...], list[int], list[int]]:
    spots = mounted_spots(scenario)
    boxes = place_boxes_of(scenario)
    return spots, [boxes[spot].row for spot in spots], [spot.place for spot in spots]
