"""Where modules can be mounted: surfaces with rows of places, and the spots on them.

A surface lies flat on the drawing as seen from its front, its lower edge below; roof coordinates
are in metres in its own plane, x to the right, y down the slope. How it stands in the world
(tilt, azimuth, height) does not change the drawing.

A spot is written A/2/5: surface A, row 2 from its upper edge, place 5 from its left side.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.array.checks import finite, one_of, text, tuple_of, whole
from pvsim.array.limits import MAX_NAME, MAX_PLACES_PER_ROW, MAX_ROWS, MAX_SURFACES
from pvsim.errors import ScenarioError
from pvsim.words import _

Orientation = Literal["portrait", "landscape"]
LETTERS = "ABCDEFGHIJKL"[:MAX_SURFACES]

_SPOT = re.compile(r"([A-Za-z])/(\d{1,4})/(\d{1,4})")


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """One place on a surface.

    Parameters
    ----------
    surface, row, place : int
        Numbers from 1; surface 1 is called A.
    """

    surface: int
    row: int
    place: int

    def __post_init__(self) -> None:
        whole(self, "surface", least=1, most=MAX_SURFACES)
        whole(self, "row", least=1, most=MAX_ROWS)
        whole(self, "place", least=1, most=MAX_PLACES_PER_ROW)


def format_spot(spot: Spot) -> str:
    """Such as "A/2/5"."""
    return f"{LETTERS[spot.surface - 1]}/{spot.row}/{spot.place}"


def parse_spot(text: str) -> Spot:
    """The spot of such a text.

    Raises
    ------
    ScenarioError
        If it is none.
    """
    found = _SPOT.fullmatch(text.strip()) if isinstance(text, str) else None
    letter = found[1].upper() if found else ""
    if found is None or letter not in LETTERS:
        raise ScenarioError(
            _("{text} is no place on a roof").format(text=repr(text)[:60]),
            expected=_("surface, row and place, such as A/2/5"),
            mend=_("Surfaces have letters from {first} to {last}; rows count from the upper edge").format(
                first=LETTERS[0], last=LETTERS[-1]
            ),
        )
    return Spot(LETTERS.index(letter) + 1, int(found[2]), int(found[3]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of places side by side.

    Parameters
    ----------
    places : int
        How many.
    orientation : "portrait" or "landscape"
        Landscape modules are turned by 90 degrees, junction box to the left.
    indent_m : float
        How far its first place lies to the right of the surface's left side.
    """

    places: int
    orientation: Orientation = "portrait"
    indent_m: float = 0.0

    def __post_init__(self) -> None:
        whole(self, "places", least=1, most=MAX_PLACES_PER_ROW)
        one_of(self, "orientation", get_args(Orientation))
        finite(self, "indent_m", least=0.0, most=1e3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A plane that modules are mounted on.

    Parameters
    ----------
    type : str
        Name of the module type its places are made for: others fit if they are no larger.
    rows : tuple of Row
        From its upper edge down.
    name : str
        For people.
    x_m, y_m : float
        Its upper left corner on the drawing.
    row_gap_m, module_gap_m : float
        Between rows of places, and between neighbours in a row.
    tilt_deg : float
        From the horizontal, 0 to 90.
    azimuth_deg : float
        Where its front faces: from north clockwise, 180 is south.
    height_m : float
        Of its lower edge above the ground (or the flat roof that it stands on).
    irradiance_factor : float
        In-plane irradiance of this surface relative to the scenario's.
    """

    type: str
    rows: tuple[Row, ...]
    name: str = ""
    x_m: float = 0.0
    y_m: float = 0.0
    row_gap_m: float = 0.02
    module_gap_m: float = 0.02
    tilt_deg: float = 30.0
    azimuth_deg: float = 180.0
    height_m: float = 3.0
    irradiance_factor: float = 1.0

    def __post_init__(self) -> None:
        text(self, "type", most=MAX_NAME)
        text(self, "name", most=MAX_NAME)
        tuple_of(self, "rows", Row, least=1, most=MAX_ROWS)
        finite(self, "x_m", least=0.0, most=1e3)
        finite(self, "y_m", least=0.0, most=1e3)
        finite(self, "row_gap_m", least=0.0, most=50.0)
        finite(self, "module_gap_m", least=0.0, most=50.0)
        finite(self, "tilt_deg", least=0.0, most=90.0)
        finite(self, "azimuth_deg", least=0.0, most=360.0)
        finite(self, "height_m", least=0.0, most=200.0)
        finite(self, "irradiance_factor", least=0.0, most=2.0)


@dataclass(frozen=True, slots=True)
class PlaceBox:
    """One place on the drawing, in m: corners, how its modules lie, and its row over all surfaces from 0."""

    left_m: float
    top_m: float
    right_m: float
    bottom_m: float
    orientation: Orientation
    row: int


def place_boxes(surfaces: tuple[Surface, ...], sizes: dict[str, tuple[float, float]]) -> dict[Spot, PlaceBox]:
    """Every place of these surfaces on the drawing.

    Parameters
    ----------
    surfaces : tuple of Surface
    sizes : dict
        Width and height of each module type in portrait, m.

    Returns
    -------
    dict
        In the order surface, row, place.
    """
    found: dict[Spot, PlaceBox] = {}
    row_number = 0
    for number, surface in enumerate(surfaces, start=1):
        width, height = sizes[surface.type]
        top = surface.y_m
        for row, line in enumerate(surface.rows, start=1):
            across, down = (height, width) if line.orientation == "landscape" else (width, height)
            left = surface.x_m + line.indent_m
            for place in range(1, line.places + 1):
                found[Spot(number, row, place)] = PlaceBox(
                    left, top, left + across, top + down, line.orientation, row_number
                )
                left += across + surface.module_gap_m
            top += down + surface.row_gap_m
            row_number += 1
    return found


def surface_box(boxes: dict[Spot, PlaceBox], surface: int) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a surface (from 1) on the drawing, m."""
    mine = [box for spot, box in boxes.items() if spot.surface == surface]
    return (
        min(box.left_m for box in mine),
        min(box.top_m for box in mine),
        max(box.right_m for box in mine),
        max(box.bottom_m for box in mine),
    )
