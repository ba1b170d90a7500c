"""Small studies that several tests use; all data invented."""

from __future__ import annotations

from pvsim.array import Place, parse_place
from pvsim.study import Axis, Column, Every, Study
from tests.array.samples import scenario

SMALL = scenario(2, type="full-36")
CELLS = Axis(name="cell", vary="place", values=Every("cell", parse_place("1/1")))
SHADE = Axis(vary="transmission", at="cell", values=(0.2, 0.6))
LOST = Column("lost_W", "-delta[array].p_mp_W")


def study(*axes: Axis, columns: tuple[Column, ...] = (LOST,), base=SMALL) -> Study:
    return Study(title="sample", base=base, axes=axes or (CELLS, SHADE), columns=columns)


def place_axis(*texts: str, name: str = "part") -> Axis:
    places: tuple[Place, ...] = tuple(map(parse_place, texts))
    return Axis(name=name, vary="place", values=places)
