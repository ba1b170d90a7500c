"""How much light each cell gets: irradiance, paint, dirt and the exact area under shadows.

    G = F G_front p s sum_k(A_k t_k) + B G_rear sum_k(A'_k t'_k)

with F the irradiance factors of string and surface and the scatter of the module's light
multiplied, p painted transmissions and s clean shares multiplied, A_k the share of the cell's
area whose darkest shadow lets t_k through, B the bifaciality.
For a thing on the glass t = transmission; for a shadow cast from afar the diffuse share d
still arrives, t = d + (1 - d) transmission.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pvsim.array.cell_scatter import scatter_of
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import ArrayIndex, array_index, built_cells
from pvsim.array.layout import Roof, cells_on_roof, roof_of
from pvsim.array.light import CAST_KINDS, REAR_KINDS, Shadow
from pvsim.array.module import Ints
from pvsim.array.outline import shadow_outlines
from pvsim.array.scenario import Scenario
from pvsim.circuit import budget
from pvsim.circuit.floats import Floats

LEAST_IRRADIANCE_W_m2 = 1e-6  # about a starlit night; below it a cell counts as dark

_shares: IdentityMemo[dict[tuple[float, bool], Floats]] = IdentityMemo(16)


def cell_irradiance(scenario: Scenario) -> Floats:
    """The light each cell turns into current.

    Returns
    -------
    (cells,)
        In W/m2, front plus the rear's share by bifaciality, in the order string, module, cell.
    """
    index = array_index(scenario)
    light = scenario.light
    front = unshaded_irradiance(scenario)
    for painted in light.painted:
        where = built_cells(index, painted.place)
        if where is not None:
            front[where] *= painted.transmission
    for fault in scenario.faults:
        if fault.kind == "soiling":
            where = built_cells(index, fault.place)
            if where is not None:
                front[where] *= 1.0 - (fault.size or 0.0)
    if light.shadows:
        front *= shadow_share(scenario, rear=False)
    if light.rear_irradiance_W_m2 > 0.0:
        front += _rear(scenario, index)
    front[front < LEAST_IRRADIANCE_W_m2] = 0.0
    return front


def unshaded_irradiance(scenario: Scenario) -> Floats:
    """The light on the front of each cell without shadow, paint and dirt; (cells,), in W/m2."""
    index = array_index(scenario)
    front = np.full(int(index.cell_start[-1]), scenario.light.irradiance_W_m2)
    for number, string in enumerate(index.strings):
        if string.irradiance_factor != 1.0:
            first, last = index.string_start[number], index.string_start[number + 1]
            front[index.cell_start[first] : index.cell_start[last]] *= string.irradiance_factor
    if any(surface.irradiance_factor != 1.0 for surface in scenario.array.surfaces):
        factors = np.array([surface.irradiance_factor for surface in scenario.array.surfaces] + [1.0])
        front *= np.repeat(factors[roof_of(scenario).surface], np.diff(index.cell_start))
    scattered = scatter_of(scenario.scatter, index)
    if scattered is not None:
        front *= scattered.light
    return front


def shadow_share(scenario: Scenario, *, rear: bool = False) -> Floats:
    """Share of the front (or rear) light that shadows leave each cell.

    Returns
    -------
    (cells,)
        0 to 1, by exact covered area. Do not write to it.
    """
    roof = roof_of(scenario)
    diffuse = scenario.light.diffuse_fraction

    known = _shares.get((roof, scenario.light.shadows), dict)
    if (diffuse, rear) not in known:
        out = _shadow_share(scenario, roof, diffuse, rear)
        out.setflags(write=False)
        known[diffuse, rear] = out
    return known[diffuse, rear]


def _rear(scenario: Scenario, index: ArrayIndex) -> Floats:
    kinds = np.array([kind.kind.bifaciality for kind in index.kinds])
    factor = np.repeat(kinds[index.module_kind], np.diff(index.cell_start))
    factor *= scenario.light.rear_irradiance_W_m2
    if any(shadow.kind in REAR_KINDS for shadow in scenario.light.shadows):
        factor *= shadow_share(scenario, rear=True)
    return factor


def _transmission(shadow: Shadow, diffuse: float) -> float:
    if shadow.kind in CAST_KINDS:
        return diffuse + (1.0 - diffuse) * shadow.transmission
    return shadow.transmission


def _shadow_share(scenario: Scenario, roof: Roof, diffuse: float, rear: bool) -> Floats:
    out = np.ones(int(roof.index.cell_start[-1]))
    layers: dict[float, list[Floats]] = {}
    around: list[Floats] = []
    for shadow in scenario.light.shadows:
        budget.check()
        through = _transmission(shadow, diffuse)
        if (shadow.kind in REAR_KINDS) == rear and through < 1.0:
            outlines = shadow_outlines(scenario, shadow)
            if outlines:  # all of one shape
                corners = np.array(outlines)
                around.append(np.concatenate((corners.min(axis=1), corners.max(axis=1)), axis=1))
                layers.setdefault(through, []).extend(outlines)
    if not around:
        return out
    boxes = np.concatenate(around)
    modules = _touching(roof.rectangle, boxes)
    if len(modules) == 0:
        return out
    rectangles = cells_on_roof(roof, modules)
    counts = np.diff(roof.index.cell_start)[modules]
    starts = np.repeat(roof.index.cell_start[modules] - np.concatenate([[0], np.cumsum(counts)[:-1]]), counts)
    near = _touching(rectangles, boxes)
    if len(near):
        out[near + starts[near]] = _mean_share(rectangles[near], layers)
    return out


def lit_share(rectangles: Floats, outlines: Sequence[Floats]) -> Floats:
    """Share of each rectangle's area that lies under none of the outlines.

    Parameters
    ----------
    rectangles : (n, 4)
        Left, top, right, bottom, in m.
    outlines : sequence of (corners, 2)
        Polygons, in the same coordinates.

    Returns
    -------
    (n,)
        0 to 1, by exact covered area.
    """
    share = np.ones(len(rectangles))
    boxes = np.array([[*outline.min(axis=0), *outline.max(axis=0)] for outline in outlines]).reshape(-1, 4)
    near = _touching(rectangles, boxes)
    if len(near):
        share[near] = _mean_share(rectangles[near], {0.0: list(outlines)})
    return share


def _touching(rectangles: Floats, boxes: Floats) -> Ints:
    """Which rectangles overlap at least one of the boxes."""
    hit = np.zeros(len(rectangles), dtype=bool)
    left, top, right, bottom = rectangles.T
    for x0, y0, x1, y1 in boxes.tolist():
        budget.check()
        hit |= (left < x1) & (right > x0) & (top < y1) & (bottom > y0)
    return np.flatnonzero(hit)


def _mean_share(rectangles: Floats, layers: dict[float, list[Floats]]) -> Floats:
    """Mean transmission over each rectangle; on every spot the darkest layer wins."""
    import shapely  # late: only a scenario with shadows pays for it

    left, top, right, bottom = rectangles.T
    area = (right - left) * (bottom - top)
    mean = np.ones(len(rectangles))
    before = np.zeros(len(rectangles))
    cells = shapely.box(left, top, right, bottom)
    union = None
    for through in sorted(layers):
        budget.check()
        shapes = [shapely.Polygon(outline) for outline in layers[through]]
        union = shapely.union_all(shapes if union is None else [union, *shapes])
        shapely.prepare(union)
        covered = before.copy()
        # Prepared predicates are quick; the intersection itself only where an edge passes.
        inside = shapely.contains_properly(union, cells)
        edge = np.flatnonzero(shapely.intersects(union, cells) & ~inside)
        covered[inside] = area[inside]
        covered[edge] = shapely.area(shapely.intersection(union, cells[edge]))
        mean -= (1.0 - through) * (covered - before) / area
        before = covered
    return np.clip(mean, 0.0, 1.0)
