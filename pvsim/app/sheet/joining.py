"""Ways of joining the cells of a sheet as a drawing shows them, cell by cell."""

from __future__ import annotations

from typing import Any

from pvsim.app.roof.shape import module_shape
from pvsim.app.words import _, ngettext
from pvsim.sheet.bands import Structure
from pvsim.sheet.data_sheet import DataSheet
from pvsim.sheet.finding import sentence
from pvsim.sheet.ways import Way, way_findings, ways_of

__all__ = ["joining_picture"]

Item = dict[str, Any]


def joining_picture(sheet: DataSheet, structure: Structure) -> Item:
    """The ways of joining for static/sheet/ways.js.

    Parameters
    ----------
    sheet : DataSheet
    structure : Structure
        The way that the numbers lead to.

    Returns
    -------
    dict
        `chosen`, and `ways`, each with its name, title, what it means, and its module's shape in mm.
    """
    ways = ways_of(sheet)
    found = way_findings(ways)
    return {
        "legend": _("Ways of joining the cells"),
        "chosen": structure.layout,
        "ways": [
            {
                "name": way.name,
                "title": _(way.title),
                "text": sentence(found[way.name]),
                "verdict": _verdict(way),
                "good": way.fits and way.reaches,
                "told": _told(way),
                "reaches": way.reaches,
                "shape": module_shape(way.module, 0),
                "boxes": [[1000.0 * x, 1000.0 * y] for x, y in way.module.junction_boxes],
            }
            for way in ways
        ],
    }


def _verdict(way: Way) -> str:
    if not way.fits:
        return _("voltage excludes it")
    return _("diodes reach the box") if way.reaches else _("diodes do not reach the box")


def _told(way: Way) -> str:
    """The drawing in a sentence, for those who do not see it."""
    count = len(way.module.substrings)
    cells = sum(len(chain) for chain in way.module.substrings[0].chains)
    parts = ngettext("{count} substring", "{count} substrings", count).format(count=count)
    return _("{way}: {rows} rows of {columns} cells in {parts} of {cells} cells. {verdict}.").format(
        way=_(way.title),
        rows=way.module.rows,
        columns=way.module.columns,
        parts=parts,
        cells=cells,
        verdict=_verdict(way),
    )
