"""Modules on their spots: one on each, on a place that exists and that it fits into."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from pvsim.array.limits import MAX_MOUNTED
from pvsim.array.mounting import LETTERS, PlaceBox, Spot, Surface, format_spot, surface_box
from pvsim.errors import ScenarioError
from pvsim.words import _

SPARE_m = 0.005  # so much larger than its place a module may be: clamps give way


def check_spots(surfaces: Sequence[Surface], mounted: Iterable[tuple[str, Spot | None]]) -> None:
    """Refuse modules without a spot where there are surfaces, on one that is not there, or on one twice.

    Parameters
    ----------
    surfaces : sequence of Surface
    mounted : iterable of (address, spot)
        Of each module; the address of one in no string is empty.

    Raises
    ------
    ScenarioError
        About the first that is not in order.
    """
    places = sum(row.places for surface in surfaces for row in surface.rows)
    if places > MAX_MOUNTED:
        raise ScenarioError(
            _("the surfaces have {count:,} places").format(count=places),
            expected=_("at most {most}").format(most=f"{MAX_MOUNTED:,}"),
            mend=_("Take rows or places out"),
        )
    taken: dict[Spot, str] = {}
    for address, spot in mounted:
        if not surfaces:
            if spot is not None or not address:
                raise ScenarioError(
                    _("{module} is mounted on a surface, and the array has none").format(
                        module=_named(address)
                    ),
                    expected=_("an array with surfaces"),
                    mend=_("Give the array its surfaces, or leave the spots out"),
                )
            continue
        if spot is None:
            raise ScenarioError(
                _("{module} has no spot on the roof").format(module=_named(address)),
                expected=_("a spot for each module, since the array has surfaces"),
                mend=_("Mount it, such as on A/1/1"),
            )
        if not is_there(surfaces, spot):
            raise ScenarioError(
                _("{module} is mounted on {spot}, which does not exist").format(
                    module=_named(address), spot=format_spot(spot)
                ),
                expected=_("a place of a row of a surface"),
                mend=_("Rows count from the upper edge, places from the left, both from 1"),
            )
        if spot in taken:
            raise ScenarioError(
                _("{module} and {other} are both mounted on {spot}").format(
                    module=_named(address), other=_named(taken[spot]), spot=format_spot(spot)
                ),
                expected=_("one module on a place, and each module in one string"),
                mend=_("Mount one of them elsewhere, or let one string only visit it, once"),
            )
        taken[spot] = address


def check_boxes(
    surfaces: Sequence[Surface],
    boxes: Mapping[Spot, PlaceBox],
    modules: Iterable[tuple[str, Spot, str, tuple[float, float]]],
) -> None:
    """Refuse surfaces that lie on each other, and modules too large for their places.

    Parameters
    ----------
    surfaces : sequence of Surface
    boxes : mapping
        From `place_boxes`.
    modules : iterable of (address, spot, type, (width_m, height_m))
        Sizes in portrait.

    Raises
    ------
    ScenarioError
        About the first that is not in order.
    """
    outlines = [surface_box(dict(boxes), number) for number in range(1, len(surfaces) + 1)]
    for later, (left, top, right, bottom) in enumerate(outlines):
        for earlier, (x0, y0, x1, y1) in enumerate(outlines[:later]):
            if left < x1 and x0 < right and top < y1 and y0 < bottom:
                raise ScenarioError(
                    _("surfaces {one} and {other} lie on each other").format(
                        one=LETTERS[earlier], other=LETTERS[later]
                    ),
                    expected=_("surfaces side by side on the drawing"),
                    mend=_("Move {surface} to x_m = {x} or beyond, or below y_m = {y}").format(
                        surface=LETTERS[later], x=round(x1 + 0.5, 2), y=round(y1 + 0.5, 2)
                    ),
                )
    for address, spot, type_name, (width, height) in modules:
        box = boxes[spot]
        across, down = (height, width) if box.orientation == "landscape" else (width, height)
        if across > box.right_m - box.left_m + SPARE_m or down > box.bottom_m - box.top_m + SPARE_m:
            raise ScenarioError(
                _("{module} of type '{type}' is larger than its place {spot} and overlaps the next").format(
                    module=_named(address), type=type_name, spot=format_spot(spot)
                ),
                expected=_("a module no larger than {width} x {height} m as it lies").format(
                    width=round(box.right_m - box.left_m, 3), height=round(box.bottom_m - box.top_m, 3)
                ),
                mend=_("Make the places of the surface for the largest module, or mount a smaller one"),
            )


def is_there(surfaces: Sequence[Surface], spot: Spot) -> bool:
    """Whether there is such a place."""
    if spot.surface > len(surfaces):
        return False
    rows = surfaces[spot.surface - 1].rows
    return spot.row <= len(rows) and spot.place <= rows[spot.row - 1].places


def _named(address: str) -> str:
    return _("module {place}").format(place=address) if address else _("a module in no string")
