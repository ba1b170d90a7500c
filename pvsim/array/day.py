"""The day that a roof is looked at: its site, the date, and the solid things that throw shadows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date as Date
from datetime import datetime

from pvsim.array.checks import finite, refuse, tuple_of
from pvsim.array.limits import MAX_SOLIDS
from pvsim.sky.site import FIRST_YEAR, LAST_YEAR, Site
from pvsim.sky.solid import Box, Parapet, Pole, Solid, TiltedRectangle
from pvsim.words import _

SOLID_KINDS: dict[str, type[Pole] | type[Box] | type[Parapet] | type[TiltedRectangle]] = {
    "pole": Pole,
    "box": Box,
    "parapet": Parapet,
    "row": TiltedRectangle,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day under a clear sky.

    Parameters
    ----------
    site : Site
    date : datetime.date
    solids : tuple of Pole, Box, Parapet or TiltedRectangle
        In site coordinates, m: x to the right as on the drawing, y away from who looks at the
        first surface, z up. A surface's lower left corner stands at x = its left side on the
        drawing, y = minus its lower edge on the drawing, z = its height.
    ground_reflectance : float
        0 to 1.
    """

    site: Site
    date: Date
    solids: tuple[Solid, ...] = ()
    ground_reflectance: float = 0.2

    def __post_init__(self) -> None:
        if not isinstance(self.site, Site):
            refuse(self, "site", self.site, _("a Site"))
        if not isinstance(self.date, Date) or isinstance(self.date, datetime):
            refuse(self, "date", self.date, _("a date"))
        if not FIRST_YEAR <= self.date.year <= LAST_YEAR:
            refuse(
                self,
                "date",
                self.date.isoformat(),
                _("a day from {first} to {last}").format(first=FIRST_YEAR, last=LAST_YEAR),
                _("The sun's path hardly changes from year to year: take one of these"),
            )
        tuple_of(self, "solids", object, most=MAX_SOLIDS)
        for solid in self.solids:
            if not isinstance(solid, Solid):
                refuse(self, "solids", solid, _("poles, boxes, parapets and rows only"))
        finite(self, "ground_reflectance", least=0.0, most=1.0)


def solid_kind(solid: Solid) -> str:
    """The word for a solid thing in files: "pole", "box", "parapet" or "row"."""
    return next(word for word, kind in SOLID_KINDS.items() if isinstance(solid, kind))
